// SPDX-License-Identifier: Apache-2.0
// Does each camshaft hold its phase at constant command? Scatter and peak to peak of the actual
// angle against the drive's limits, under the limits' own conditions.
#include "judge/checks/checks.h"

namespace tautmark::checks {

std::vector<Finding> phase_stability(const CheckInput&) { return {}; }

}  // namespace tautmark::checks
