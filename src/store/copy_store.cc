// SPDX-License-Identifier: Apache-2.0
// Every column travels as text, whichever database it comes from and goes to; bytes go piece by
// piece. The other store is empty or complete: all of it is one transaction.
#include <fmt/format.h>
#include <soci/soci.h>

#include <map>

#include "base/text.h"
#include "store/case_rows.h"
#include "store/exchange.h"
#include "store/row_insert.h"
#include "store/verify.h"

namespace tautmark {
namespace {

struct Table {
  std::string_view name;
  std::string_view where = {};
};

// In the order in which they need each other. Left behind: log-in sessions and pairing codes
// (everybody logs in anew), uploads that are not finished, and what the new store has of its own.
constexpr Table kWholeTables[] = {
    {"blob"},    {"cases"},  {"audit"},   {"audit_end"},
    {"account"}, {"device"}, {"pin_try"}, {"setting", "where name <> 'store_id'"}};
// Copied case by case, so that the memory holds one case at most.
constexpr Table kCaseTables[] = {{"record"}, {"entry_id"}, {"case_file"}, {"word"}};

// As the other store has them: a column that is added later is copied too.
std::vector<std::string> columns_of(const Database& database, soci::session& session,
                                    std::string_view table) {
  std::vector<std::string> columns;
  const soci::rowset<std::string> rows =
      session.prepare << fmt::format(
          fmt::runtime(database.kind() == DatabaseKind::embedded
                           ? "select name from pragma_table_info('{}') order by cid"
                           : "select column_name::text from information_schema.columns where "
                             "table_schema = current_schema() and table_name = '{}' order by "
                             "ordinal_position"),
          table);
  for (const std::string& column : rows) columns.push_back(column);
  return columns;
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
    for (const Table& table : kWholeTables)
      columns_[table.name] = columns_of(to_, target_, table.name);
    for (const Table& table : kCaseTables)
      columns_[table.name] = columns_of(to_, target_, table.name);
    target_ << "delete from audit_end";
    for (const Table& table : kWholeTables) copy(table, table.where);
    copy_pieces();
    std::vector<long long> ids;
    each_case(from_, source_, "order by id", {},
              [&](const CaseRow& row) { ids.push_back(row.id); });
    for (const long long id : ids)
      for (const Table& table : kCaseTables) copy(table, fmt::format("where case_id = {}", id));
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

  void copy(const Table& table, std::string_view where) {
    // Rows are fetched many at a time.
    constexpr std::size_t kRows = 200;
    const auto& columns = columns_[table.name];
    std::vector<std::vector<std::string>> values(columns.size());
    std::vector<std::vector<soci::indicator>> there(columns.size());
    soci::statement statement(source_);
    for (std::size_t i = 0; i < values.size(); ++i) {
      values[i].resize(kRows);
      there[i].resize(kRows);
      statement.exchange(soci::into(values[i], there[i]));
    }
    statement.alloc();
    statement.prepare(fmt::format("select cast({} as text) from {} {}",
                                  joined(columns, " as text), cast("), table.name, where),
                      soci::details::st_one_time_query);
    statement.define_and_bind();
    statement.execute();
    RowInsert rows(target_, fmt::format("{} ({})", table.name, joined(columns, ", ")));
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
    for (const Table& table : kWholeTables) check(table);
    for (const Table& table : kCaseTables) check(table);
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
  std::map<std::string_view, std::vector<std::string>> columns_;
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
