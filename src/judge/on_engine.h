// SPDX-License-Identifier: Apache-2.0
// What was measured on the engine of a case, in place of the definition's figures of its valves.
//
// Gap: the `valve gap` entries of these valves; of several cylinders the one with the smallest gap
// less its uncertainty counts; not before a part was fitted, nor one larger than the definition's
// by more than 0.5 mm and both uncertainties. Lift: the last `indicator` entry with `as_lobe`, over
// the whole lobe, forward only, phaser locked (where there is one) and checked how, no standing
// says this camshaft off, within 10 % and 5 deg crank of the definition; its error is that of the
// indicator, the wheel's zero (`top`) widens the phase. An entry that cannot be used is named in
// `not_proven`: nothing is expected to clear beside a measurement that nobody can use.
#pragma once

#include <cstddef>

#include "casework/case.h"
#include "judge/valve_gaps.h"

namespace tautmark {

// `kinds` of valves that the camshaft works: with more than one an entry has to name them.
void set_on_engine(const Case& engine, std::size_t kinds, ValvesOfCam& valves);

}  // namespace tautmark
