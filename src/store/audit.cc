// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <soci/soci.h>

#include "base/hash.h"
#include "base/text.h"
#include "store/case_rows.h"
#include "store/verify.h"

namespace tautmark {

std::string audit_hash(std::string_view previous, const AuditEntry& entry) {
  return sha256_hex(fmt::format("tautmark-audit/1\n{}\n{}\n{}\n{}\n{}\n{}\n{}\n", previous,
                                entry.number, entry.at, entry.who, entry.what, entry.subject,
                                sha256_hex(entry.detail)));
}

void add_audit(const Database& database, soci::session& session, const std::string& who,
               const std::string& what, const std::string& subject, const std::string& detail) {
  check_line("the name of the one who does it", who, 200);
  check_line("the act", what, 40);
  check_line("what it is done to", subject, 400);
  if (detail.find('\0') != std::string::npos || first_invalid_utf8(detail))
    abandon(StoreTrouble::refused, "the reason is not readable text (UTF-8)");
  long long number = 0;
  std::string previous;
  session << database.sql("select number, hash from audit_end where id = 1 {for_update}"),
      soci::into(number), soci::into(previous);
  if (!session.got_data()) abandon(StoreTrouble::damaged, "the audit has lost its end");
  const AuditEntry entry{number + 1, now_microseconds(), who, what, subject, detail, {}};
  const std::string hash = audit_hash(previous, entry);
  const long long at = entry.at;
  ++number;
  session << "insert into audit (number, at, who, what, subject, detail, hash)"
             " values (:n, :a, :w, :x, :s, :d, :h)",
      soci::use(number), soci::use(at), soci::use(who), soci::use(what), soci::use(subject),
      soci::use(detail), soci::use(hash);
  session << "update audit_end set number = :n, hash = :h where id = 1", soci::use(number),
      soci::use(hash);
}

Stored<void> note_audit(const Database& database, const std::string& who, const std::string& what,
                        const std::string& subject, const std::string& detail) {
  return database.write(
      [&](soci::session& session) { add_audit(database, session, who, what, subject, detail); });
}

void each_audit(soci::session& session, std::int64_t after_number, int limit,
                const std::function<void(const AuditEntry&)>& take) {
  AuditEntry entry;
  long long number = 0, at = 0;
  const long long after = after_number;
  soci::statement statement =
      (session.prepare << "select number, at, who, what, subject, detail, hash from audit"
                          " where number > :a order by number limit :l",
       soci::into(number), soci::into(at), soci::into(entry.who), soci::into(entry.what),
       soci::into(entry.subject), soci::into(entry.detail), soci::into(entry.hash),
       soci::use(after), soci::use(limit));
  statement.execute();
  while (statement.fetch()) {
    entry.number = number;
    entry.at = at;
    take(entry);
  }
}

Stored<AuditEntry> audit_end(const Database& database) {
  return database.read_value<AuditEntry>([](soci::session& session) {
    AuditEntry end;
    long long number = 0;
    session << "select number, hash from audit_end where id = 1", soci::into(number),
        soci::into(end.hash);
    end.number = number;
    return end;
  });
}

Stored<std::vector<AuditEntry>> audit_entries(const Database& database, std::int64_t after_number,
                                              int limit) {
  return database.read_value<std::vector<AuditEntry>>([&](soci::session& session) {
    std::vector<AuditEntry> entries;
    each_audit(session, after_number, limit,
               [&](const AuditEntry& entry) { entries.push_back(entry); });
    return entries;
  });
}

}  // namespace tautmark
