// SPDX-License-Identifier: Apache-2.0
// Quantities as people write them, read and printed.
//
//   one value     27.98 mm    -40 degC    17.1 deg crank    650 1/min    0.35 %
//   with ±        0.058 ± 0.005 mm     0.058 +/- 0.005 mm     27.98 mm ± 3 um     (k 2) may follow
//   interval      27.96..27.98 mm    650 ± 25 1/min    >= 140 kPa    <= 0.110 mm
//                 at least 140 kPa    at most 0.110 mm    below / above are refused: "at most" is
//                 meant
//   list          27.957 27.958 27.956 mm     27.957, 27.958, 27.956 mm     27.957 mm; 1.1007 in
//
// A bare number is an error. `1,102` is an error unless the file declares its decimal sign (the
// comma in a list is followed by a space). Nothing is guessed: see ask_back in unit.h.
// Numbers are plain decimals, at most 17 significant digits kept, finite; an exponent is allowed.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <vector>

#include "base/quantity.h"
#include "base/unit.h"

namespace tautmark {

struct TextRules {
  char decimal_sign = '.';  // ',' when the file says `decimal_sign: comma`
};

// What is wrong with a text: where in it (byte offset and length), the problem in one sentence and
// something that can be typed instead (may be empty).
struct TextError {
  std::size_t offset = 0;
  std::size_t length = 0;
  std::string problem;
  std::string hint;
};

template <class T>
using FromText = tl::expected<T, TextError>;

// A value of a kind known only at run time, with the unit that it was typed in.
struct AnyQuantity {
  Kind kind{};
  double si = 0;
  const Unit* unit = nullptr;  // never null after reading
  int decimals = 0;            // digits after the decimal sign as typed
};

struct AnyMeasured {  // value ± expanded uncertainty; k is 2 when nobody said otherwise
  AnyQuantity value;
  std::optional<double> expanded_si;  // U, positive
  double coverage = 2;                // k
  bool coverage_said = false;
};

struct AnyInterval {  // closed; at least one end is there; lower <= upper
  Kind kind{};
  std::optional<double> lower_si;
  std::optional<double> upper_si;
  const Unit* unit = nullptr;
  int decimals = 0;
};

struct AnyList {  // at least one value; all of one kind
  Kind kind{};
  std::vector<AnyQuantity> values;
};

// `wanted` limits the kind: with it a bare "deg" for a crank angle is asked back ("crank or cam?"),
// and a pressure where a length is wanted is refused by name. Without it every kind is accepted.
FromText<AnyQuantity> read_quantity(std::string_view text, std::optional<Kind> wanted,
                                    const TextRules& rules = {});
FromText<AnyMeasured> read_measured(std::string_view text, std::optional<Kind> wanted,
                                    const TextRules& rules = {});
FromText<AnyInterval> read_interval(std::string_view text, std::optional<Kind> wanted,
                                    const TextRules& rules = {});
FromText<AnyList> read_list(std::string_view text, std::optional<Kind> wanted,
                            const TextRules& rules = {});

// A plain decimal number without unit, all of `text`.
FromText<double> read_number(std::string_view text, const TextRules& rules = {});
FromText<long long> read_integer(std::string_view text);

// Printing. Never in exponent form, never "-0".
std::string number_text(double number, int decimals);
std::string quantity_text(double si, const Unit& unit, int decimals);
// Cut, never rounded up: a converted torque asks for no more than was entered.
std::string cut_quantity_text(double si, const Unit& unit, int decimals);
// Shortest text that reads back to the same double in this unit ("0.35 %"), at most 15 digits:
// exact for every number that was typed with up to 15 digits, within 15 digits for any other.
std::string quantity_text(double si, const Unit& unit);
// "0.142 ± 0.005 mm": U to one or two digits (two when it starts with 1 or 2), rounded to the
// nearest, but up when that would understate it by more than 5 % (JCGM 100:2008, 7.2.6 leaves it to
// judgment: 0.00508 prints 0.005, 0.0053 prints 0.006); the value to the same decimals.
std::string measured_text(double si, double expanded_si, const Unit& unit);
// "27.96..27.98 mm", ">= 140 kPa"; rounding never makes the interval wider.
std::string interval_text(const std::optional<double>& lower_si,
                          const std::optional<double>& upper_si, const Unit& unit, int decimals);
// Decimals that show a standard step of U: one digit of U, two when it starts with 1 or 2.
int decimals_for(double expanded_si, const Unit& unit);

}  // namespace tautmark
