// SPDX-License-Identifier: Apache-2.0
#include "store/account_rows.h"

#include <fmt/format.h>
#include <soci/soci.h>

#include "base/case_fold.h"
#include "base/diagnostic.h"
#include "base/text.h"

namespace tautmark {
namespace {

constexpr std::size_t kLongestName = 60;

}  // namespace

std::string name_key(std::string_view name) { return case_folded(folded(name)); }

std::string checked_name(const std::string& what, const std::string& name) {
  const std::string plain(trimmed(name));
  if (first_invalid_utf8(plain))
    abandon(StoreTrouble::refused, fmt::format("{} is not readable text (UTF-8)", what));
  const std::size_t length = character_count(plain);
  if (length == 0 || length > kLongestName)
    abandon(StoreTrouble::refused,
            fmt::format("{} has 1 to {} characters; this has {}", what, kLongestName, length));
  for (std::size_t i = 0; i < plain.size(); ++i) {
    const auto byte = static_cast<unsigned char>(plain[i]);
    const bool is_c1 = byte == 0xC2 && static_cast<unsigned char>(plain[i + 1]) < 0xA0;
    if (byte < 0x20 || byte == 0x7F || is_c1)
      abandon(StoreTrouble::refused, fmt::format("{} holds a control character", what));
  }
  return plain;
}

std::vector<KnownAccount> account_rows(soci::session& session, const std::string& behind,
                                       const std::vector<std::string>& texts) {
  std::vector<KnownAccount> rows;
  KnownAccount row;
  std::string role;
  long long id = 0, created = 0;
  int disabled = 0;
  soci::statement statement(session);
  const auto into = [&](auto& value) { statement.exchange(soci::into(value)); };
  into(id);
  into(row.account.name);
  into(role);
  into(row.password_hash);
  into(row.pin_hash);
  into(disabled);
  into(created);
  for (const std::string& text : texts) statement.exchange(soci::use(text));
  statement.alloc();
  statement.prepare(
      "select id, name, role, password_hash, pin_hash, disabled, created from account " + behind,
      soci::details::st_one_time_query);
  statement.define_and_bind();
  statement.execute();
  while (statement.fetch()) {
    const auto known = role_of(role);
    if (!known)
      abandon(StoreTrouble::damaged,
              fmt::format("{} has a role that is none: \"{}\"", row.account.name, clipped(role)));
    row.account.id = id;
    row.account.role = *known;
    row.account.has_password = !row.password_hash.empty();
    row.account.has_pin = !row.pin_hash.empty();
    row.account.disabled = disabled != 0;
    row.account.created = created;
    rows.push_back(row);
  }
  return rows;
}

std::optional<KnownAccount> find_account(soci::session& session, const std::string& name) {
  auto rows = account_rows(session, "where folded = :f", {name_key(name)});
  if (rows.empty()) return std::nullopt;
  return std::move(rows.front());
}

KnownAccount account_row(soci::session& session, const std::string& name) {
  auto row = find_account(session, name);
  if (!row)
    abandon(StoreTrouble::not_found,
            fmt::format("there is no account with the name \"{}\"", clipped(name)));
  return std::move(*row);
}

void end_sessions_of_account(soci::session& session, long long account_id) {
  session << "delete from login_session where account_id = :a", soci::use(account_id);
}

void end_sessions_of_device(soci::session& session, const std::string& device_hash) {
  session << "delete from login_session where device_hash = :d", soci::use(device_hash);
}

}  // namespace tautmark
