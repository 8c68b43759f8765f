// SPDX-License-Identifier: Apache-2.0
// Every column travels as text, whichever database it comes from and goes to; bytes go piece by
// piece. The other store is empty or complete: all of it is one transaction.
#include <fmt/format.h>
#include <soci/soci.h>

#include <map>

#include "store/case_rows.h"
#include "store/exchange.h"
#include "store/row_insert.h"
#include "store/verify.h"

namespace tautmark {
namespace {

struct Table {
  const char* name;
  std::vector<const char*> columns;
  const char* where = "";
};

// In the order in which they need each other. Sessions stay behind: everybody logs in anew.
const std::vector<Table>& whole_tables() {
  static const std::vector<Table> kTables = {
      {"blob", {"sha256", "blob_key", "bytes", "pieces", "stored"}},
      {"cases",
       {"id", "uid", "name", "title", "drive", "invented", "created", "changed", "keep_until",
        "entries", "next_entry", "indent", "head_seq", "head_hash"}},
      {"audit", {"number", "at", "who", "what", "subject", "detail", "hash"}},
      {"audit_end", {"id", "number", "hash"}},
      {"account",
       {"id", "name", "folded", "role", "password_hash", "pin_hash", "disabled", "created"}},
      {"device", {"token_hash", "name", "created", "last_seen", "revoked"}},
      {"setting", {"name", "value"}, "where name <> 'store_id'"}};
  return kTables;
}
// Copied case by case, so that the memory holds one case at most.
const std::vector<Table>& case_tables() {
  static const std::vector<Table> kTables = {
      {"record",
       {"case_id", "seq", "kind", "entry_id", "client_key", "at", "seat", "body", "hash"}},
      {"entry_id", {"case_id", "id"}},
      {"case_file", {"case_id", "name", "sha256", "bytes"}},
      {"word", {"word", "case_id"}}};
  return kTables;
}

std::string column_list(const Table& table, const char* pattern) {
  std::string list;
  for (const char* column : table.columns)
    list += fmt::format(fmt::runtime(pattern), list.empty() ? "" : ", ", column);
  return list;
}

long long count_rows(soci::session& session, const std::string& table_and_condition) {
  long long count = 0;
  session << "select count(*) from " + table_and_condition, soci::into(count);
  return count;
}

class Copier {
 public:
  Copier(const Database& from, const Database& to, soci::session& source, soci::session& target,
         const std::function<void(std::int64_t)>& progress)
      : from_(from), to_(to), source_(source), target_(target), progress_(progress) {}

  void run() {
    check_empty();
    target_ << "delete from audit_end";
    for (const Table& table : whole_tables()) copy(table, table.where);
    copy_pieces();
    std::vector<long long> ids;
    each_case(from_, source_, "order by id", {},
              [&](const CaseRow& row) { ids.push_back(row.id); });
    for (const long long id : ids)
      for (const Table& table : case_tables()) copy(table, fmt::format("where case_id = {}", id));
    count_on();
    compare();
    add_audit(to_, target_, "copy", "store copied", from_.address().shown().substr(0, 400),
              fmt::format("rows {}", rows_));
  }

 private:
  void check_empty() {
    for (const char* table : {"cases", "audit", "account", "blob", "device"})
      if (count_rows(target_, table) > 0)
        abandon(StoreTrouble::exists,
                "the store to copy into is not empty; copy into a new one, nothing was written");
  }

  void copy(const Table& table, const std::string& where) {
    // Rows are fetched many at a time.
    constexpr std::size_t kRows = 200;
    std::vector<std::vector<std::string>> values(table.columns.size());
    std::vector<std::vector<soci::indicator>> there(table.columns.size());
    soci::statement statement(source_);
    for (std::size_t i = 0; i < values.size(); ++i) {
      values[i].resize(kRows);
      there[i].resize(kRows);
      statement.exchange(soci::into(values[i], there[i]));
    }
    statement.alloc();
    statement.prepare(fmt::format("select {} from {} {}", column_list(table, "{}cast({} as text)"),
                                  table.name, where),
                      soci::details::st_one_time_query);
    statement.define_and_bind();
    statement.execute();
    RowInsert rows(target_, fmt::format("{} ({})", table.name, column_list(table, "{}{}")));
    while (statement.fetch()) {
      const std::size_t count = values.front().size();
      for (std::size_t row = 0; row < count; ++row) {
        std::vector<RowInsert::Value> line;
        for (std::size_t i = 0; i < values.size(); ++i)
          line.push_back(there[i][row] == soci::i_ok ? RowInsert::Value(values[i][row])
                                                     : RowInsert::Value(RowInsert::Null{}));
        rows.add(std::move(line));
      }
      advance(static_cast<std::int64_t>(count));
      for (std::size_t i = 0; i < values.size(); ++i) {
        values[i].resize(kRows);
        there[i].resize(kRows);
      }
    }
    rows.finish();
  }

  void copy_pieces() {
    std::map<std::string, long long> blobs;
    std::string key;
    long long pieces = 0;
    soci::statement statement = (source_.prepare << "select blob_key, pieces from blob",
                                 soci::into(key), soci::into(pieces));
    statement.execute();
    while (statement.fetch()) blobs[key] = pieces;
    for (const auto& [blob, count] : blobs) {
      for (long long number = 0; number < count; ++number) {
        const std::string bytes = select_piece(from_, source_, blob, number);
        // A missing piece is named by the comparison at the end.
        if (!bytes.empty()) insert_piece(to_, target_, blob, number, bytes);
        advance(1);
      }
    }
  }

  // Rows were written with the numbers they had; new ones go on behind them.
  void count_on() {
    if (to_.kind() != DatabaseKind::server) return;
    for (const char* table : {"cases", "account"}) {
      long long next = 0;
      target_ << fmt::format(
          "select setval(pg_get_serial_sequence('{0}', 'id'), (select coalesce(max(id), 0) + 1 "
          "from "
          "{0}), false)",
          table),
          soci::into(next);
    }
  }

  void compare() {
    const auto check = [&](const Table& table) {
      const std::string rows = fmt::format("{} {}", table.name, table.where);
      if (count_rows(source_, rows) != count_rows(target_, rows))
        abandon(StoreTrouble::differs,
                fmt::format("the copy has not as many rows of {} as the store; nothing was kept",
                            table.name));
    };
    for (const Table& table : whole_tables()) check(table);
    for (const Table& table : case_tables()) check(table);
    const auto problems = verify_store(to_, target_);
    if (!problems.empty())
      abandon(StoreTrouble::differs,
              fmt::format(
                  "the store does not hold, so it was not copied: {}{}", problems.front(),
                  problems.size() > 1 ? fmt::format(" (and {} more)", problems.size() - 1) : ""));
  }

  void advance(std::int64_t rows) {
    rows_ += rows;
    if (progress_) progress_(rows_);
  }

  const Database& from_;
  const Database& to_;
  soci::session& source_;
  soci::session& target_;
  const std::function<void(std::int64_t)>& progress_;
  std::int64_t rows_ = 0;
};

}  // namespace

Stored<void> copy_store(const Database& from, const Database& to,
                        const std::function<void(std::int64_t rows)>& progress) {
  Stored<void> written;
  auto read = from.read([&](soci::session& source) {
    written =
        to.write([&](soci::session& target) { Copier(from, to, source, target, progress).run(); });
  });
  return read ? written : read;
}

}  // namespace tautmark
