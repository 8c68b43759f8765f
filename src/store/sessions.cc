// SPDX-License-Identifier: Apache-2.0
// Log-in and what follows from it. A password is hashed outside of any transaction: nobody waits
// for it but the one who logs in.
#include <fmt/format.h>
#include <soci/soci.h>

#include <algorithm>

#include "store/account_rows.h"
#include "store/accounts.h"
#include "store/cases.h"
#include "store/device_rows.h"
#include "store/secrets.h"

namespace tautmark {
namespace {

constexpr std::int64_t kSecond = 1'000'000;
constexpr std::int64_t kMinute = 60 * kSecond;
constexpr std::int64_t kDay = 1440 * kMinute;
constexpr std::int64_t kQuietEnd = 720 * kMinute;
constexpr std::int64_t kLongestSession = 30 * kDay;
constexpr std::int64_t kQuietEndOnDevice = 30 * kDay;
constexpr std::string_view kNobody = "a name that is not there";

auto refused() {
  return store_error(StoreTrouble::refused,
                     "the name or the password is wrong, or the account is disabled");
}
auto refused_pin() {
  return store_error(StoreTrouble::refused,
                     "the name or the PIN is wrong, no PIN is set, or the account is disabled");
}

std::int64_t end_of_session(bool on_device, std::int64_t created, std::int64_t last_seen) {
  return on_device ? last_seen + kQuietEndOnDevice
                   : std::min(last_seen + kQuietEnd, created + kLongestSession);
}

// Whether what was checked before the transaction began still holds.
KnownAccount unchanged_account(soci::session& session, const KnownAccount& checked) {
  auto now_there = find_account(session, checked.account.name);
  if (!now_there || now_there->account.disabled || now_there->account.id != checked.account.id ||
      now_there->password_hash != checked.password_hash || now_there->pin_hash != checked.pin_hash)
    throw Abandon{refused().value()};
  return std::move(*now_there);
}

NewSession insert_session(soci::session& session, const Account& account,
                          const std::string& device_hash, const std::string& device_name,
                          std::int64_t now) {
  NewSession made{new_token(), {account, device_name, 0}};
  made.session.expires = end_of_session(!device_hash.empty(), now, now);
  const std::string hash = token_hash(made.token);
  const long long id = account.id, at = now, expires = made.session.expires;
  session << "delete from login_session where expires < :n", soci::use(at);
  session << "insert into login_session (token_hash, account_id, device_hash, created, last_seen,"
             " expires) values (:t, :a, :d, :c, :l, :e)",
      soci::use(hash), soci::use(id), soci::use(device_hash), soci::use(at), soci::use(at),
      soci::use(expires);
  return made;
}

Stored<std::optional<KnownAccount>> account_of(const Database& database, const std::string& name) {
  return database.read_value<std::optional<KnownAccount>>(
      [&](soci::session& session) { return find_account(session, name); });
}

std::string subject_of(const std::optional<KnownAccount>& row) {
  return row ? row->account.name : std::string(kNobody);  // what was typed may be a password
}

struct SessionRow {
  LoginSession login;
  std::int64_t created = 0, last_seen = 0;
  bool on_device = false;
};

std::optional<SessionRow> find_session(soci::session& session, const std::string& hash,
                                       std::int64_t now) {
  long long account_id = 0, created = 0, last_seen = 0, expires = 0;
  std::string device_hash;
  session << "select account_id, device_hash, created, last_seen, expires from login_session"
             " where token_hash = :t",
      soci::into(account_id), soci::into(device_hash), soci::into(created), soci::into(last_seen),
      soci::into(expires), soci::use(hash);
  if (!session.got_data() || expires <= now) return std::nullopt;
  const auto rows = account_rows(session, fmt::format("where id = {}", account_id), {});
  if (rows.empty() || rows.front().account.disabled) return std::nullopt;
  SessionRow row{{rows.front().account, {}, expires}, created, last_seen, !device_hash.empty()};
  if (row.on_device) {
    const auto device = find_device(session, device_hash);
    if (!device || device->revoked) return std::nullopt;
    row.login.device = device->name;
  }
  return row;
}

}  // namespace

Stored<NewSession> log_in(const Database& database, const std::string& name,
                          std::string_view password, std::int64_t now) {
  const auto row = account_of(database, name);
  if (!row) return tl::make_unexpected(row.error());
  // Longer than any password: refused without the cost that grows with its length.
  const auto right = is_password(*row ? (*row)->password_hash : std::string(),
                                 password.substr(0, 4 * kLongestPassword + 1));
  if (!right) return tl::make_unexpected(right.error());
  if (!*right || (*row)->account.disabled) {
    const auto noted =
        note_audit(database, subject_of(*row), "log-in refused", subject_of(*row), {});
    if (!noted) return tl::make_unexpected(noted.error());
    return refused();
  }
  return database.write_value<NewSession>([&](soci::session& session) {
    const Account account = unchanged_account(session, **row).account;
    add_audit(database, session, account.name, "log-in", account.name, {});
    return insert_session(session, account, {}, {}, now);
  });
}

Stored<NewSession> log_in_with_pin(const Database& database, std::string_view device_token,
                                   const std::string& name, std::string_view pin,
                                   std::int64_t now) {
  const std::string device_hash = token_hash(device_token);
  const auto row = account_of(database, name);
  if (!row) return tl::make_unexpected(row.error());
  const std::int64_t account_id = *row ? (*row)->account.id : 0;
  // The try counts as a wrong one from its beginning: many at once get no further than one by one.
  const auto device = begin_pin_try(database, device_hash, account_id, now);
  if (!device) return tl::make_unexpected(device.error());
  const auto right =
      is_password(*row ? (*row)->pin_hash : std::string(), pin.substr(0, kLongestPin + 1));
  if (!right) return tl::make_unexpected(right.error());
  if (!*right || (*row)->account.disabled) {
    const auto counted = note_wrong_pin(database, *device, subject_of(*row));
    if (!counted) return tl::make_unexpected(counted.error());
    return refused_pin();
  }
  return database.write_value<NewSession>([&](soci::session& session) {
    const Account account = unchanged_account(session, **row).account;
    add_audit(database, session, account.name, "log-in", account.name,
              fmt::format("PIN on {}", device->name));
    // Looked at again behind the lock of the audit's end: it may have been revoked meanwhile.
    const auto still = find_device(session, device_hash);
    if (!still || still->revoked) abandon(StoreTrouble::refused, std::string(kRevoked));
    forgive_pins(session, device_hash, account_id, now);
    return insert_session(session, account, device_hash, device->name, now);
  });
}

Stored<LoginSession> session_of(const Database& database, std::string_view token, std::int64_t now,
                                SessionIs how) {
  const std::string hash = token_hash(token);
  auto row = database.read_value<std::optional<SessionRow>>(
      [&](soci::session& session) { return find_session(session, hash, now); });
  if (!row) return tl::make_unexpected(std::move(row.error()));
  if (!*row) return store_error(StoreTrouble::not_found, "nobody is logged in with this session");
  SessionRow& found = **row;
  if (how == SessionIs::used && now - found.last_seen >= kMinute && !database.is_read_only()) {
    const std::int64_t expires = end_of_session(found.on_device, found.created, now);
    // It is good until it ends as it stands: when this fails, the next request prolongs it.
    const auto prolonged = database.write([&](soci::session& session) {
      const long long at = now, until = expires;
      session << "update login_session set last_seen = :l, expires = :e where token_hash = :t",
          soci::use(at), soci::use(until), soci::use(hash);
    });
    if (prolonged) {
      found.login.expires = expires;
      const auto day = [&](std::int64_t at) { return (at - found.created) / kDay; };
      found.login.is_new_day = found.on_device && day(now) != day(found.last_seen);
    }
  }
  return std::move(found.login);
}

Stored<void> confirm_password(const Database& database, const std::string& name,
                              std::string_view password) {
  const auto row = account_of(database, name);
  if (!row) return tl::make_unexpected(row.error());
  const auto right = is_password(*row ? (*row)->password_hash : std::string(),
                                 password.substr(0, 4 * kLongestPassword + 1));
  if (!right) return tl::make_unexpected(right.error());
  if (*right) return {};
  const auto noted =
      note_audit(database, subject_of(*row), "own password refused", subject_of(*row), {});
  if (!noted) return tl::make_unexpected(noted.error());
  return store_error(StoreTrouble::refused, "this is not your password as it is now");
}

Stored<void> log_out(const Database& database, std::string_view token, std::int64_t now) {
  const std::string hash = token_hash(token);
  return database.write([&](soci::session& session) {
    const auto row = find_session(session, hash, now);
    if (!row) abandon(StoreTrouble::not_found, "nobody is logged in with this session");
    add_audit(database, session, row->login.account.name, "log-out", row->login.account.name, {});
    session << "delete from login_session where token_hash = :t", soci::use(hash);
  });
}

}  // namespace tautmark
