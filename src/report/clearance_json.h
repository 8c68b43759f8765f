// SPDX-License-Identifier: Apache-2.0
// Gaps of valve to piston of a definition as JSON and as text, the same wherever they are written
// (docs/clearance.md).
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "clearance/gap_table.h"
#include "drive/load.h"
#include "judge/freed_camshafts.h"
#include "judge/valve_gaps.h"

namespace tautmark {

// Everything that is shown of one definition.
struct ClearanceShown {
  const LoadedDrive* drive = nullptr;
  std::vector<ValvesOfCam> valves{};
  std::vector<std::string> events{};        // of the definition's lifts, event_words.h
  std::vector<std::vector<GapRow>> rows{};  // of each of them
  FreeCamshafts free{};
  FreedCamshafts freed{};
};
// With a case: with what was measured on its engine.
ClearanceShown clearance_shown(const LoadedDrive& drive, const Case* engine = nullptr);

// What stands beside every figure: what it is, and what it is not.
std::vector<std::string> clearance_cautions();
// How the trade finds out on the engine what is missing, and what is done without any figures.
std::vector<std::string> without_figures();

// One drive of clearance/1: {"drive", "turn", "valves", "events", "free_camshafts",
// "freed_camshafts", "cautions", "without_figures"}.
nlohmann::ordered_json clearance_json(const ClearanceShown& shown);

}  // namespace tautmark
