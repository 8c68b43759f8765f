// SPDX-License-Identifier: Apache-2.0
// What stop and dial indicator say: the top dead center of a `stop` entry, the phase of one
// camshaft of an `indicator` entry against its definition. Formulas: top_dead_center.h,
// centerline.h, phase_fit.h, phase_explained.h of src/clearance.
//
// A wheel of which nobody said how well it can be read is taken from the program's list; what a
// stop comes back to, as 0.1 mm (k = 2, program default). U is of 95 % and holds the wheel's zero
// (`top` of the entry); without it the readings' own share only, and a warning says so. What gives
// no result is a sentence that names the field; the center line of pairs stands in it where only
// the definition has nothing to compare with.
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
  CrankAngle u{};      // standard
  double nu = 1;       // degrees of freedom of u
  // The lobe is open longer than the definition's at the lifts of the pairs: lash or the zero of
  // the indicator, not phase. Negative: shorter.
  std::optional<CrankAngle> longer{};
  std::optional<clearance::PhaseExplanation> explained{};
  std::vector<std::string> warnings{};
};

// The valves of a drive that an indicator entry is of, with their camshaft and bank; `valves` null
// where the definition does not say which they are.
struct LobeOf {
  const Bank* bank = nullptr;
  const Camshaft* camshaft = nullptr;
  const Valves* valves = nullptr;
};
LobeOf lobe_of(const IndicatorReading& reading, const Drive& drive);

// `top`: of the stop that the wheel was set by; the larger of its uncertainty and the entry's own
// counts.
Result<CamMeasured> cam_measured(const IndicatorReading& reading, const LoadedDrive& drive,
                                 const clearance::TopFound* top = nullptr);

}  // namespace tautmark
