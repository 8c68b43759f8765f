// SPDX-License-Identifier: Apache-2.0
#include "store/case_rows.h"

#include <fmt/format.h>
#include <soci/soci.h>
#include <sodium.h>

#include <array>

#include "base/diagnostic.h"
#include "base/text.h"

namespace tautmark {
namespace {

constexpr std::string_view kColumns =
    "select id, uid, name, title, drive, invented, created, changed, keep_until, entries, "
    "next_entry, indent, head_seq, head_hash from cases ";

std::optional<CaseRow> one_case(const Database& database, soci::session& session,
                                const std::string& column, const std::string& value, Lock lock) {
  std::optional<CaseRow> found;
  each_case(database, session,
            fmt::format("where {} = :v{}", column, lock == Lock::yes ? " {for_update}" : ""),
            {value}, [&](const CaseRow& row) { found = row; });
  return found;
}

}  // namespace

void each_case(const Database& database, soci::session& session, const std::string& behind,
               const std::vector<std::string>& texts,
               const std::function<void(const CaseRow&)>& take) {
  CaseRow row;
  CaseSummary& s = row.summary;
  long long created = 0, changed = 0, keep_until = 0, entries = 0, head_seq = 0;
  int invented = 0;
  soci::statement statement(session);
  const auto into = [&](auto& value) { statement.exchange(soci::into(value)); };
  into(row.id);
  for (std::string* text : {&s.uid, &s.name, &s.title, &s.drive}) into(*text);
  into(invented);
  for (long long* number : {&created, &changed, &keep_until, &entries, &row.next_entry})
    into(*number);
  into(row.indent);
  into(head_seq);
  into(s.head_hash);
  for (const std::string& text : texts) statement.exchange(soci::use(text));
  statement.alloc();
  statement.prepare(database.sql(std::string(kColumns) + behind), soci::details::st_one_time_query);
  statement.define_and_bind();
  statement.execute();
  while (statement.fetch()) {
    s.invented = invented != 0;
    s.created = created;
    s.changed = changed;
    s.keep_until = keep_until;
    s.entries = entries;
    s.head_seq = head_seq;
    take(row);
  }
}

CaseRow case_row(const Database& database, soci::session& session, const std::string& name,
                 Lock lock) {
  auto row = one_case(database, session, "name", name, lock);
  if (!row)
    abandon(StoreTrouble::not_found,
            fmt::format("there is no case \"{}\" in the store", clipped(name)));
  return std::move(*row);
}

std::optional<CaseRow> case_row_of_uid(const Database& database, soci::session& session,
                                       const std::string& uid, Lock lock) {
  return one_case(database, session, "uid", uid, lock);
}

std::string new_uid() {
  std::array<unsigned char, 16> bytes{};
  randombytes_buf(bytes.data(), bytes.size());
  std::array<char, bytes.size() * 2 + 1> hex{};
  sodium_bin2hex(hex.data(), hex.size(), bytes.data(), bytes.size());
  return hex.data();
}

void check_line(const std::string& what, const std::string& text, std::size_t most) {
  if (text.size() > most)
    abandon(StoreTrouble::refused, fmt::format("{} is longer than {} bytes", what, most));
  for (const char c : text)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F)
      abandon(StoreTrouble::refused,
              fmt::format("{} has a line break or a control character in it", what));
  if (first_invalid_utf8(text))
    abandon(StoreTrouble::refused, fmt::format("{} is not readable text (UTF-8)", what));
}

void check_case_name(const std::string& name) {
  constexpr std::size_t kMostCharacters = 120, kMostBytes = 200;
  const std::size_t length = character_count(name);
  if (name.empty() || length > kMostCharacters || name.size() > kMostBytes || trimmed(name) != name)
    abandon(StoreTrouble::refused,
            fmt::format("the name of a case has 1 to {} characters, {} bytes of UTF-8 at most, and "
                        "no blank at its ends; this has {} characters, {} bytes",
                        kMostCharacters, kMostBytes, length, name.size()));
  check_line("the name of the case", name, kMostBytes);
  // What follows /api/cases/ in a path and is no case.
  if (name == "import")
    abandon(StoreTrouble::refused,
            "\"import\" is a word of the program; give the case another name");
  if (name.front() == '.' || name.find_first_of("/\\") != std::string::npos)
    abandon(StoreTrouble::refused, "the name of a case has no / or \\ and starts with no dot");
}

CaseRow insert_case(soci::session& session, const std::string& uid, const std::string& name) {
  check_case_name(name);
  CaseRow row;
  row.summary.uid = uid;
  row.summary.name = name;
  row.summary.head_hash = std::string(64, '0');
  row.summary.created = row.summary.changed = now_microseconds();
  const long long now = row.summary.created;
  session << "insert into cases (uid, name, title, drive, invented, created, changed, keep_until,"
             " entries, next_entry, indent, head_seq, head_hash)"
             " values (:u, :n, '', '', 0, :c, :d, 0, 0, 1, -1, 0, :h) on conflict do nothing"
             " returning id",
      soci::into(row.id), soci::use(uid), soci::use(name), soci::use(now), soci::use(now),
      soci::use(row.summary.head_hash);
  if (!session.got_data())
    abandon(StoreTrouble::exists, fmt::format("a case \"{}\" is in the store already", name));
  return row;
}

void each_record(soci::session& session, long long case_id, std::int64_t after_seq,
                 const std::function<void(CaseRecord)>& take,
                 const std::function<void(const CaseRecord&, const std::string&)>& unknown) {
  CaseRecord record;
  long long seq = 0, at = 0;
  const long long after = after_seq;
  std::string kind;
  soci::indicator has_key = soci::i_null;
  soci::statement statement =
      (session.prepare << "select seq, kind, entry_id, client_key, at, seat, body, hash from record"
                          " where case_id = :c and seq > :s order by seq",
       soci::into(seq), soci::into(kind), soci::into(record.entry_id),
       soci::into(record.client_key, has_key), soci::into(at), soci::into(record.seat),
       soci::into(record.body), soci::into(record.hash), soci::use(case_id), soci::use(after));
  statement.execute();
  while (statement.fetch()) {
    const auto known = record_kind(kind);
    record.seq = seq;
    if (!known && unknown) {
      unknown(record, kind);
      continue;
    }
    if (!known)
      abandon(StoreTrouble::damaged,
              fmt::format("record {} is of a kind \"{}\" that is none", seq, clipped(kind)));
    record.kind = *known;
    record.at = at;
    if (has_key != soci::i_ok) record.client_key.clear();
    take(record);
  }
}

std::vector<StoredFile> files_of(soci::session& session, long long case_id) {
  std::vector<StoredFile> files;
  StoredFile file;
  long long bytes = 0;
  soci::statement statement =
      (session.prepare << "select name, sha256, bytes from case_file where case_id = :c order by "
                          "name",
       soci::into(file.name), soci::into(file.sha256), soci::into(bytes), soci::use(case_id));
  statement.execute();
  while (statement.fetch()) {
    file.bytes = bytes;
    files.push_back(file);
  }
  return files;
}

std::string keep_until_text(std::int64_t keep_until) {
  if (keep_until == 0) return "no date";
  const std::string text = time_text(keep_until), day = text.substr(0, 10);
  return time_of(day) == keep_until ? day : text;
}

std::string imported_text(std::int64_t first, std::int64_t last) {
  return fmt::format("records {} to {} by import, with their chain", first, last);
}

std::string case_detail(const CaseSummary& summary, const std::string& more) {
  return fmt::format("uid {}, entries {}, head {}{}{}", summary.uid, summary.entries,
                     summary.head_hash, more.empty() ? "" : ": ", more);
}

}  // namespace tautmark
