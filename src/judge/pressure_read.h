// SPDX-License-Identifier: Apache-2.0
// What a gauge read, and which oil was in the engine then: for every check of oil pressure.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "judge/check.h"
#include "judge/conditions.h"

namespace tautmark {

// Which oil was in it: the latest oil entry before the reading, and what the reading says of it.
// A drive with a grade; adds the entries that tell.
ConditionCheck oil_in_it(const CheckInput& input, const EntryOf<PressureReading>& reading,
                         std::vector<std::string>& evidence);

struct PooledPressure {
  std::vector<std::string> evidence;
  std::vector<std::string> budget;
  ValueInUse value;
  std::optional<std::string> contradiction;
};

// The entries that were taken under one limit's conditions, as one pressure.
std::optional<PooledPressure> pooled_pressure(const CheckInput& input,
                                              const std::vector<EntryOf<PressureReading>>& entries);

}  // namespace tautmark
