// SPDX-License-Identifier: Apache-2.0
// When valves open and close, as a timing card says it: events at one stated lift, overlap and the
// separation of the lobes. Formulas: clearance/events.h. Of the curve of the definition, a camshaft
// as early as measured; a card at another lift says other angles.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "clearance/events.h"
#include "drive/drive.h"

namespace tautmark {

inline constexpr Length kCheckingLift = mm(1);  // where nobody named another; common practice

// Null: no lift in the definition, or its curve does not reach `at`.
std::optional<clearance::OpenSpan> events_of(const Valves& valves, CrankAngle early = {},
                                             Length at = kCheckingLift);
// "opens 3.2° before top dead center, closes 40.1° after bottom dead center"; empty where the lobe
// is neither that of an intake nor of an exhaust valve: its center line near a bottom dead center.
std::string event_words(const clearance::OpenSpan& span);
// "overlap 5.3°, lobe separation 117.5° cam"; empty where the two are not one of each.
std::string overlap_words(const clearance::OpenSpan& one, const clearance::OpenSpan& other);
// A sentence for each valve of a definition and for each two of a bank, at kCheckingLift.
std::vector<std::string> definition_events(const Drive& drive);

}  // namespace tautmark
