// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <soci/soci.h>

#include "store/account_rows.h"
#include "store/accounts.h"
#include "store/cases.h"
#include "store/device_rows.h"
#include "store/secrets.h"

namespace tautmark {
namespace {

constexpr std::int64_t kSecond = 1'000'000;
constexpr std::int64_t kCodeLasts = 600 * kSecond;

std::vector<Device> device_rows(soci::session& session, const std::string& behind,
                                const std::string& hash) {
  std::vector<Device> rows;
  Device device;
  long long created = 0, last_seen = 0;
  int revoked = 0;
  soci::statement statement =
      (session.prepare << "select token_hash, name, created, last_seen, revoked from device"
                          " where (token_hash = :h or :all = '') " +
                              behind,
       soci::into(device.token_hash), soci::into(device.name), soci::into(created),
       soci::into(last_seen), soci::into(revoked), soci::use(hash), soci::use(hash));
  statement.execute();
  while (statement.fetch()) {
    device.created = created;
    device.last_seen = last_seen;
    device.revoked = revoked != 0;
    rows.push_back(device);
  }
  return rows;
}

void revoke(soci::session& session, const std::string& device_hash) {
  session << "update device set revoked = 1 where token_hash = :h", soci::use(device_hash);
  end_sessions_of_device(session, device_hash);
}

long long wrong_pins(soci::session& session, const std::string& device_hash) {
  long long wrong = 0;
  session << "select cast(coalesce(sum(wrong), 0) as bigint) from pin_try where device_hash = :h",
      soci::into(wrong), soci::use(device_hash);
  return wrong;
}

}  // namespace

std::optional<Device> find_device(soci::session& session, const std::string& device_hash) {
  auto rows = device_rows(session, "", device_hash);
  if (rows.empty()) return std::nullopt;
  return std::move(rows.front());
}

Stored<Device> begin_pin_try(const Database& database, const std::string& device_hash,
                             std::int64_t account_id, std::int64_t now) {
  return database.write_value<Device>([&](soci::session& session) {
    // One try of a device at a time gets past here.
    std::string locked;
    session << database.sql("select token_hash from device where token_hash = :h {for_update}"),
        soci::into(locked), soci::use(device_hash);
    auto device = find_device(session, device_hash);
    if (!device || device->revoked || wrong_pins(session, device_hash) >= kMostWrongPins)
      abandon(StoreTrouble::refused, std::string(kRevoked));
    const long long id = account_id, at = now;
    long long wrong = 0, last = 0;
    session << "select wrong, last from pin_try where device_hash = :h and account_id = :a",
        soci::into(wrong), soci::into(last), soci::use(device_hash), soci::use(id);
    if (!session.got_data()) {
      session << "insert into pin_try (device_hash, account_id, wrong, last)"
                 " values (:h, :a, 1, :l)",
          soci::use(device_hash), soci::use(id), soci::use(at);
      return *device;
    }
    const std::int64_t ready = std::min<std::int64_t>(last, now) + wait_after(wrong) * kSecond;
    if (wrong > 0 && now < ready) {
      const auto wait = static_cast<int>((ready - now + kSecond - 1) / kSecond);
      throw Abandon{
          {StoreTrouble::busy, fmt::format("too many wrong PINs; wait {} seconds", wait), wait}};
    }
    session << "update pin_try set wrong = wrong + 1, last = :l"
               " where device_hash = :h and account_id = :a",
        soci::use(at), soci::use(device_hash), soci::use(id);
    return *device;
  });
}

Stored<void> note_wrong_pin(const Database& database, const Device& device,
                            const std::string& subject) {
  return database.write([&](soci::session& session) {
    add_audit(database, session, device.name, "PIN refused", subject, {});
    if (wrong_pins(session, device.token_hash) < kMostWrongPins) return;
    add_audit(database, session, device.name, "device revoked", device.name,
              fmt::format("{} wrong PINs in a row", kMostWrongPins));
    revoke(session, device.token_hash);
  });
}

void forgive_pins(soci::session& session, const std::string& device_hash, std::int64_t account_id,
                  std::int64_t now) {
  const long long id = account_id, at = now;
  session << "delete from pin_try where device_hash = :h and account_id in (0, :a)",
      soci::use(device_hash), soci::use(id);
  session << "update device set last_seen = :l where token_hash = :h", soci::use(at),
      soci::use(device_hash);
}

Stored<std::string> new_pairing_code(const Database& database, const std::string& who,
                                     std::int64_t now) {
  return database.write_value<std::string>([&](soci::session& session) {
    const std::string code = new_code(), hash = token_hash(plain_code(code));
    const long long at = now, expires = now + kCodeLasts;
    add_audit(database, session, who, "pairing code made", "a tablet", {});
    session << "delete from pairing where expires <= :n", soci::use(at);
    session << "insert into pairing (code_hash, who, expires) values (:c, :w, :e)", soci::use(hash),
        soci::use(who), soci::use(expires);
    return code;
  });
}

Stored<std::string> pair_device(const Database& database, std::string_view code,
                                const std::string& device_name, std::int64_t now) {
  return database.write_value<std::string>([&](soci::session& session) {
    const std::string name = checked_name("the name of a tablet", device_name);
    const std::string code_hash = token_hash(plain_code(code));
    std::string who;
    long long expires = 0;
    session << database.sql("select who, expires from pairing where code_hash = :c {for_update}"),
        soci::into(who), soci::into(expires), soci::use(code_hash);
    if (!session.got_data() || expires <= now)
      abandon(StoreTrouble::refused,
              "this pairing code is wrong, used, or older than 10 minutes; ask for a new one at "
              "the desk");
    session << "delete from pairing where code_hash = :c", soci::use(code_hash);
    add_audit(database, session, who, "device paired", name, {});
    const std::string token = new_token(), hash = token_hash(token);
    const long long at = now;
    session << "insert into device (token_hash, name, created, last_seen, revoked)"
               " values (:h, :n, :c, :l, 0)",
        soci::use(hash), soci::use(name), soci::use(at), soci::use(at);
    return token;
  });
}

Stored<bool> is_paired(const Database& database, std::string_view device_token) {
  const std::string hash = token_hash(device_token);
  return database.read_value<bool>([&](soci::session& session) {
    const auto device = find_device(session, hash);
    return device && !device->revoked;
  });
}

Stored<std::vector<Device>> devices(const Database& database) {
  return database.read_value<std::vector<Device>>(
      [&](soci::session& session) { return device_rows(session, "order by created, name", ""); });
}

Stored<void> revoke_device(const Database& database, const std::string& token_hash,
                           const std::string& who) {
  return database.write([&](soci::session& session) {
    const auto device = token_hash.empty() ? std::nullopt : find_device(session, token_hash);
    if (!device) abandon(StoreTrouble::not_found, "there is no such paired tablet");
    add_audit(database, session, who, "device revoked", device->name, {});
    revoke(session, token_hash);
  });
}

}  // namespace tautmark
