// SPDX-License-Identifier: Apache-2.0
// The oil of an engine as JSON and as text (docs/oil.md): what was read, the heads side by side,
// and what each way of repair would do to the pressure at the head.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "drive/load.h"
#include "judge/banks_compared.h"
#include "judge/judge.h"
#include "judge/oil_told.h"
#include "judge/port_pressures.h"
#include "judge/wear_told.h"

namespace tautmark {

// Everything that is shown of one definition, and of the case if there is one.
struct OilShown {
  const LoadedDrive* drive = nullptr;
  std::vector<Finding> findings{};  // of the oil pressures, phaser and tensioner
  ComparedOrMissing banks{};
  OilToldOrMissing network{};  // of a definition that tells its ways of the oil
  std::optional<WearTold> wear{};
  std::vector<PressureChart> charts{};
};
OilShown oil_shown(const LoadedDrive& drive, const LoadedCase* engine);

// One row of the what-if table, in the words of the command.
struct OilRow {
  std::string option, leakage, pressure, means;
};
std::vector<OilRow> oil_rows(const BanksCompared& compared);

// What stands beside every figure.
std::vector<std::string> oil_cautions();

// "main gallery: >= 140 kPa, at 650 ± 25 1/min, oil >= 90 degC", as the definition says it.
std::string limit_words(const PressureLimit& limit);

// One drive of oil/1: {"drive", "grade", "ports", "limits", "findings", "banks", "missing",
// "network", "network_missing", "wear", "charts", "cautions"}. Pressures in kPa, leakage as a ratio
// to the better bank; the network as oil_network_json.h has it.
nlohmann::ordered_json oil_json(const OilShown& shown);

}  // namespace tautmark
