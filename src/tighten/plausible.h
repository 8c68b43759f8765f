// SPDX-License-Identifier: Apache-2.0
// Whether a torque that somebody wrote can belong to a bolt of that size: catches the unit mixed up
// (lbf·in for lbf·ft is a factor of 12). It asks, it never offers a torque.
//
// Asked when no friction from 0.08 to 0.16 fits: F(0.16) above the assembly preload at 90 % of
// yield (too high), or F(0.08) below 30 % of it (too low; not asked of a torque after which more
// follows, a first pass or a snug torque). Where the class is unknown, too high is what a 10.9 bolt
// with friction 0.12 does not bear (M6: 14.9 N·m, the "about 15" of the trade) and too low is
// judged as 8.8. An unknown pitch counts as every usual one. Source: fasteners.md 7, after VDI
// 2230. Ring under the head as ISO 4014, else 1.3 d. Validity: steel bolts; small bolts in aluminum
// are often far below 30 %, with reason.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "tighten/thread.h"

namespace tautmark::tighten {

Length usual_ring(const Thread& thread);

enum class Plausible { usual, too_high, too_low };

struct TorqueWritten {
  Torque torque{};
  ThreadRead thread{};
  std::optional<std::string> strength_class{};
  bool more_follows = false;
};

struct Plausibility {
  Plausible answer = Plausible::usual;
  // Units in which the same figure would be usual, the unit written left out: "lbf·in".
  std::vector<std::string> fits_in{};
};
// `figure` is the number as written, for the units that would fit. Refused: a torque that is not
// above zero, an unknown class.
Result<Plausibility> plausibility(const TorqueWritten& written, double figure);

}  // namespace tautmark::tighten
