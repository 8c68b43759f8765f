// SPDX-License-Identifier: Apache-2.0
// Each act writes its audit note first: that takes the lock of the audit's end, so that acts follow
// one another and no two of them disable the last two managers at the same time.
#include "store/accounts.h"

#include <fmt/format.h>
#include <soci/soci.h>

#include <algorithm>
#include <array>

#include "base/text.h"
#include "store/account_rows.h"
#include "store/cases.h"
#include "store/secrets.h"

namespace tautmark {
namespace {

constexpr std::array<std::string_view, 3> kRoles = {"read", "write", "manage"};

Stored<std::string> hash_of_new_password(std::string_view password) {
  if (first_invalid_utf8(password) || password.find('\0') != std::string_view::npos)
    return store_error(StoreTrouble::refused, "the password is not readable text (UTF-8)");
  const std::size_t length = character_count(password);
  if (length < kShortestPassword || length > kLongestPassword)
    return store_error(StoreTrouble::refused,
                       fmt::format("a password has {} to {} characters; this has {}",
                                   kShortestPassword, kLongestPassword, length));
  return password_hash(password);
}

Stored<std::string> hash_of_new_pin(std::string_view pin) {
  if (pin.size() < kShortestPin || pin.size() > kLongestPin ||
      pin.find_first_not_of("0123456789") != std::string_view::npos)
    return store_error(StoreTrouble::refused,
                       fmt::format("a PIN has {} to {} digits", kShortestPin, kLongestPin));
  return password_hash(pin);
}

// Whether somebody is left who may manage when `but` no longer does.
void check_manager_stays(soci::session& session, const Account& but) {
  if (but.role != Role::manage || but.disabled) return;
  const auto managers =
      account_rows(session, "where role = :r", {std::string(role_name(Role::manage))});
  const bool stays = std::any_of(managers.begin(), managers.end(), [&](const KnownAccount& row) {
    return row.account.id != but.id && !row.account.disabled;
  });
  if (!stays)
    abandon(
        StoreTrouble::refused,
        fmt::format("{} is the last one who may manage; let somebody else manage first", but.name));
}

void change(soci::session& session, const Account& account, const std::string& column,
            const std::string& value) {
  const long long id = account.id;
  session << "update account set " + column + " = :v where id = :i", soci::use(value),
      soci::use(id);
}

}  // namespace

std::string_view role_name(Role role) { return kRoles.at(static_cast<std::size_t>(role)); }

std::optional<Role> role_of(std::string_view name) {
  const auto* found = std::find(kRoles.begin(), kRoles.end(), name);
  if (found == kRoles.end()) return std::nullopt;
  return static_cast<Role>(found - kRoles.begin());
}

Stored<Account> add_account(const Database& database, const std::string& name, Role role,
                            std::string_view password, const std::string& who) {
  const auto hash = hash_of_new_password(password);
  if (!hash) return tl::make_unexpected(hash.error());
  return database.write_value<Account>([&](soci::session& session) {
    const std::string plain = checked_name("a name", name);
    add_audit(database, session, who, "account added", plain,
              fmt::format("may {}", role_name(role)));
    if (find_account(session, plain))
      abandon(StoreTrouble::exists, fmt::format("there is an account with the name \"{}\"", plain));
    const std::string key = name_key(plain), none, role_text(role_name(role));
    const long long now = now_microseconds();
    session << "insert into account (name, folded, role, password_hash, pin_hash, disabled,"
               " created) values (:n, :f, :r, :p, :q, 0, :c)",
        soci::use(plain), soci::use(key), soci::use(role_text), soci::use(*hash), soci::use(none),
        soci::use(now);
    return account_row(session, plain).account;
  });
}

Stored<Account> change_account(const Database& database, const std::string& name,
                               const AccountChanges& changes, const std::string& who) {
  std::string password, pin;  // hashes
  if (changes.pin) {
    const auto hash = hash_of_new_pin(*changes.pin);
    if (!hash) return tl::make_unexpected(hash.error());
    pin = *hash;
  }
  if (changes.password) {
    const auto hash = hash_of_new_password(*changes.password);
    if (!hash) return tl::make_unexpected(hash.error());
    password = *hash;
  }
  return database.write_value<Account>([&](soci::session& session) {
    // The account as it is behind the lock of the audit's end.
    const auto noted = [&](const std::string& what, const std::string& detail = {}) {
      add_audit(database, session, who, what, account_row(session, name).account.name, detail);
      return account_row(session, name).account;
    };
    if (changes.role) {
      const Account account = noted("role set", fmt::format("may {}", role_name(*changes.role)));
      if (*changes.role != Role::manage) check_manager_stays(session, account);
      change(session, account, "role", std::string(role_name(*changes.role)));
    }
    if (changes.password) {
      const Account account = noted("password set");
      change(session, account, "password_hash", password);
      end_sessions_of_account(session, account.id);
    }
    if (changes.pin) {
      const Account account = noted("PIN set");
      change(session, account, "pin_hash", pin);
      const long long id = account.id;
      session << "delete from pin_try where account_id = :a", soci::use(id);
    }
    if (changes.disabled) {
      const Account account = noted(*changes.disabled ? "account disabled" : "account enabled");
      if (*changes.disabled) check_manager_stays(session, account);
      const int value = *changes.disabled ? 1 : 0;
      const long long id = account.id;
      session << "update account set disabled = :d where id = :i", soci::use(value), soci::use(id);
      if (*changes.disabled) end_sessions_of_account(session, account.id);
    }
    return account_row(session, name).account;
  });
}

namespace {

Stored<void> changed(const Database& database, const std::string& name,
                     const AccountChanges& changes, const std::string& who) {
  const auto done = change_account(database, name, changes, who);
  if (!done) return tl::make_unexpected(done.error());
  return {};
}

}  // namespace

Stored<void> set_password(const Database& database, const std::string& name,
                          std::string_view password, const std::string& who) {
  return changed(database, name, {.password = std::string(password)}, who);
}

Stored<void> set_pin(const Database& database, const std::string& name, std::string_view pin,
                     const std::string& who) {
  return changed(database, name, {.pin = std::string(pin)}, who);
}

Stored<void> set_role(const Database& database, const std::string& name, Role role,
                      const std::string& who) {
  return changed(database, name, {.role = role}, who);
}

Stored<void> set_disabled(const Database& database, const std::string& name, bool disabled,
                          const std::string& who) {
  return changed(database, name, {.disabled = disabled}, who);
}

Stored<std::vector<Account>> accounts(const Database& database) {
  return database.read_value<std::vector<Account>>([&](soci::session& session) {
    std::vector<Account> all;
    for (KnownAccount& row : account_rows(session, "order by folded", {}))
      all.push_back(std::move(row.account));
    return all;
  });
}

}  // namespace tautmark
