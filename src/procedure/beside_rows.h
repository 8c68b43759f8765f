// SPDX-License-Identifier: Apache-2.0
// Pieces of beside(): rows are collected here. Not for use outside src/procedure.
#pragma once

#include <functional>
#include <string>
#include <string_view>

#include "procedure/beside.h"

namespace tautmark::procedure {

class BesideRows {
 public:
  BesideRows(std::span<const LoadedDrive* const> drives, bool with_equal)
      : drives_(drives), with_equal_(with_equal) {}

  [[nodiscard]] std::span<const LoadedDrive* const> drives() const { return drives_; }
  void group(std::string_view name) { group_ = name; }
  using CellOf = std::function<BesideCell(const LoadedDrive& drive, std::size_t which)>;
  // Nothing where no drive says anything.
  void add(std::string what, const CellOf& cell_of);
  std::vector<BesideRow> take(int& same);

 private:
  std::span<const LoadedDrive* const> drives_;
  bool with_equal_;
  std::string group_;
  std::vector<BesideRow> rows_;
  int same_ = 0;
};

// The value at `path` was taken over under this topic and nobody confirmed it.
bool is_unconfirmed(const LoadedDrive& drive, std::string_view topic, const std::string& path);

std::string steps_text(std::span<const TighteningStep> steps);  // "35 N·m, then 75 deg"

void add_step_rows(BesideRows& rows);
// How a tensioner is let go decides whether its plunger may be trusted.
void add_release_row(BesideRows& rows);

}  // namespace tautmark::procedure
