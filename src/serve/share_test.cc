// SPDX-License-Identifier: Apache-2.0
#include "serve/share.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <pty.h>
#include <unistd.h>

#include <ext/stdio_filebuf.h>
#include <sstream>
#include <thread>

#include "store/accounts.h"
#include "support/temp_folder.h"

namespace tautmark {
namespace {

using test::TempFolder;
using testing::HasSubstr;
using testing::Not;

constexpr std::int64_t kNow = 1'800'000'000'000'000;

std::shared_ptr<Database> opened(const TempFolder& folder) {
  auto database = Database::open(store_address((folder.path() / "shop.db").string()),
                                 OpenFor::writing_or_create);
  EXPECT_TRUE(database);
  return database.value_or(nullptr);
}

struct Answers {
  explicit Answers(const std::string& text) : in(text) {}
  std::istringstream in;
  std::ostringstream out;
  Talk talk{in, out};
};

TEST(Share, AddressesAreThoseOfTheShop) {
  using List = std::vector<std::string>;
  EXPECT_EQ(*share_addresses({}, {"203.0.113.5", "192.168.20.31", "2001:db8::1", "fd00::2"}),
            (List{"192.168.20.31", "fd00::2"}));
  EXPECT_THAT(share_addresses({}, {}).error(), HasSubstr("in no network"));
  EXPECT_THAT(share_addresses({}, {"203.0.113.5"}).error(), HasSubstr("--address 203.0.113.5"));
  EXPECT_EQ(*share_addresses({{"203.0.113.5"}, {}, {}, {}, {}}, {"192.168.20.31"}),
            List{"203.0.113.5"});
  EXPECT_EQ(*share_addresses({{"FD00:0:0::2"}, {}, {}, {}, {}}, {}), List{"fd00::2"});
  for (const char* bad : {"127.0.0.1", "::1", "0.0.0.0", "::", "shop.local", ""})
    EXPECT_FALSE(share_addresses({{bad}, {}, {}, {}, {}}, {"192.168.20.31"})) << bad;
}

TEST(Share, CertificatesLieBesideTheStore) {
  const auto file = store_address("cases/shop.db");
  EXPECT_EQ(certificate_folder({}, file, "h", ""), "cases/shop.db.certificates");
  const auto server = store_address("postgresql://u:secret@db/x");
  EXPECT_EQ(certificate_folder({}, server, "h", ""), "h/.local/state/tautmark/certificates");
  EXPECT_EQ(certificate_folder({}, server, "h", "s"), "s/tautmark/certificates");
  ShareOptions options;
  options.certificates = "mine";
  EXPECT_EQ(certificate_folder(options, server, "h", "s"), "mine");
}

TEST(Share, FirstAccountIsAskedForUntilItIsRight) {
  const TempFolder folder;
  const auto database = opened(folder);
  Answers answers(
      "\nAnna\nshort\nshort\nAnna\na long wrench\na long wrenhc\n"
      "a longg\x7f wrench\na long wrench\n");
  const auto made = ensure_manager(*database, {}, &answers.talk);
  ASSERT_TRUE(made) << made.error();
  EXPECT_TRUE(*made);
  EXPECT_THAT(answers.out.str(), HasSubstr("A password has 10 to 200 characters; this has 5."));
  EXPECT_THAT(answers.out.str(), HasSubstr("The two differ."));
  EXPECT_THAT(answers.out.str(), Not(HasSubstr("wrench")));
  EXPECT_TRUE(log_in(*database, "Anna", "a long wrench", kNow));
  // The next time nobody is asked.
  const auto again = ensure_manager(*database, {}, nullptr);
  ASSERT_TRUE(again);
  EXPECT_FALSE(*again);
}

TEST(Share, WithoutAnAccountNothingIsShared) {
  const TempFolder folder;
  const auto database = opened(folder);
  EXPECT_THAT(ensure_manager(*database, {}, nullptr).error(), HasSubstr("--manager NAME"));
  for (const char* typed : {"", "Anna\n", "Anna\na long wrench\n", "Anna\n\x03", "Anna\nabc\x04"}) {
    Answers answers(typed);
    EXPECT_THAT(ensure_manager(*database, {}, &answers.talk).error(),
                HasSubstr("nothing is shared"))
        << typed;
  }
  EXPECT_TRUE(accounts(*database)->empty());
  // One who may only read does not help.
  ASSERT_TRUE(add_account(*database, "Ben", Role::read, "a long wrench", "desk"));
  EXPECT_FALSE(ensure_manager(*database, {}, nullptr));
}

TEST(Share, FirstAccountFromOptions) {
  const TempFolder folder;
  const auto database = opened(folder);
  ShareOptions options;
  options.manager = "Anna";
  options.password_file = folder.write("password", "");
  EXPECT_THAT(ensure_manager(*database, options, nullptr).error(), HasSubstr("no password"));
  options.password_file = folder.write("password", "a long wrench\r\nsecond line\n");
  EXPECT_TRUE(*ensure_manager(*database, options, nullptr));
  EXPECT_TRUE(log_in(*database, "Anna", "a long wrench", kNow));
  EXPECT_FALSE(*ensure_manager(*database, options, nullptr));  // the same command at the next start
}

// On a terminal of its own: nothing that is typed comes back, and echo is on again afterwards.
TEST(Share, PasswordIsNotShown) {
  int outer = -1, inner = -1;
  ASSERT_EQ(openpty(&outer, &inner, nullptr, nullptr, nullptr), 0);
  __gnu_cxx::stdio_filebuf<char> buffer(dup(inner), std::ios::in);
  std::istream in(&buffer);
  std::ostringstream out;
  Talk talk{in, out, inner};
  std::optional<std::string> got;
  std::thread asking([&] { got = ask_secret(talk, "? "); });
  termios now{};
  const auto until = [&](bool echo) {
    for (int i = 0; i < 500; ++i) {
      tcgetattr(inner, &now);
      if (((now.c_lflag & ECHO) != 0) == echo) return true;
      std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    return false;
  };
  EXPECT_TRUE(until(false));
  ASSERT_EQ(write(outer,
                  "se\xC3\xBC\x7F"
                  "cret\r",
                  10),
            10);
  asking.join();
  EXPECT_EQ(got, "secret");
  EXPECT_TRUE(until(true));
  ASSERT_EQ(write(inner, "end", 3), 3);
  char seen[16] = {};
  EXPECT_EQ(read(outer, seen, sizeof seen), 3);
  EXPECT_STREQ(seen, "end");
  close(outer);
  close(inner);
}

TEST(Share, NoticeTellsEverythingThatIsComparedAndTyped) {
  ShareNotice notice{{"192.168.20.31", "fd00::2"}, 8604, {}, {}, false, "K7QM-4TRX",
                     TerminalCode::color};
  for (int i = 0; i < 16; ++i) {
    notice.authority_fingerprint +=
        (i > 0 ? " A00" : "A00") + std::string(1, "0123456789ABCDEF"[i]);
    notice.server_fingerprint += (i > 0 ? " B00" : "B00") + std::string(1, "0123456789ABCDEF"[i]);
  }
  const std::string text = share_notice(notice);
  for (const char* part :
       {"https://192.168.20.31:8604/", "https://[fd00::2]:8604/", "/trust", "K7QM-4TRX",
        "A000 A001 A002 A003 A004 A005 A006 A007\n", "B008 B009 B00A B00B B00C B00D B00E B00F\n"})
    EXPECT_THAT(text, HasSubstr(part));
  EXPECT_THAT(text, Not(HasSubstr("new certificate")));
  notice.authority_is_new = true;
  EXPECT_THAT(share_notice(notice), HasSubstr("every tablet has to trust it"));
  const auto code = scan_code("https://192.168.20.31:8604/pair#K7QM-4TRX");
  EXPECT_THAT(text, HasSubstr(terminal_text(*code, TerminalCode::color)));
}

}  // namespace
}  // namespace tautmark
