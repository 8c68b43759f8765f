// SPDX-License-Identifier: Apache-2.0
// Do the sprocket marks and link counts of this engine stand right, after the last time that
// anything touched the drive? What the turning answer rests on.
#pragma once

#include <string>
#include <vector>

#include "judge/check.h"

namespace tautmark {

enum class MarksProof { right, wrong, unknown };

struct MarksStanding {
  MarksProof proof = MarksProof::unknown;
  std::string why{};   // one clause: "every strand counted, sum 138 of 138, all as in the drive"
  std::string next{};  // what can be looked at without turning, when unknown
  std::vector<std::string> evidence{};  // ids of entries
};

// `right` only when for every chain of the drive every strand count is entered after the last entry
// that touches the drive (state, step, part), the sum is the chain's links and every count is the
// drive's, and these strands lead from the crank to every camshaft, or gears do whose marks were
// seen right since; `wrong` when one is proven off.
MarksStanding marks_standing(const CheckInput& input);

}  // namespace tautmark
