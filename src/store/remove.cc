// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <soci/soci.h>

#include "base/text.h"
#include "store/blobs.h"
#include "store/case_rows.h"

namespace tautmark {
namespace {

void check_reason(const std::string& reason) {
  if (trimmed(reason).empty())
    abandon(StoreTrouble::refused, "say why: the reason stays in the audit");
}

// Files that no other case holds. Their pieces go afterwards, a few at a time.
void remove_files(const Database& database, soci::session& session, const CaseRow& row) {
  const auto files = files_of(session, row.id);
  session << "delete from case_file where case_id = :c", soci::use(row.id);
  for (const StoredFile& file : files) {
    std::string key;
    session << database.sql("select blob_key from blob where sha256 = :s {for_update}"),
        soci::into(key), soci::use(file.sha256);
    if (!session.got_data()) continue;
    long long holders = 0;
    session << "select count(*) from case_file where sha256 = :s", soci::into(holders),
        soci::use(file.sha256);
    if (holders == 0) forget_blob(session, file.sha256, key);
  }
}

}  // namespace

Stored<void> CaseStore::remove(const std::string& name, const std::string& who,
                               const std::string& reason, Sweep sweep) const {
  auto removed = database_->write([&](soci::session& session) {
    check_reason(reason);
    const CaseRow row = case_row(*database_, session, name, Lock::yes);
    if (row.summary.keep_until > now_microseconds())
      abandon(StoreTrouble::refused, fmt::format("the case \"{}\" is to be kept until {}", name,
                                                 time_text(row.summary.keep_until).substr(0, 10)));
    remove_files(*database_, session, row);
    for (const char* table : {"word", "entry_id", "record"})
      session << fmt::format("delete from {} where case_id = {}", table, row.id);
    session << "delete from cases where id = :c", soci::use(row.id);
    add_audit(*database_, session, who, "case deleted", name, case_detail(row.summary, reason));
  });
  // The case is gone whether or not its bytes can be swept now; the next upload does it otherwise.
  if (removed && sweep == Sweep::now) sweep_deleted(*database_);
  return removed;
}

Stored<void> CaseStore::set_keep_until(const std::string& name, std::int64_t keep_until,
                                       const std::string& who, const std::string& reason) const {
  return database_->write([&](soci::session& session) {
    check_reason(reason);
    const CaseRow row = case_row(*database_, session, name, Lock::yes);
    const long long until = keep_until;
    session << "update cases set keep_until = :k where id = :c", soci::use(until),
        soci::use(row.id);
    add_audit(*database_, session, who, "keep until", name,
              case_detail(row.summary, fmt::format("{}: {}", keep_until_text(keep_until), reason)));
  });
}

}  // namespace tautmark
