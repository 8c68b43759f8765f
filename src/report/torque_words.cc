// SPDX-License-Identifier: Apache-2.0
#include "report/torque_words.h"

#include <fmt/format.h>

#include <vector>

#include "base/quantity_text.h"
#include "base/text.h"
#include "base/unit.h"

namespace tautmark {
namespace {

struct TorqueUnit {
  std::string_view symbol, spelled;
  int decimals;
};
constexpr TorqueUnit kNewton{"N·m", "newton meters", 1};
constexpr TorqueUnit kFoot{"lbf·ft", "pound-force feet", 1};
constexpr TorqueUnit kInch{"lbf·in", "pound-force inches", 0};
// Where a wrench in inch-pounds is the one in hand. Common practice, no source.
constexpr double kSmallTorque = 20;

std::string in_unit(double si, const TorqueUnit& meant) {
  const Unit& unit = *units_spelled(meant.symbol).front();
  return fmt::format("{} ({})", cut_quantity_text(si, unit, meant.decimals), meant.spelled);
}

}  // namespace

std::string spelled_torque(const Written<Torque>& torque) {
  const double si = torque.value.si();
  const Unit* unit_typed = unit_written(torque.text, Kind::torque);
  const std::string_view typed = unit_typed != nullptr ? unit_typed->symbol : "";
  std::vector<std::string> parts;
  for (const TorqueUnit& unit : {kNewton, kFoot, kInch})
    if (unit.symbol == typed)
      parts.push_back(fmt::format("{} ({})", quantity_text(si, *unit_typed), unit.spelled));
  if (parts.empty()) parts.push_back(torque.text);
  const TorqueUnit& small = si < kSmallTorque ? kInch : kFoot;
  for (const TorqueUnit& unit : {kNewton, small})
    if (unit.symbol != typed) parts.push_back(in_unit(si, unit));
  return joined(parts, ", ");
}

}  // namespace tautmark
