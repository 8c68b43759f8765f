// SPDX-License-Identifier: Apache-2.0
// What would explain the counts and marks of an assembly; part of assembly.h.
#pragma once

#include "geometry/assembly.h"

namespace tautmark {

std::vector<Explanation> explanations(const AssemblyInputs& in, const Assembly& found);

// "1 tooth late", "2 teeth early", "half a tooth early", "2.5 teeth late"; "no tooth off".
std::string half_teeth_words(int half_teeth_early);
// 61 half pitches are "30.5".
std::string pitches_words(int half_pitches);

}  // namespace tautmark
