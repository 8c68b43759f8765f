// SPDX-License-Identifier: Apache-2.0
// The one table of units: symbol, spellings, kind, exact factor to SI, offset.
//
// si = (number + offset) * factor. All factors are exact rational numbers: the inch is 25.4 mm,
// the avoirdupois pound 0.453 592 37 kg, standard gravity 9.806 65 m/s² (NIST SP 811:2008, App. B).
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "base/quantity.h"

namespace tautmark {

struct Unit {
  std::string_view symbol;                      // the one spelling that is printed: "lbf·ft"
  std::span<const std::string_view> spellings;  // what is understood beside it: "ft-lbs"
  Kind kind{};
  double factor = 1;
  double offset = 0;
};

// "length", "crank angle", ...
std::string_view kind_name(Kind kind);

// The unit that a value of this kind has in JSON: "m", "rad (crank)", "Pa", "1/s".
std::string_view si_symbol(Kind kind);

// All units of one kind; the first is the one shown when nobody typed another.
std::span<const Unit> units_of(Kind kind);
const Unit& default_unit(Kind kind);

// All units that this spelling may mean. "deg" alone gives angle, crank angle and cam angle are
// never meant by a bare "deg". Empty: no such unit. Spaces inside are folded, the case of letters
// matters only where it must (mm / MPa are no rivals: "MM" is not a unit).
std::span<const Unit* const> units_spelled(std::string_view spelling);

// The unit behind the number of a written quantity, whatever its decimal sign: "12,5 N·m". Null: no
// unit of this kind stands there.
const Unit* unit_written(std::string_view text, Kind kind);

// A sentence for a spelling that must be asked back instead of guessed: "lb", "deg" for a crank or
// cam angle, "mil", "tenths". Empty when there is nothing special to say.
std::string_view ask_back(std::string_view spelling, std::optional<Kind> wanted);

double to_si(double number, const Unit& unit);
double from_si(double si, const Unit& unit);

}  // namespace tautmark
