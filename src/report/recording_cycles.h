// SPDX-License-Identifier: Apache-2.0
// The phase of each cam cycle by cycle, for whoever draws it: the course over time, thinned where
// it is long, and how often each phase was there (of every cycle).
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "recording/cam_phase.h"

namespace tautmark {

// `every`: only one cycle in so many is told. U is 2 standard uncertainties, without what is
// common to all cycles. Advance positive, crank degrees.
nlohmann::ordered_json cycles_json(const CamPhase& phase);

}  // namespace tautmark
