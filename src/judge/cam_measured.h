// SPDX-License-Identifier: Apache-2.0
// What stop and dial indicator say: the top dead center of a `stop` entry, the phase of one
// camshaft of an `indicator` entry against its definition. Formulas: top_dead_center.h,
// centerline.h, phase_fit.h, phase_explained.h of src/clearance.
//
// U is of 95 % and holds the wheel's zero (`top` of the entry); without it the readings' own share
// only, and a warning says so. What gives no result is a sentence that names the field.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "casework/case.h"
#include "clearance/centerline.h"
#include "clearance/phase_explained.h"
#include "clearance/phase_fit.h"
#include "clearance/top_dead_center.h"
#include "drive/load.h"

namespace tautmark {

// `drive` may be null: then without stroke and rod.
Result<clearance::TopFound> top_found(const StopReading& stop, const LoadedDrive* drive);

struct LiftFitted {
  CrankAngle at{};  // as entered
  Length seen{};
  Length fitted{};
};

struct CamMeasured {
  std::string camshaft{};                         // "bank 1 / intake camshaft"
  std::string valves{};                           // "intake"
  std::optional<clearance::Centerline> center{};  // of the pairs
  std::optional<CrankAngle> nominal_center{};     // at their lifts, after gas exchange
  std::optional<clearance::PhaseFit> fit{};       // of the table
  std::vector<LiftFitted> fitted{};
  CrankAngle early{};  // of the table where there is one, else of the pairs
  CrankAngle U{};      // 95 %
  std::optional<clearance::PhaseExplanation> explained{};
  std::vector<std::string> warnings{};
};

Result<CamMeasured> cam_measured(const IndicatorReading& reading, const LoadedDrive& drive);

}  // namespace tautmark
