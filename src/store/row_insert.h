// SPDX-License-Identifier: Apache-2.0
// Many rows in few commands: a server answers each command after a way there and back.
#pragma once

#include <soci/soci.h>

#include <deque>
#include <string>
#include <variant>
#include <vector>

namespace tautmark {

class RowInsert {
 public:
  struct Null {};
  using Value = std::variant<std::string, long long, Null>;

  // `into`: "table (a, b)"; `after`: what follows the values.
  RowInsert(soci::session& session, std::string into, std::string after = {})
      : session_(session), into_(std::move(into)), after_(std::move(after)) {}
  void add(std::vector<Value> row);
  void finish();  // must be called at the end

 private:
  soci::session& session_;
  std::string into_, after_;
  std::vector<std::vector<Value>> rows_;
  std::size_t values_ = 0;
};

}  // namespace tautmark
