// SPDX-License-Identifier: Apache-2.0
// Readings that cannot be what they claim to be. Notes only: nothing is changed or left out, the
// person decides, usually by measuring once more. Plain doubles, SI of one kind.
//
//   identical_readings  three repeats or more at two positions or more, each set without any
//                       scatter, when that has a chance below 5 % even for half the repeatability
//                       of the gauge and the most favorable place of the value between two steps
//   unit_slip           outside the expected range by a factor of 1.5 and more, but inside it after
//                       dividing or multiplying by a factor people slip by: 10, 100, 1000; for
//                       length 25.4 and 25400 (inch); for pressure 6.894757 (psi, kPa); for torque
//                       8.850746 and 12 (lbf·in, lbf·ft); for crank and cam angles 2
//   swapped             bore and journal fit each other's expected range, or the bore is smaller
//   not_physical        outside anything such a quantity can be
//   drift               20 readings or more in sequence whose lag-1 autocorrelation is above
//                       -1/n + 2.326/√n (1 % for pure scatter; normal approximation, Bartlett)
//   outlier             further from the median than 3.5 times the robust scatter, the scatter
//                       being the largest of 1.4826·MAD, repeatability_sd and resolution/√12
//                       (3.5: Iglewicz and Hoaglin); needs three readings
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/quantity.h"
#include "measure/decision.h"

namespace tautmark {

enum class PlausibilityCode {
  identical_readings,
  unit_slip,
  swapped,
  not_physical,
  drift,
  outlier,
};
std::string_view plausibility_code_text(PlausibilityCode code);

struct PlausibilityNote {
  PlausibilityCode code = PlausibilityCode::not_physical;
  std::string sentence;
  std::optional<int> position = std::nullopt;  // from 1
  std::optional<int> reading = std::nullopt;   // from 1, inside the position
};

struct ReadingSet {
  Kind kind = Kind::length;
  // Repeats at each position, in the order taken.
  std::vector<std::vector<double>> positions;
  double resolution = 0;        // 0: not known
  double repeatability_sd = 0;  // 0: not known
  // Where a usable part, worn or not, is expected; both limits needed for unit_slip.
  Limits expected = {};
};

// Every note there is, in the order of the codes above. An empty list means "nothing noticed", not
// "proven right". Never refuses: a reading that is not finite is not_physical.
std::vector<PlausibilityNote> plausibility_notes(const ReadingSet& readings);

// Empty when the pair looks right. Ranges may be left open.
std::optional<PlausibilityNote> swapped_bore_and_journal(double bore, double journal,
                                                         const Limits& expected_bore = {},
                                                         const Limits& expected_journal = {});

}  // namespace tautmark
