// SPDX-License-Identifier: Apache-2.0
// Every column travels as text, whichever database it comes from and goes to; bytes go piece by
// piece. All of it is one transaction; and so that an empty store does not pass for a copy that was
// cut off, it carries a mark from before that transaction to its end.
#include <fmt/format.h>
#include <signal.h>
#include <soci/soci.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>
#include <map>

#include "base/quantity_text.h"
#include "base/text.h"
#include "casework/whole.h"
#include "store/case_rows.h"
#include "store/database_open.h"
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
    {"account"}, {"device"}, {"pin_try"}, {"setting", "where name not in ('store_id', 'copying')"}};
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

  // Empty still: nobody else may have written between the two steps.
  void run() {
    check_empty(target_);
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
    take_mark(target_);
  }

  static void check_empty(soci::session& target) {
    for (const char* table : {"cases", "audit", "account", "blob", "device"})
      if (count_rows(target, table) > 0)
        abandon(StoreTrouble::exists,
                "the store to copy into is not empty; copy into a new one, nothing was written");
  }

  // True: it is ours to take away; false: another copy's is there.
  static bool set_mark(soci::session& target) {
    check_empty(target);
    if (is_half_copied(target)) return false;
    target << fmt::format("insert into setting (name, value) values ('{}', '')", kCopyingMark);
    return true;
  }

  static void take_mark(soci::session& target) {
    target << fmt::format("delete from setting where name = '{}'", kCopyingMark);
  }

 private:
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
  const auto marked = to.write_value<bool>(&Copier::set_mark);
  if (!marked) return tl::make_unexpected(marked.error());
  Stored<void> written;
  auto read = from.read([&](soci::session& source) {
    written =
        to.write([&](soci::session& target) { Copier(from, to, source, target, progress).run(); });
  });
  if (read) read = written;
  // Refused, not killed: the store is empty as it was.
  if (!read && *marked) (void)to.write(&Copier::take_mark);
  return read;
}

namespace {

namespace fs = std::filesystem;

constexpr std::string_view kPartEnding = ".part";

// "FILE.<pid>.part" and what SQLite puts beside it.
fs::path part_of(const fs::path& file) {
  return fmt::format("{}.{}{}", file.string(), getpid(), kPartEnding);
}
void remove_part(const fs::path& part) {
  std::error_code code;
  for (const char* beside : {"", "-wal", "-shm", "-journal"})
    fs::remove(part.string() + beside, code);
}

// Of copies of this name whose program is gone.
void sweep_parts(const fs::path& file) {
  const std::string begin = file.filename().string() + ".";
  std::vector<fs::path> left;
  std::error_code code;
  const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path(".");
  for (fs::directory_iterator at(folder, code); !code && at != fs::directory_iterator();
       at.increment(code)) {
    const std::string name = at->path().filename().string();
    const auto end = name.find(kPartEnding, begin.size());
    if (!name.starts_with(begin) || end == std::string::npos) continue;
    const auto pid = read_integer(name.substr(begin.size(), end - begin.size()));
    if (pid && *pid > 0 && kill(static_cast<pid_t>(*pid), 0) != 0 && errno == ESRCH)
      left.push_back(folder / name.substr(0, end + kPartEnding.size()));
  }
  for (const fs::path& part : left) remove_part(part);
}

// The name only if nobody has it.
Stored<void> take_name(const fs::path& part, const fs::path& file) {
  // A log that is left beside it holds what the file lacks.
  std::error_code code;
  if (put_on_disk(part) || fs::exists(part.string() + "-wal", code))
    return store_error(StoreTrouble::full,
                       fmt::format("{} cannot be put on the disk", part.string()));
  const bool is_taken = fs::exists(fs::symlink_status(file, code));
  if (const auto why = take_free_name(part, file, true))
    return store_error(is_taken ? StoreTrouble::exists : StoreTrouble::refused,
                       fmt::format("{}: {}", file.string(), *why));
  return {};
}

Stored<void> copy_to(const Database& from, const StoreAddress& target, const CopyOptions& options) {
  const auto to = Database::open(target, OpenFor::copying_into, 1);
  if (!to) return tl::make_unexpected(to.error());
  return copy_store(from, **to, options.progress);
}

}  // namespace

Stored<void> copy_store(const Database& from, const StoreAddress& target,
                        const CopyOptions& options) {
  const auto noted = [&](Stored<void> done) {
    return done && options.note ? options.note() : done;
  };
  std::error_code code;
  if (target.kind == DatabaseKind::server || fs::exists(fs::symlink_status(target.text, code)))
    return noted(copy_to(from, target, options));
  sweep_parts(target.text);
  const fs::path part = part_of(target.text);
  remove_part(part);
  auto done = noted(copy_to(from, {target.kind, part.string()}, options));
  if (done) done = take_name(part, target.text);
  remove_part(part);
  return done;
}

}  // namespace tautmark
