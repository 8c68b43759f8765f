// SPDX-License-Identifier: Apache-2.0
// The audit: whether it holds, and what it says should be there.
#include <fmt/format.h>
#include <soci/soci.h>

#include <cstdio>

#include "store/account_rows.h"
#include "store/verify.h"

namespace tautmark {
namespace {

std::string uid_in(const std::string& detail) {
  return detail.starts_with("uid ") ? detail.substr(4, detail.find(',') - 4) : std::string();
}

// What follows the facts of the case in a note about it.
std::string more_in(const std::string& detail) {
  const auto at = detail.find(": ");
  return at == std::string::npos ? std::string() : detail.substr(at + 2);
}

void take_brought(const AuditEntry& entry, CaseStory& story) {
  long long first = 0, last = 0;
  if (std::sscanf(more_in(entry.detail).c_str(), "records %lld to %lld by import", &first, &last) ==
      2)
    story.brought.push_back({first, last, entry.who, entry.at});
}

}  // namespace

void AuditStory::take(const AuditEntry& entry) {
  const std::string uid = uid_in(entry.detail);
  if (entry.what == "case made") {
    cases[uid] = CaseStory{entry.subject, entry.at, "no date", {}};
    take_brought(entry, cases[uid]);
  }
  if (entry.what == "case deleted") cases.erase(uid);
  const auto there = cases.find(uid);
  if (entry.what == "keep until" && there != cases.end())
    there->second.keep_until = more_in(entry.detail).substr(0, more_in(entry.detail).find(": "));
  if (entry.what == "records imported" && there != cases.end()) take_brought(entry, there->second);

  const std::string key = name_key(entry.subject);
  if (entry.what == "account added") accounts[key] = {entry.subject, entry.detail};
  const auto account = accounts.find(key);
  if (account == accounts.end()) return;
  if (entry.what == "role set") account->second.may = entry.detail;
  if (entry.what == "account disabled") account->second.disabled = true;
  if (entry.what == "account enabled") account->second.disabled = false;
  if (entry.what == "PIN set") account->second.had_pin = true;
}

std::vector<std::string> verify_audit(soci::session& session, AuditStory& story,
                                      const std::optional<std::string>& head_hash) {
  std::vector<std::string> found;
  std::string hash(64, '0');
  std::int64_t number = 0;
  bool head_found = !head_hash;
  constexpr int kPage = 5000;
  for (bool more = true; more;) {
    more = false;
    each_audit(session, number, kPage, [&](const AuditEntry& entry) {
      more = true;
      if (entry.number > number + 1)
        found.push_back("audit: " + missing_text(number + 1, entry.number - 1));
      else if (audit_hash(hash, entry) != entry.hash)
        found.push_back(
            fmt::format("audit: record {} was changed after it was stored", entry.number));
      hash = entry.hash;
      number = entry.number;
      if (head_hash && hash == *head_hash) head_found = true;
      story.take(entry);
    });
  }
  long long end = 0;
  std::string end_hash;
  session << "select number, hash from audit_end where id = 1", soci::into(end),
      soci::into(end_hash);
  if (end != number || end_hash != hash)
    found.push_back(fmt::format("audit: the end is missing: it knows of {} records, {} are there",
                                end, number));
  if (!head_found)
    found.push_back(
        fmt::format("audit: no record has the hash {} that was written down: the end "
                    "was cut off or written anew",
                    *head_hash));
  return found;
}

std::optional<CaseStory> story_of_case(soci::session& session, const std::string& uid) {
  AuditStory story;
  AuditEntry entry;
  long long at = 0;
  const std::string begin = "uid " + uid + ",%";
  soci::statement statement =
      (session.prepare << "select at, who, what, subject, detail from audit"
                          " where detail like :d order by number",
       soci::into(at), soci::into(entry.who), soci::into(entry.what), soci::into(entry.subject),
       soci::into(entry.detail), soci::use(begin));
  statement.execute();
  while (statement.fetch()) {
    entry.at = at;
    story.take(entry);
  }
  const auto found = story.cases.find(uid);
  if (found == story.cases.end()) return std::nullopt;
  return found->second;
}

std::vector<std::string> verify_accounts(soci::session& session, const AuditStory& story) {
  std::vector<std::string> found;
  auto expected = story.accounts;
  for (const KnownAccount& row : account_rows(session, "order by folded", {})) {
    const Account& account = row.account;
    const auto say = [&](const std::string& sentence) {
      found.push_back(fmt::format("account \"{}\": {}", account.name, sentence));
    };
    const auto there = expected.find(name_key(account.name));
    if (there == expected.end()) {
      say("the audit does not know that it was made");
      continue;
    }
    const AccountStory& said = there->second;
    if (said.name != account.name) say(fmt::format("the audit knows it as \"{}\"", said.name));
    const std::string may = fmt::format("may {}", role_name(account.role));
    if (said.may != may) say(fmt::format("{}, but the audit says: {}", may, said.may));
    if (said.disabled != account.disabled)
      say(account.disabled ? "is disabled without a note in the audit"
                           : "is not disabled, as the audit says");
    if (account.has_pin && !said.had_pin) say("has a PIN that the audit does not know of");
    const auto by_name = find_account(session, account.name);
    if (!by_name || by_name->account.id != account.id) say("is not found by its name");
    expected.erase(there);
  }
  for (const auto& [key, account] : expected)
    found.push_back(fmt::format("account \"{}\" is gone", account.name));
  return found;
}

}  // namespace tautmark
