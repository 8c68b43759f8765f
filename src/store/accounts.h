// SPDX-License-Identifier: Apache-2.0
// Who may do what: accounts with a role, passwords (Argon2id), short PINs for paired tablets,
// sessions. Passwords, PINs and tokens are never stored, only their hashes; tokens are 32 random
// bytes as base64url. Times are microseconds UTC and come from the caller, so that tests need no
// waiting.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "store/database.h"

namespace tautmark {

// Each role may do what those before it may.
enum class Role { read, write, manage };
std::string_view role_name(Role role);
std::optional<Role> role_of(std::string_view name);

// How a name is compared: without regard to case (case_folded), runs of blanks folded to one.
std::string name_key(std::string_view name);

struct Account {
  std::int64_t id = 0;
  std::string name;
  Role role = Role::read;
  bool has_password = false, has_pin = false, disabled = false;
  std::int64_t created = 0;
};

struct Device {
  std::string token_hash, name;
  std::int64_t created = 0, last_seen = 0;
  bool revoked = false;
};

struct LoginSession {
  Account account;
  std::string device;  // name of the paired device, of a session opened with a PIN; empty: password
  std::int64_t expires = 0;
  // First use on another day of the session than the use before, and it was prolonged: whoever
  // keeps its token for a limited time is to keep it anew.
  bool is_new_day = false;
};

inline constexpr std::size_t kShortestPassword = 10, kLongestPassword = 200;  // characters
inline constexpr std::size_t kShortestPin = 4, kLongestPin = 8;               // digits

// A name is 1 to 60 characters without control characters, compared as name_key
// says. A password has 10 to 200 characters, a
// PIN 4 to 8 digits. Every act is noted in the audit. A new password ends the sessions of the
// account. At most two passwords or PINs are hashed at once (64 MiB each); who does not get a turn
// within some seconds hears `busy`.
Stored<Account> add_account(const Database& database, const std::string& name, Role role,
                            std::string_view password, const std::string& who);
// Several things at once: all of it or nothing; what is empty stays. The last account that may
// manage cannot be disabled, nor get another role. Disabling ends the sessions of the account too.
struct AccountChanges {
  std::optional<Role> role{};
  std::optional<std::string> password{}, pin{};
  std::optional<bool> disabled{};
};
Stored<Account> change_account(const Database& database, const std::string& name,
                               const AccountChanges& changes, const std::string& who);
// One of them.
Stored<void> set_password(const Database& database, const std::string& name,
                          std::string_view password, const std::string& who);
Stored<void> set_pin(const Database& database, const std::string& name, std::string_view pin,
                     const std::string& who);
Stored<void> set_role(const Database& database, const std::string& name, Role role,
                      const std::string& who);
Stored<void> set_disabled(const Database& database, const std::string& name, bool disabled,
                          const std::string& who);
// Before somebody changes their own password or PIN: refused when it is not their password.
Stored<void> confirm_password(const Database& database, const std::string& name,
                              std::string_view password);
Stored<std::vector<Account>> accounts(const Database& database);

// A session lasts 12 hours after its last use and 30 days at most; one from a paired device 30 days
// after its last use, so that nobody is logged out in mid-step.
struct NewSession {
  std::string token;
  LoginSession session;
};
// Costs as much for a name that is not there as for one that is. Refused with one and the same
// sentence for a wrong name, a wrong password and a disabled account.
Stored<NewSession> log_in(const Database& database, const std::string& name,
                          std::string_view password, std::int64_t now);
// A PIN works on a paired device only. Wrong ones in a row are counted in the store, for each name
// on each device, so that a restart forgives nothing: after kFreeTries of them the next is `busy`
// until its wait is over, and kMostWrongPins on one device, of all names together, revoke the
// device. A right PIN forgives its own name alone: knowing one PIN does not help to guess another.
inline constexpr int kMostWrongPins = 20;
Stored<NewSession> log_in_with_pin(const Database& database, std::string_view device_token,
                                   const std::string& name, std::string_view pin, std::int64_t now);
// not_found when there is none, or it ran out. A use prolongs it (written at most once a minute);
// a look does not.
enum class SessionIs { used, looked_at };
Stored<LoginSession> session_of(const Database& database, std::string_view token, std::int64_t now,
                                SessionIs how = SessionIs::used);
Stored<void> log_out(const Database& database, std::string_view token, std::int64_t now);

// Pairing: somebody who may manage asks for a code ("K7QM-4TRX": 40 random bits, no letter that
// looks like a digit), valid for 10 minutes and once; the tablet gives it back with its name and
// gets its token. Case, blanks and hyphens do not matter.
Stored<std::string> new_pairing_code(const Database& database, const std::string& who,
                                     std::int64_t now);
Stored<std::string> pair_device(const Database& database, std::string_view code,
                                const std::string& device_name, std::int64_t now);
Stored<bool> is_paired(const Database& database, std::string_view device_token);
Stored<std::vector<Device>> devices(const Database& database);
Stored<void> revoke_device(const Database& database, const std::string& token_hash,
                           const std::string& who);

struct TryRule {
  int free_tries = 5, longest_wait = 900;  // seconds
};
// After so many wrong tries in a row: 0, or 1, 2, 4 … up to the longest wait.
int wait_after(std::int64_t wrong_tries, TryRule rule = {});

// Slows down guessing, in memory: after the free wrong tries of one key (an address, a name) the
// next is let through only after a wait that doubles up to the longest. A key is forgotten a day
// after its last wrong try. Tries that were let through and are not yet noted count as wrong ones,
// so that many at once get no further than one after the other. Bounded to kMostKeys: the keys that
// were quiet longest go. Any thread.
class TryLimit {
 public:
  // 0: go ahead. Otherwise the seconds to wait.
  [[nodiscard]] int wait_seconds(const std::string& key, std::int64_t now);
  void note_wrong(const std::string& key, std::int64_t now);
  void note_right(const std::string& key);
  void note_let_go(const std::string& key);  // neither: the try did not take place
  [[nodiscard]] std::size_t size() const;
  explicit TryLimit(TryRule rule = {});
  TryLimit(const TryLimit&) = delete;
  TryLimit& operator=(const TryLimit&) = delete;
  ~TryLimit();

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};
inline constexpr int kFreeTries = TryRule{}.free_tries;
inline constexpr std::size_t kMostKeys = 10'000;

}  // namespace tautmark
