// SPDX-License-Identifier: Apache-2.0
// The crank's edges counted, before anything is known of zeros: which channel, which polarity,
// which slot or tooth every edge is.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "recording/angle.h"
#include "recording/coded_wheel.h"
#include "recording/cycle.h"
#include "recording/trains.h"
#include "recording/wheel.h"

namespace tautmark {

struct CrankTrain {
  int channel = 0, polarity = 0;
  std::optional<SlotPattern> pattern;  // none: a few unequal teeth
  // Knots whose angle counts slots of the pattern (from its zero) or teeth.
  std::vector<Knots> pieces;
  int length = 0;  // slots or teeth after which the other channels repeat; 0: they do not
  std::int64_t missed = 0, extra = 0;
  bool even = false;  // without a pattern: the teeth are even, lost ones are counted
  std::optional<CodedTeeth> code;
  bool stopped = false, reversed = false;  // stalls; turned back at a stop and was cut there
};
// Channel and polarity 0: found.
Result<CrankTrain> find_crank_train(const SignalTrains& trains, int crank_channel,
                                    int crank_polarity);

// Counted pieces of one train under a pattern, cut at stalls, lost counts and reversals.
CrankTrain counted(std::vector<double> times, const SlotPattern& pattern);

// Where the edges of another train lie in the counts of the crank, per piece.
PlacePieces places_in(const CrankTrain& crank, const std::vector<double>& times);

}  // namespace tautmark
