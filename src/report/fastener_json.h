// SPDX-License-Identifier: Apache-2.0
// Fastener cards as JSON, the same wherever they are written (docs/procedure.md).
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "drive/load.h"
#include "judge/tightening.h"

namespace tautmark {

inline constexpr std::string_view kTorquesUnconfirmed =
    "The torques are taken over from the base and not confirmed for this variant.";

// What stands above every figure of a definition, as sentences; of a good one none.
std::vector<std::string> figure_cautions(const LoadedDrive& drive);

nlohmann::ordered_json fastener_json(const FastenerCard& card);

// One drive of tightening/1: {"drive", "cautions", "fasteners"}.
nlohmann::ordered_json tightening_json(const LoadedDrive& drive,
                                       std::span<const FastenerCard> cards);

}  // namespace tautmark
