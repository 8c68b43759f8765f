// SPDX-License-Identifier: Apache-2.0
// How the quick answers say numbers: never a bare sign, the cam value beside the crank value, every
// torque in three units. Only for the files of src/quick.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/quantity.h"
#include "base/quantity_text.h"
#include "base/unit.h"

namespace tautmark::quick {

// "2.45° late (crank), 1.23° cam"; positive is early. "0.00° (crank)" has no word.
std::string shift_text(CrankAngle shift, int decimals = 2);
// "late", "early"; empty for zero.
std::string_view shift_word(CrankAngle shift);
// "18.95° crank, 9.47° cam", for a magnitude.
std::string crank_and_cam(CrankAngle angle, int decimals = 2);
std::string degrees(CrankAngle angle, int decimals = 2);
// geometry.md 4.4: pointer against mark is read to ± 1/4 tooth at best; closer than that to a whole
// count the count can be named, further away it cannot (common practice).
inline constexpr double kNameableTooth = 0.25;
// "1 tooth late", "2 teeth early", "no tooth".
std::string teeth_text(int teeth_early);

// "pound-force inches", "millimeters"; the symbol itself for a unit that needs no spelling.
std::string_view spelled(const Unit& unit);
const Unit& unit_named(Kind kind, std::string_view symbol);

// A value typed in one unit to steps of `step_si`, in another: the same resolution or finer.
std::string converted_number(double si, double step_si, const Unit& unit);
// Three significant digits or more.
std::string three_digits(double si, const Unit& unit);
// "25.1 N·m (18.5 lbf·ft, 222 lbf·in)"
std::string torque_text(Torque torque);
// "106 of what?" with what each guess would be: hearing the numbers shows why it is asked.
std::string which_torque_unit(std::string_view number_typed, double number);
// What the figure would be on the other scale of the pound-force.
std::string factor_twelve(const AnyQuantity& torque);

// A sentence as a clause inside another.
std::string without_period(std::string text);

// "0.79", "more than 0.999", "less than 0.001"
std::string probability_text(double probability);

// Printed wherever an answer makes someone think of turning the engine.
std::vector<std::string> turning_cautions();

}  // namespace tautmark::quick
