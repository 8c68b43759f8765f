// SPDX-License-Identifier: Apache-2.0
#include "store/accounts.h"

#include <soci/soci.h>

#include <chrono>
#include <ctime>
#include <thread>

#include "base/hash.h"
#include "store/cases.h"
#include "support/both_databases.h"

namespace tautmark {
namespace {

constexpr std::int64_t kSecond = 1'000'000;
constexpr std::int64_t kMinute = 60 * kSecond;
constexpr std::int64_t kHour = 60 * kMinute;
constexpr std::int64_t kDay = 24 * kHour;
constexpr std::int64_t kNow = 1'800'000'000 * kSecond;
const std::string kGood = "a long wrench";

class AccountsTest : public test::OnBothDatabases {
 protected:
  void SetUp() override {
    OnBothDatabases::SetUp();
    if (IsSkipped()) return;
    auto opened = Database::open(store_address(address()), OpenFor::writing_or_create, 6);
    ASSERT_TRUE(opened) << opened.error().message;
    database_ = std::move(*opened);
  }
  [[nodiscard]] const Database& database() const { return *database_; }

  void add(const std::string& name, Role role) {
    const auto made = add_account(database(), name, role, kGood, "desk");
    ASSERT_TRUE(made) << made.error().message;
  }
  std::string paired(const std::string& name) {
    return pair_device(database(), *new_pairing_code(database(), "Anna", kNow), name, kNow)
        .value_or("none");
  }
  StoreTrouble trouble_of_pin(const std::string& token, const std::string& name,
                              const std::string& pin, std::int64_t now) {
    const auto made = log_in_with_pin(database(), token, name, pin, now);
    return made ? StoreTrouble::exists : made.error().trouble;
  }
  std::vector<std::string> acts() {
    std::vector<std::string> all;
    const auto entries = audit_entries(database(), 0, 1000);
    for (const AuditEntry& entry : *entries)
      all.push_back(entry.who + ": " + entry.what + ": " + entry.subject);
    return all;
  }
  long long count(const std::string& sql) {
    return *database().read_value<long long>([&](soci::session& session) {
      long long value = -1;
      session << sql, soci::into(value);
      return value;
    });
  }

 private:
  std::shared_ptr<Database> database_;
};
TAUTMARK_ON_BOTH_DATABASES(AccountsTest);

TEST_P(AccountsTest, NamesArePeopleWhateverTheirCase) {
  add("Jörg  Ängström", Role::write);
  const auto twice = add_account(database(), " jörg ängstRÖM ", Role::read, kGood, "desk");
  ASSERT_FALSE(twice);
  EXPECT_EQ(twice.error().trouble, StoreTrouble::exists);
  EXPECT_TRUE(log_in(database(), "JÖRG ÄNGSTRÖM", kGood, kNow));
  for (const std::string& bad :
       {std::string(), std::string("   "), std::string(61, 'x'), std::string("a\nb"),
        std::string("a\xC2\x85z"), std::string("\xFF")})
    EXPECT_FALSE(add_account(database(), bad, Role::read, kGood, "desk")) << bad;
  EXPECT_TRUE(add_account(database(), std::string(60, 'x'), Role::read, kGood, "desk"));
  EXPECT_EQ(accounts(database())->size(), 2U);
}

TEST_P(AccountsTest, SeveralChangesAreMadeTogetherOrNotAtAll) {
  add("Anna", Role::manage);
  add("Bert Strauß", Role::write);
  const auto changed =
      change_account(database(), "BERT STRAUSS", {.role = Role::read, .pin = "4711"}, "desk");
  ASSERT_TRUE(changed) << changed.error().message;
  EXPECT_EQ(changed->name, "Bert Strauß");
  EXPECT_EQ(changed->role, Role::read);
  EXPECT_TRUE(changed->has_pin);
  const auto before = acts();
  EXPECT_FALSE(
      change_account(database(), "bert strauß", {.role = Role::manage, .pin = "12"}, "desk"));
  // Found only behind the change of the password: the last one who may manage.
  EXPECT_FALSE(change_account(database(), "anna",
                              {.password = "another long wrench", .disabled = true}, "desk"));
  EXPECT_EQ(acts(), before);
  EXPECT_EQ(accounts(database())->back().role, Role::read);
  EXPECT_TRUE(log_in(database(), "Anna", kGood, kNow));
}

TEST_P(AccountsTest, PasswordsAndPinsHaveLimitsAndAreNotKept) {
  EXPECT_FALSE(add_account(database(), "a", Role::read, "123456789", "desk"));
  EXPECT_FALSE(add_account(database(), "a", Role::read, std::string(201, 'x'), "desk"));
  EXPECT_FALSE(add_account(database(), "a", Role::read, std::string("1234567890\0", 11), "desk"));
  add("Anna", Role::manage);
  for (const char* bad : {"", "123", "123456789", "12a4", " 1234"})
    EXPECT_FALSE(set_pin(database(), "Anna", bad, "desk")) << bad;
  EXPECT_TRUE(set_pin(database(), "anna", "4711", "desk"));
  EXPECT_EQ(count("select count(*) from account where password_hash like '$argon2id$v=19$m=65536,%'"
                  " and pin_hash like '$argon2id$v=19$m=65536,%'"),
            1);
  EXPECT_EQ(set_pin(database(), "Nobody", "4711", "desk").error().trouble, StoreTrouble::not_found);
}

TEST_P(AccountsTest, OneSentenceForEveryKindOfRefusal) {
  add("Anna", Role::manage);
  add("Ben", Role::write);
  ASSERT_TRUE(set_disabled(database(), "Ben", true, "Anna"));
  const auto wrong = log_in(database(), "Anna", "another wrench", kNow);
  const auto nobody = log_in(database(), "my own password", kGood, kNow);
  const auto disabled = log_in(database(), "Ben", kGood, kNow);
  for (const auto* each : {&wrong, &nobody, &disabled}) {
    ASSERT_FALSE(*each);
    EXPECT_EQ(each->error().trouble, StoreTrouble::refused);
    EXPECT_EQ(each->error().message, wrong.error().message);
  }
  for (const std::string& act : acts()) EXPECT_EQ(act.find("my own"), std::string::npos) << act;
  EXPECT_FALSE(log_in(database(), "Anna", std::string(100'000, 'x'), kNow));
}

TEST_P(AccountsTest, TheLastManagerStays) {
  add("Anna", Role::manage);
  add("Ben", Role::manage);
  ASSERT_TRUE(set_disabled(database(), "Ben", true, "Anna"));
  EXPECT_EQ(set_disabled(database(), "Anna", true, "Anna").error().trouble, StoreTrouble::refused);
  EXPECT_EQ(set_role(database(), "Anna", Role::write, "Anna").error().trouble,
            StoreTrouble::refused);
  ASSERT_TRUE(set_disabled(database(), "Ben", false, "Anna"));
  // Both at once, each by a thread of its own: one of them stays, whoever is quicker.
  std::thread other([&] { (void)set_disabled(database(), "Anna", true, "Ben"); });
  (void)set_disabled(database(), "Ben", true, "Anna");
  other.join();
  EXPECT_EQ(count("select count(*) from account where disabled = 0"), 1);
}

TEST_P(AccountsTest, SessionsEndWhenTheyShould) {
  add("Anna", Role::manage);
  add("Ben", Role::write);
  const auto made = log_in(database(), "Ben", kGood, kNow);
  ASSERT_TRUE(made);
  EXPECT_EQ(made->token.size(), 43U);
  EXPECT_EQ(count("select count(*) from login_session where token_hash = '" +
                  sha256_hex(made->token) + "'"),
            1);
  const std::string& token = made->token;
  EXPECT_EQ(session_of(database(), token, kNow + kHour)->account.name, "Ben");
  // Prolonged by use, for 30 days at most.
  EXPECT_FALSE(session_of(database(), token, kNow + 14 * kHour));
  EXPECT_TRUE(session_of(database(), token, kNow + 12 * kHour));
  std::int64_t last = kNow;
  for (std::int64_t now = kNow + 12 * kHour; session_of(database(), token, now); now += 11 * kHour)
    last = now;
  EXPECT_GT(last, kNow + 29 * kDay);
  EXPECT_LT(last, kNow + 30 * kDay);

  const auto again = log_in(database(), "Ben", kGood, kNow);
  ASSERT_TRUE(log_out(database(), again->token, kNow));
  EXPECT_FALSE(session_of(database(), again->token, kNow));
  EXPECT_EQ(log_out(database(), again->token, kNow).error().trouble, StoreTrouble::not_found);
  const auto third = log_in(database(), "Ben", kGood, kNow);
  ASSERT_TRUE(set_password(database(), "Ben", "a longer wrench", "Anna"));
  EXPECT_FALSE(session_of(database(), third->token, kNow));
  EXPECT_FALSE(log_in(database(), "Ben", kGood, kNow));
  const auto fourth = log_in(database(), "Ben", "a longer wrench", kNow);
  ASSERT_TRUE(fourth);
  ASSERT_TRUE(set_disabled(database(), "Ben", true, "Anna"));
  EXPECT_FALSE(session_of(database(), fourth->token, kNow));
  for (const char* bad : {"", "x", "' or 1=1 --"}) EXPECT_FALSE(session_of(database(), bad, kNow));
}

TEST_P(AccountsTest, OnesOwnPasswordIsConfirmed) {
  add("Anna", Role::manage);
  EXPECT_TRUE(confirm_password(database(), "anna", kGood));
  for (const char* name : {"Anna", "Nobody"})
    EXPECT_EQ(confirm_password(database(), name, "another one").error().trouble,
              StoreTrouble::refused);
  EXPECT_EQ(count("select count(*) from audit where what = 'own password refused'"), 2);
}

TEST_P(AccountsTest, PairingCodesWorkOnceAndForTenMinutes) {
  const auto code = new_pairing_code(database(), "Anna", kNow);
  ASSERT_TRUE(code);
  EXPECT_EQ(code->size(), 9U);
  EXPECT_FALSE(pair_device(database(), "0000-0000", "bay 1", kNow));
  EXPECT_FALSE(pair_device(database(), *code, "bay 1", kNow + 10 * kMinute));
  EXPECT_FALSE(pair_device(database(), *code, "", kNow));
  std::string typed = " ";
  for (const char c : *code)
    if (c != '-') typed += static_cast<char>(c >= 'A' ? c - 'A' + 'a' : c == '0' ? 'o' : c);
  const auto token = pair_device(database(), typed, "bay 1", kNow + 9 * kMinute);
  ASSERT_TRUE(token) << token.error().message;
  EXPECT_FALSE(pair_device(database(), *code, "bay 2", kNow));
  ASSERT_EQ(devices(database())->size(), 1U);
  EXPECT_EQ(devices(database())->front().token_hash, sha256_hex(*token));
}

TEST_P(AccountsTest, APinNeedsAPairedTabletAndKeepsOneLoggedIn) {
  add("Anna", Role::manage);
  ASSERT_TRUE(set_pin(database(), "Anna", "4711", "Anna"));
  EXPECT_EQ(trouble_of_pin("no token", "Anna", "4711", kNow), StoreTrouble::refused);
  const std::string tablet = paired("bay 1");
  EXPECT_EQ(trouble_of_pin(tablet, "Anna", "4712", kNow), StoreTrouble::refused);
  EXPECT_EQ(trouble_of_pin(tablet, "Anna", kGood, kNow), StoreTrouble::refused);
  EXPECT_EQ(trouble_of_pin(tablet, "Anna", "", kNow), StoreTrouble::refused);
  const auto made = log_in_with_pin(database(), tablet, "anna", "4711", kNow);
  ASSERT_TRUE(made) << made.error().message;
  EXPECT_EQ(made->session.device, "bay 1");
  // Looking at it is no use of it; the first use of a day says so once.
  EXPECT_TRUE(session_of(database(), made->token, kNow + 29 * kDay, SessionIs::looked_at));
  EXPECT_FALSE(session_of(database(), made->token, kNow + 31 * kDay, SessionIs::looked_at));
  EXPECT_FALSE(session_of(database(), made->token, kNow + 23 * kHour)->is_new_day);
  EXPECT_TRUE(session_of(database(), made->token, kNow + 25 * kHour)->is_new_day);
  EXPECT_FALSE(session_of(database(), made->token, kNow + 26 * kHour)->is_new_day);
  for (int day = 29; day <= 290; day += 29) {
    const auto used = session_of(database(), made->token, kNow + day * kDay);
    ASSERT_TRUE(used) << day;
    EXPECT_EQ(used->device, "bay 1") << day;
    EXPECT_TRUE(used->is_new_day) << day;
  }
  EXPECT_FALSE(session_of(database(), made->token, kNow + 321 * kDay));
  const auto again = log_in_with_pin(database(), tablet, "anna", "4711", kNow);
  EXPECT_EQ(is_paired(database(), tablet), true);
  EXPECT_EQ(is_paired(database(), "no token"), false);
  ASSERT_TRUE(revoke_device(database(), devices(database())->front().token_hash, "Anna"));
  EXPECT_EQ(is_paired(database(), tablet), false);
  EXPECT_FALSE(session_of(database(), again->token, kNow));
  EXPECT_EQ(trouble_of_pin(tablet, "Anna", "4711", kNow), StoreTrouble::refused);
  EXPECT_EQ(revoke_device(database(), "", "Anna").error().trouble, StoreTrouble::not_found);
}

TEST_P(AccountsTest, GuessingPinsIsSlowedDownAndEndsWithTheTablet) {
  add("Anna", Role::manage);
  add("Ben", Role::read);
  ASSERT_TRUE(set_pin(database(), "Anna", "4711", "Anna"));
  ASSERT_TRUE(set_pin(database(), "Ben", "2580", "Anna"));
  const std::string tablet = paired("bay 1");
  std::int64_t now = kNow;
  int wrong = 0;
  for (; wrong < kFreeTries; ++wrong)
    EXPECT_EQ(trouble_of_pin(tablet, "Anna", "0000", now), StoreTrouble::refused);
  // During the wait even the right one is not looked at, and it costs no hashing.
  const auto begin = std::chrono::steady_clock::now();
  for (int i = 0; i < 20; ++i)
    EXPECT_EQ(trouble_of_pin(tablet, "Anna", "4711", now), StoreTrouble::busy);
  EXPECT_LT(std::chrono::steady_clock::now() - begin, std::chrono::seconds(2));
  // Ben's right PIN in between forgives nothing of Anna's.
  for (; wrong < kMostWrongPins - 1; ++wrong) {
    now += 900 * kSecond;
    EXPECT_EQ(trouble_of_pin(tablet, "Ben", "2580", now), StoreTrouble::exists);
    EXPECT_EQ(trouble_of_pin(tablet, "Anna", "0000", now), StoreTrouble::refused);
    EXPECT_FALSE(devices(database())->front().revoked);
  }
  const auto bens = log_in_with_pin(database(), tablet, "Ben", "2580", now);
  now += 900 * kSecond;
  EXPECT_EQ(trouble_of_pin(tablet, "Anna", "0000", now), StoreTrouble::refused);
  EXPECT_TRUE(devices(database())->front().revoked);
  EXPECT_FALSE(session_of(database(), bens->token, now));
  EXPECT_EQ(acts().back(), "bay 1: device revoked: bay 1");
  // Another tablet is another matter.
  EXPECT_EQ(trouble_of_pin(paired("bay 2"), "Anna", "4711", now), StoreTrouble::exists);
}

TEST_P(AccountsTest, ManyAtOnceTryNoMorePinsThanOneByOne) {
  add("Anna", Role::manage);
  ASSERT_TRUE(set_pin(database(), "Anna", "4711", "Anna"));
  const std::string tablet = paired("bay 1");
  std::atomic<int> looked_at = 0;
  std::vector<std::thread> threads;
  for (int i = 0; i < 4; ++i)
    threads.emplace_back([&] {
      for (int n = 0; n < 5; ++n)
        if (trouble_of_pin(tablet, "Anna", "0000", kNow) == StoreTrouble::refused) ++looked_at;
    });
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(looked_at, kFreeTries);
}

TEST_P(AccountsTest, EveryActIsInTheAudit) {
  add("Anna", Role::manage);
  ASSERT_TRUE(set_role(database(), "anna", Role::manage, "Anna"));
  (void)log_in(database(), "Anna", "another wrench", kNow);
  (void)log_in(database(), "Anna", kGood, kNow);
  (void)paired("bay 1");
  EXPECT_EQ(acts(), (std::vector<std::string>{"desk: account added: Anna", "Anna: role set: Anna",
                                              "Anna: log-in refused: Anna", "Anna: log-in: Anna",
                                              "Anna: pairing code made: a tablet",
                                              "Anna: device paired: bay 1"}));
}

// A name that is not there must not answer quicker; three times leaves room for noise.
TEST_P(AccountsTest, ANameThatIsNotThereCostsAsMuch) {
  add("Anna", Role::manage);
  // Processor time of this thread: other work on the machine does not count.
  const auto now = [] {
    timespec time{};
    ::clock_gettime(CLOCK_THREAD_CPUTIME_ID, &time);
    return static_cast<double>(time.tv_sec) + 1e-9 * static_cast<double>(time.tv_nsec);
  };
  const auto time_of_try = [&](const std::string& name) {
    double best = 1e9;
    for (int i = 0; i < 3; ++i) {
      const double begin = now();
      (void)log_in(database(), name, "another wrench", kNow);
      best = std::min(best, now() - begin);
    }
    return best;
  };
  const auto there = time_of_try("Anna"), not_there = time_of_try("Zoe");
  EXPECT_GT(not_there, there / 3);
  EXPECT_GT(there, not_there / 3);
}

}  // namespace
}  // namespace tautmark
