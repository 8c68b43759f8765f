// SPDX-License-Identifier: Apache-2.0
// Questions and answers of sharing.
#include <fmt/format.h>
#include <sodium.h>
#include <termios.h>

#include <algorithm>
#include <fstream>
#include <istream>
#include <ostream>

#include "base/text.h"
#include "serve/share.h"
#include "store/accounts.h"

namespace tautmark {
namespace {

constexpr int kMostAttempts = 5;
constexpr std::size_t kLongestAnswer = 1000;

// Cleared when it goes away, also from what a growing text leaves behind: it never grows.
class Secret {
 public:
  Secret() { text_.reserve(kLongestAnswer + 4); }
  explicit Secret(std::string&& text) {
    const std::size_t length = text.size();
    text_ = std::move(text);
    // A short text is copied, not moved: it still stands where it was.
    sodium_memzero(text.data(), std::min(length, text.capacity()));
  }
  Secret(const Secret&) = delete;
  Secret& operator=(const Secret&) = delete;
  ~Secret() { sodium_memzero(text_.data(), text_.capacity()); }
  std::string& text() { return text_; }

 private:
  std::string text_;
};

// No echo, and every key comes as it is typed: Ctrl-C must not leave the terminal without echo.
class SilentTerminal {
 public:
  explicit SilentTerminal(int descriptor) : descriptor_(descriptor) {
    if (descriptor < 0 || tcgetattr(descriptor, &before_) != 0) return;
    termios silent = before_;
    silent.c_lflag &= ~static_cast<tcflag_t>(ECHO | ECHONL | ICANON | ISIG);
    changed_ = tcsetattr(descriptor, TCSAFLUSH, &silent) == 0;
  }
  SilentTerminal(const SilentTerminal&) = delete;
  SilentTerminal& operator=(const SilentTerminal&) = delete;
  ~SilentTerminal() {
    if (changed_) tcsetattr(descriptor_, TCSAFLUSH, &before_);
  }

 private:
  int descriptor_;
  termios before_{};
  bool changed_ = false;
};

void erase_last_character(std::string& text) {
  while (!text.empty()) {
    const bool continues = (static_cast<unsigned char>(text.back()) & 0xC0U) == 0x80U;
    text.pop_back();
    if (!continues) return;
  }
}

tl::unexpected<std::string> sentence(std::string text) {
  return tl::make_unexpected(std::move(text));
}
std::string as_sentence(std::string message) {
  if (!message.empty() && message[0] >= 'a' && message[0] <= 'z')
    message[0] = static_cast<char>(message[0] - 'a' + 'A');
  return message + ".";
}

Stored<Account> add_manager(const Database& database, const std::string& name,
                            std::string_view password) {
  return add_account(database, name, Role::manage, password, "the desk");
}

tl::expected<bool, std::string> manager_from_options(const Database& database,
                                                     const ShareOptions& options) {
  std::ifstream in(options.password_file, std::ios::binary);
  Secret password;
  for (int c = 0; in && password.text().size() < kLongestAnswer && (c = in.get()) != EOF;) {
    if (c == '\n') break;
    password.text() += static_cast<char>(c);
  }
  if (!password.text().empty() && password.text().back() == '\r') password.text().pop_back();
  if (password.text().empty())
    return sentence(
        fmt::format("--password-file {}: no password can be read from it.", options.password_file));
  const auto made = add_manager(database, options.manager, password.text());
  if (!made) return sentence(as_sentence(made.error().message));
  return true;
}

tl::expected<bool, std::string> manager_from_talk(const Database& database,
                                                  const std::string& given_name, Talk& talk) {
  talk.out << "Nobody can log in yet. You make the first account; it may do everything.\n";
  std::string name = given_name;
  for (int attempt = 0; attempt < kMostAttempts; ++attempt) {
    if (name.empty()) {
      const auto answer = ask_line(talk, "Your name: ");
      if (!answer) break;
      name = *answer;
      if (name.empty()) continue;
    }
    auto first = ask_secret(talk, fmt::format("A password of {} characters or more (nothing is "
                                              "shown): ",
                                              kShortestPassword));
    if (!first) break;
    Secret password(std::move(*first));
    auto second = ask_secret(talk, "The same again: ");
    if (!second) break;
    Secret again(std::move(*second));
    if (password.text() != again.text()) {
      talk.out << "The two differ.\n";
      continue;
    }
    const auto made = add_manager(database, name, password.text());
    if (made) {
      talk.out << fmt::format("{} can log in.\n\n", made->name);
      return true;
    }
    if (made.error().trouble != StoreTrouble::refused &&
        made.error().trouble != StoreTrouble::exists)
      return sentence(as_sentence(made.error().message));
    talk.out << as_sentence(made.error().message) << '\n';
    // The password may be at fault or the name; only a name that was asked for is asked again.
    name = given_name;
  }
  return sentence("Without an account nothing is shared.");
}

}  // namespace

std::optional<std::string> ask_line(Talk& talk, std::string_view prompt) {
  talk.out << prompt << std::flush;
  std::string line;
  if (!std::getline(talk.in, line)) return std::nullopt;
  return std::string(trimmed(line));
}

std::optional<std::string> ask_secret(Talk& talk, std::string_view prompt) {
  constexpr int kInterrupt = 3, kEnd = 4, kBackspace = 8, kEraseLine = 21, kDelete = 127;
  // First: what is typed once the question stands there must not be shown.
  const SilentTerminal silent(talk.terminal);
  talk.out << prompt << std::flush;
  Secret secret;
  std::string& text = secret.text();
  for (bool reading = true; reading;) {
    const int key = talk.in.get();
    if (key == EOF || key == kInterrupt || key == kEnd) {
      if (key != EOF || text.empty()) {
        talk.out << '\n';
        return std::nullopt;
      }
      reading = false;
    } else if (key == '\n' || key == '\r') {
      reading = false;
    } else if (key == kBackspace || key == kDelete) {
      erase_last_character(text);
    } else if (key == kEraseLine) {
      text.clear();
    } else if (text.size() < kLongestAnswer) {
      text += static_cast<char>(key);
    }
  }
  talk.out << '\n';
  return text;
}

tl::expected<bool, std::string> ensure_manager(const Database& database,
                                               const ShareOptions& options, Talk* talk) {
  const auto all = accounts(database);
  if (!all) return sentence(as_sentence(all.error().message));
  const bool is_there = std::any_of(all->begin(), all->end(), [](const Account& account) {
    return account.role == Role::manage && account.has_password && !account.disabled;
  });
  if (is_there) return false;
  if (!options.manager.empty() && !options.password_file.empty())
    return manager_from_options(database, options);
  if (talk != nullptr) return manager_from_talk(database, options.manager, *talk);
  return sentence(
      "Nobody can log in yet, and there is no terminal to ask on. Run it once in a terminal, or "
      "give --manager NAME --password-file FILE.");
}

}  // namespace tautmark
