// SPDX-License-Identifier: Apache-2.0
#include "store/row_insert.h"

#include <fmt/format.h>

namespace tautmark {
namespace {

constexpr std::size_t kMostValues = 900;  // SQLite before 3.32 took 999 in one command

}  // namespace

void RowInsert::add(std::vector<Value> row) {
  values_ += row.size();
  rows_.push_back(std::move(row));
  if (values_ >= kMostValues) finish();
}

void RowInsert::finish() {
  if (rows_.empty()) return;
  std::string sql = "insert into " + into_ + " values ";
  soci::statement statement(session_);
  std::deque<soci::indicator> indicators;
  static const std::string kNothing;
  int number = 0;
  for (const auto& row : rows_) {
    if (number > 0) sql += ',';
    char before = '(';
    for (const Value& value : row) {
      sql += fmt::format("{}:v{}", before, number++);
      before = ',';
      if (const auto* text = std::get_if<std::string>(&value)) {
        statement.exchange(soci::use(*text));
      } else if (const auto* whole = std::get_if<long long>(&value)) {
        statement.exchange(soci::use(*whole));
      } else {
        statement.exchange(soci::use(kNothing, indicators.emplace_back(soci::i_null)));
      }
    }
    sql += ')';
  }
  statement.alloc();
  statement.prepare(sql + " " + after_, soci::details::st_one_time_query);
  statement.define_and_bind();
  statement.execute(true);
  rows_.clear();
  values_ = 0;
}

}  // namespace tautmark
