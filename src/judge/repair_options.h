// SPDX-License-Identifier: Apache-2.0
// What may be ordered for the bearings of one bank, as the clearances each way would give: of this
// engine's own readings and the new ranges of the definition.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "judge/check.h"
#include "oil/compare_banks.h"

namespace tautmark {

inline constexpr std::string_view kBearingsRepaired = "bearings repaired";

struct RepairOptions {
  std::vector<oil::JournalClearance> journals{};  // as found
  std::vector<oil::RepairOption> options{};       // "as found" first
  std::vector<std::string> left_out{};            // and why
  std::vector<std::string> evidence{};
  std::vector<std::string> missing{};     // places without a clearance; then there are no options
  std::vector<std::string> impossible{};  // places with one that is not above 0; none either
  bool operator==(const RepairOptions&) const = default;
};
RepairOptions repair_options(const CheckInput& input, int bank);

// What to measure at a place whose clearance is impossible, in words.
std::string read_again(const std::string& place);

}  // namespace tautmark
