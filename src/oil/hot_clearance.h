// SPDX-License-Identifier: Apache-2.0
// A radial clearance measured cold, at the temperature the engine runs at. An aluminum bore on a
// steel journal opens by about two thirds of a cold clearance up to 100 °C: leakage nearly five
// times. Source: oil.md 2.1 and 8.
//
// c_hot = c_cold + share · (d/2)(α_bore - α_journal)(T - T_cold). Free growth, share 1, is an upper
// bound; bolted caps, bushes and uneven warmth leave less, and matched or tied materials nothing.
// Nobody measures the share: it is an uncertain input, never a fact.
#pragma once

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::oil {

enum class Material { aluminum, steel, cast_iron };

// Middle of the usual range of handbooks and its standard uncertainty (range / 2√3). Common
// practice, no source.
struct ExpansionOf {
  Expansion middle{};
  Expansion u{};
};
ExpansionOf expansion_of(Material material);

struct ColdClearance {
  Length radial{};
  Length radial_u{};  // standard, as are all here
  Length diameter{};  // of the journal
  Temperature cold = degC(20);
  Temperature hot{};
  ExpansionOf bore{};
  ExpansionOf journal{};
  double share = 0.5;                   // of free growth, 0 to 1
  double share_u = 0.2886751345948129;  // anything from 0 to 1 is as likely: 1/√12
};

struct HotClearance {
  Length radial{};
  Length u{};
  Length growth{};     // of the share
  double leakage = 1;  // to that of the cold clearance, with the same oil: cubed
};

// Refuses a clearance that is not above zero, cold or hot (the journal would seize), a share
// outside 0 to 1, negative uncertainties.
Result<HotClearance> hot_clearance(const ColdClearance& in);

}  // namespace tautmark::oil
