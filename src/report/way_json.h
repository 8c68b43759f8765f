// SPDX-License-Identifier: Apache-2.0
// The way of a case as JSON and as text, the same wherever it is written (docs/clearance.md).
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "judge/way_answer.h"

namespace tautmark {

// {"entry", "answer", "may_turn", "forbidden", "ask", "no_way", "moves", "least_mm", "explained",
// "holds_for", "cautions"}. Without a standing `entry` is null and the answer DO NOT TURN.
nlohmann::ordered_json way_json(const WayAnswer& way);

// A line of the command's text, by how far it is set in.
struct WayLine {
  int indent = 0;
  std::string words{};
};
// Empty where nobody entered a standing.
std::vector<WayLine> way_lines(const WayAnswer& way);

}  // namespace tautmark
