// SPDX-License-Identifier: Apache-2.0
// Accounts, paired devices and the audit: for those who may manage.
#include "serve/answer.h"
#include "serve/handlers.h"

namespace tautmark {
namespace {

constexpr std::int64_t kMinute = 60'000'000;
constexpr std::int64_t kPairingMinutes = 10;
constexpr std::int64_t kMostListed = 1000;

AccountRow row_of(const Account& account) {
  return {account.name,    account.role,     account.has_password,
          account.has_pin, account.disabled, time_text(account.created)};
}

Response list_accounts(Shop& shop, Request&) {
  const auto all = accounts(shop.database());
  if (!all) return problem_of(all.error());
  AccountList list;
  for (const Account& account : *all) list.accounts.push_back(row_of(account));
  return answer(list);
}

Response new_account(Shop& shop, Request& request) {
  const auto asked = body_as<NewAccount>(request);
  if (!asked) return asked.error();
  const auto made =
      add_account(shop.database(), asked->name, asked->role, asked->password, request.seat);
  return made ? answer(row_of(*made), 201) : problem_of(made.error());
}

Response change_account_named(Shop& shop, Request& request) {
  const auto asked = body_as<AccountChange>(request);
  if (!asked) return asked.error();
  const auto changed =
      change_account(shop.database(), request.parts["name"],
                     {asked->role, asked->password, asked->pin, asked->disabled}, request.seat);
  return changed ? answer(row_of(*changed)) : problem_of(changed.error());
}

Response list_devices(Shop& shop, Request&) {
  const auto all = devices(shop.database());
  if (!all) return problem_of(all.error());
  DeviceList list;
  for (const Device& device : *all)
    list.devices.push_back({device.token_hash, device.name, time_text(device.created),
                            time_text(device.last_seen), device.revoked});
  return answer(list);
}

Response revoke(Shop& shop, Request& request) {
  const auto done = revoke_device(shop.database(), request.parts["id"], request.seat);
  return done ? nothing_more() : problem_of(done.error());
}

Response pairing_code(Shop& shop, Request& request) {
  const std::int64_t now = now_microseconds();
  const auto code = new_pairing_code(shop.database(), request.seat, now);
  if (!code) return problem_of(code.error());
  return answer(PairingCode{*code, time_text(now + kPairingMinutes * kMinute)}, 201);
}

Response list_audit(Shop& shop, Request& request) {
  const auto after = number_asked(request, "after", 0, 0, INT64_MAX);
  if (!after) return after.error();
  const auto limit = number_asked(request, "limit", 100, 1, kMostListed);
  if (!limit) return limit.error();
  const auto entries = audit_entries(shop.database(), *after, static_cast<int>(*limit));
  if (!entries) return problem_of(entries.error());
  AuditList list;
  for (const AuditEntry& entry : *entries)
    list.entries.push_back({entry.number, time_text(entry.at), entry.who, entry.what, entry.subject,
                            entry.detail, entry.hash});
  return answer(list);
}

}  // namespace

std::span<const Handler> account_handlers() {
  static constexpr Handler kHandlers[] = {
      {"listAccounts", &list_accounts},
      {"addAccount", &new_account},
      {"changeAccount", &change_account_named},
      {"listDevices", &list_devices},
      {"revokeDevice", &revoke},
      {"newPairingCode", &pairing_code},
      {"listAudit", &list_audit},
  };
  return kHandlers;
}

}  // namespace tautmark
