// SPDX-License-Identifier: Apache-2.0
// What a torque wrench is set to with a crow-foot or other adapter on its square.
//
//   set = wanted × L / (L + E cos ψ)      moments about the two axes, fasteners.md 5
//
//   L  wrench, drive square to the middle of the hand grip
//   E  adapter, drive square to the middle of the fastener
//   ψ  adapter against the handle line prolonged: 0° straight on, 90° no correction, 180° folded
//      back (the setting is then above the wanted torque)
//
// Validity: hand at the grip mark, L + E cos ψ > 0. A plain extension on the socket axis changes
// nothing. An angle step is not corrected: the adapter winds up.
#pragma once

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::tighten {

struct Adapter {
  Length wrench{};   // L
  Length adapter{};  // E
  Angle angle{};     // ψ
};

// Setting per wanted torque. Refused: a length that is not above zero, an angle outside 0° to 180°,
// a fold so far back that no arm is left.
Result<double> adapter_factor(const Adapter& adapter);

}  // namespace tautmark::tighten
