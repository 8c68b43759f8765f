// SPDX-License-Identifier: Apache-2.0
// Chains in series: what the counts say of the shaft that drives a chain against the crankshaft.
//
//   total = sum of the errors of all stages, each in crank degrees, positive early
//
// One tooth of a stage is 360°/N of the driven shaft, that times its crank turns per turn in crank
// degrees; these add (geometry.md 3.3). Right against an idler proves nothing while the idler's own
// stage is not counted, and is wrong where that stage is.
#pragma once

#include <string>
#include <vector>

#include "judge/chain_marks.h"

namespace tautmark {

struct StagesBefore {
  std::vector<std::string> through{};  // chains, next to this one first; empty: straight from crank
  std::string missing{};               // why it is not proven; empty: it is
  std::string off{};                   // "idler 1 tooth early (18.000° crank) against crank"
  CrankAngle total{};
  std::string touched_by{};
};
StagesBefore stages_before(const Drive& drive, const std::vector<ChainMarks>& all,
                           const ChainMarks& marks);

// More than a quarter turn of its own: rather another tooth taken for the mark than a jump or a
// slip in assembly, which are a few teeth. Common practice, no source.
bool over_a_quarter_turn(const ChainMarks& marks, std::size_t sprocket);

// "6.429° cam, 12.857° crank early"
std::string total_text(const MarkedSprocket& sprocket, CrankAngle total);

}  // namespace tautmark
