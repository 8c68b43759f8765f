// SPDX-License-Identifier: Apache-2.0
// The parts that a definition speaks of, bank by bank: those that its procedure fits, and those
// that are ordered by themselves.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "drive/drive.h"

namespace tautmark::parts {

struct Item {
  std::string part{};
  std::optional<int> bank{};
  std::optional<bool> single_use{};  // not said is treated as used once
  std::optional<int> count{};        // empty: the definition does not say
  std::vector<std::string> goes_with{};
  std::vector<const PartSet*> from{};   // sets that hold it
  const ProcedureStep* step = nullptr;  // the first that fits it
  bool is_defined = true;               // false: named by a step, and nowhere else
};

// In the order of the procedure; a part that a set holds is there once.
std::vector<Item> items_of(const Drive& drive);

inline bool is_used_once(const Item& item) { return item.single_use.value_or(true); }

}  // namespace tautmark::parts
