// SPDX-License-Identifier: Apache-2.0
// The rows of a case, inside a transaction of the caller's. Everything here throws Abandon or an
// error of the database.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "store/cases.h"

namespace tautmark {

struct CaseRow {
  long long id = 0;
  CaseSummary summary;
  long long next_entry = 1;
  int indent = -1;  // blanks before the dash of its entries; -1: no entry yet
};

enum class Lock { no, yes };
// By name; abandoned as not_found.
CaseRow case_row(const Database& database, soci::session& session, const std::string& name,
                 Lock lock = Lock::no);
std::optional<CaseRow> case_row_of_uid(const Database& database, soci::session& session,
                                       const std::string& uid, Lock lock = Lock::no);
// All rows of "select … from cases" with `behind` after it, in its order.
void each_case(const Database& database, soci::session& session, const std::string& behind,
               const std::vector<std::string>& texts,
               const std::function<void(const CaseRow&)>& take);

std::string new_uid();
void check_case_name(const std::string& name);
// A new row without records; its audit note is the caller's.
CaseRow insert_case(soci::session& session, const std::string& uid, const std::string& name);

// A text that comes from outside and stands in a record, one line of at most `most` bytes.
void check_line(const std::string& what, const std::string& text, std::size_t most);

// Puts the records at the end of the chain (seq and hash are set here), with all that is derived
// from them: entry ids, files, words, the row itself. The bytes of files must be stored.
void write_records(soci::session& session, CaseRow& row, std::vector<CaseRecord>& records);

// The same with ids given and with what was there already left out; a receipt for each.
std::vector<Receipt> append_records(soci::session& session, CaseRow& row,
                                    const std::vector<NewRecord>& records, const std::string& seat,
                                    std::optional<std::int64_t> only_after_seq = std::nullopt);

// A record of a kind that is none is damage, unless `unknown` takes it.
void each_record(
    soci::session& session, long long case_id, std::int64_t after_seq,
    const std::function<void(CaseRecord)>& take,
    const std::function<void(const CaseRecord&, const std::string& kind)>& unknown = {});
std::vector<StoredFile> files_of(soci::session& session, long long case_id);

// "2036-12-31", with the time of day where it is not the first moment of it; or "no date".
std::string keep_until_text(std::int64_t keep_until);

// What an import says in the audit of the records that came with their chain.
std::string imported_text(std::int64_t first, std::int64_t last);

// The audit's detail of an act on a case: starts with its uid.
std::string case_detail(const CaseSummary& summary, const std::string& more = {});

}  // namespace tautmark
