// SPDX-License-Identifier: Apache-2.0
// Wheels of wide and narrow teeth: the edges of one polarity stand evenly and have no zero of their
// own, but how far behind them the other edge follows is a code that repeats every turn.
// The zero: the rotation of the code that, read backwards, is lexicographically largest (wide
// before narrow), as among equal gaps (wheel.h). Source: signals.md sections 1, 3.
#pragma once

#include <optional>
#include <vector>

#include "recording/angle.h"
#include "recording/trains.h"

namespace tautmark {

struct CodedTeeth {
  int polarity = 0;                       // of the even edges
  std::vector<bool> wide;                 // from the zero on, one per tooth of a period
  double threshold = 0;                   // between narrow and wide, part of a pitch
  double wide_part = 0, narrow_part = 0;  // mean widths, part of a pitch
};
// None: fewer than 8 teeth a period or three periods, edges of neither polarity even, widths that
// are not of two kinds (0.15 pitch and 4 standard deviations apart), or no period that 95 % of the
// teeth keep. `told`: polarity of the even edges; 0: found.
std::optional<CodedTeeth> find_coded_teeth(const SignalTrain& train, int told);

// The counts of `knots` (in slots) turned so that the code begins at its zero; cut where the code
// says that a tooth was miscounted. Empty: under 80 % of the teeth agree.
std::vector<Knots> turned_to_code(const Knots& knots, const SignalTrain& train,
                                  const CodedTeeth& code);

}  // namespace tautmark
