// SPDX-License-Identifier: Apache-2.0
#include "store/database_errors.h"

#include <soci/postgresql/soci-postgresql.h>
#include <soci/soci.h>
#include <soci/sqlite3/soci-sqlite3.h>

#include "base/text.h"

namespace tautmark {
namespace {

// Result codes of sqlite3.h; the lowest byte tells the sort (https://sqlite.org/rescode.html).
enum SqliteCode {
  kBusy = 5,
  kLocked = 6,
  kReadOnly = 8,
  kIoError = 10,
  kCorrupt = 11,
  kFull = 13,
  kCannotOpen = 14,
  kConstraint = 19,
  kNotADatabase = 26,
};

std::optional<int> sqlite_code(const soci::soci_error& error) {
  const auto* own = dynamic_cast<const soci::sqlite3_soci_error*>(&error);
  if (own == nullptr) return std::nullopt;
  return own->result() & 0xff;
}

std::string sqlstate(const soci::soci_error& error) {
  const auto* own = dynamic_cast<const soci::postgresql_soci_error*>(&error);
  return own == nullptr ? std::string() : own->sqlstate();
}

// One clause of what the database says, without the command that SOCI puts behind it and the names
// of functions that it puts before.
std::string its_words(const soci::soci_error& error) {
  std::string words = error.what();
  for (const std::string_view end : {"\n", " while executing", " while preparing"})
    if (const auto at = words.find(end); at != std::string::npos) words.resize(at);
  // "sqlite3_statement_backend::loadOne: database disk image is malformed"
  for (auto at = words.find(": "); at != std::string::npos && words.find(' ') > at;
       at = words.find(": "))
    words.erase(0, at + 2);
  return std::string(trimmed(words));
}

StoreError of_sqlite(int code, const std::string& words) {
  switch (code) {
    case kFull:
      return {StoreTrouble::full, "the disk of the store is full; nothing was written"};
    case kReadOnly:
      return {StoreTrouble::read_only, "the store can be read but not written"};
    case kBusy:
    case kLocked:
      return {StoreTrouble::busy, "another program holds the store; try again"};
    case kCannotOpen:
      return {StoreTrouble::unreachable, "the file of the store cannot be opened"};
    case kIoError:
      return {StoreTrouble::unreachable,
              "the disk of the store does not answer as it should; nothing was written (" + words +
                  ")"};
    case kCorrupt:
      return {StoreTrouble::damaged, "the file of the store is damaged (" + words + ")"};
    case kNotADatabase:
      return {StoreTrouble::damaged, "this file is not a store"};
    default:
      return {StoreTrouble::refused, "the database refused: " + words};
  }
}

// Classes of https://www.postgresql.org/docs/15/errcodes-appendix.html
StoreError of_postgresql(const std::string& state, const std::string& words) {
  const std::string sort = state.substr(0, 2);
  if (state == "53100" || state == "53200")
    return {StoreTrouble::full, "the disk of the database is full; nothing was written"};
  if (state == "25006")
    return {StoreTrouble::read_only, "the database can be read but not written"};
  if (state == "55P03" || state == "57014" || state == "40001" || state == "40P01")
    return {StoreTrouble::busy, "the database was held by somebody else; try again"};
  if (sort == "08" || sort == "57" || state == "53300")
    return {StoreTrouble::unreachable, "the database does not answer; try again later"};
  if (sort == "28")
    return {StoreTrouble::unreachable, "the database refuses this name or password"};
  if (sort == "58") {
    return {words.find("No space left") != std::string::npos ? StoreTrouble::full
                                                             : StoreTrouble::unreachable,
            "the database cannot use its disk; nothing was written"};
  }
  if (sort == "XX") return {StoreTrouble::damaged, "the database is damaged (" + words + ")"};
  return {StoreTrouble::refused, "the database refused: " + words};
}

}  // namespace

bool is_connection_lost(const soci::soci_error& error, soci::session& session) {
  if (sqlite_code(error)) return false;
  const std::string state = sqlstate(error);
  if (state.starts_with("08") || state == "57P01" || state == "57P02" || state == "57P03")
    return true;
  if (!session.is_connected()) return true;
  if (session.get_backend_name() != "postgresql") return false;
  const auto* backend = static_cast<soci::postgresql_session_backend*>(session.get_backend());
  return PQstatus(backend->conn_) != CONNECTION_OK;
}

std::string why_not_connected(const soci::soci_error& error) {
  // libpq says a line for each address that it tried: "connection to server at … failed: FATAL:  …"
  std::string why;
  for (const std::string& line : split(error.what(), '\n'))
    for (const std::string_view before : {"failed: ", "error: ", "could not "})
      if (const auto at = line.find(before); at != std::string::npos) {
        why = line.substr(before == "could not " ? at : at + before.size());
        break;
      }
  if (why.starts_with("FATAL:")) why.erase(0, std::string_view("FATAL:").size());
  return std::string(trimmed(why));
}

bool is_duplicate(const soci::soci_error& error) {
  if (const auto code = sqlite_code(error))
    return *code == kConstraint &&
           std::string_view(error.what()).find("UNIQUE") != std::string_view::npos;
  return sqlstate(error) == "23505";
}

StoreError store_error_of(const soci::soci_error& error, soci::session& session) {
  if (const auto code = sqlite_code(error)) return of_sqlite(*code, its_words(error));
  if (is_connection_lost(error, session))
    return {StoreTrouble::unreachable, "the database does not answer; try again later"};
  return of_postgresql(sqlstate(error), its_words(error));
}

}  // namespace tautmark
