// SPDX-License-Identifier: Apache-2.0
#include "procedure/beside_steps.h"

#include <algorithm>
#include <cstdint>

#include "base/text.h"

namespace tautmark::procedure {
namespace {

using Pairs = std::vector<std::pair<std::size_t, std::size_t>>;

// Lengths of the common subsequences of the ends from (i, j) on, row by row.
std::vector<std::uint16_t> table_of_ends(std::span<const std::string> a,
                                         std::span<const std::string> b) {
  const std::size_t wide = b.size() + 1;
  std::vector<std::uint16_t> length((a.size() + 1) * wide, 0);
  for (std::size_t i = a.size(); i-- > 0;)
    for (std::size_t j = b.size(); j-- > 0;)
      length[i * wide + j] = a[i] == b[j]
                                 ? static_cast<std::uint16_t>(length[(i + 1) * wide + j + 1] + 1)
                                 : std::max(length[(i + 1) * wide + j], length[i * wide + j + 1]);
  return length;
}

struct Row {
  std::string key{};
  AlignedStep step{};
};

std::vector<std::string> keys_of(const Drive& drive) {
  std::vector<std::string> keys;
  for (const ProcedureStep& step : drive.procedure) keys.push_back(folded(step.name));
  return keys;
}

auto row_of(std::vector<Row>& rows, const std::string& key) {
  return std::find_if(rows.begin(), rows.end(), [&](const Row& row) { return row.key == key; });
}

void lay_beside(std::vector<Row>& rows, const Drive& drive, std::size_t which, std::size_t count) {
  std::vector<std::string> before;
  for (const Row& row : rows) before.push_back(row.key);
  const std::vector<std::string> keys = keys_of(drive);
  const Pairs common = longest_common(before, keys);
  std::size_t next = 0;  // where a new row would stand
  for (std::size_t i = 0; i < keys.size(); ++i) {
    auto row = row_of(rows, keys[i]);
    const bool in_step = std::any_of(common.begin(), common.end(),
                                     [&](const auto& pair) { return pair.second == i; });
    if (row == rows.end()) {
      AlignedStep fresh{drive.procedure[i].name, std::vector<std::optional<std::size_t>>(count),
                        std::vector<bool>(count, false)};
      row = rows.insert(rows.begin() + static_cast<std::ptrdiff_t>(next),
                        Row{keys[i], std::move(fresh)});
      ++next;
    } else if (row->step.at[which]) {
      continue;
    } else if (in_step) {
      next = static_cast<std::size_t>(row - rows.begin()) + 1;
    } else {
      row->step.moved[which] = true;
    }
    row->step.at[which] = i;
  }
}

}  // namespace

Pairs longest_common(std::span<const std::string> a, std::span<const std::string> b) {
  Pairs pairs;
  std::size_t i = 0, j = 0;
  for (; i < a.size() && i < b.size() && a[i] == b[i]; ++i) pairs.emplace_back(i, i);
  a = a.subspan(i);
  b = b.subspan(i);
  const std::size_t begun = i, wide = b.size() + 1;
  const std::vector<std::uint16_t> length = table_of_ends(a, b);
  for (i = 0; i < a.size() && j < b.size();) {
    if (a[i] == b[j]) {
      pairs.emplace_back(begun + i++, begun + j++);
    } else if (length[(i + 1) * wide + j] >= length[i * wide + j + 1]) {
      ++i;
    } else {
      ++j;
    }
  }
  return pairs;
}

std::vector<AlignedStep> aligned_steps(std::span<const Drive* const> drives) {
  std::vector<Row> rows;
  for (std::size_t which = 0; which < drives.size(); ++which)
    lay_beside(rows, *drives[which], which, drives.size());
  std::vector<AlignedStep> steps;
  for (Row& row : rows) steps.push_back(std::move(row.step));
  return steps;
}

}  // namespace tautmark::procedure
