// SPDX-License-Identifier: Apache-2.0
#include "measure/iso_fits.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <string>

namespace tautmark {
namespace {

constexpr std::string_view kHole = "ISO 286-2 extract, hole table";
constexpr std::string_view kShaft = "ISO 286-2 extract, shaft table";
constexpr std::string_view kMirrorF = "ISO 286-2 extracts: f by mirror of F7, IT6 from h6";
constexpr std::string_view kMirrorG = "ISO 286-2 extracts: g by mirror of G6, IT6 from h6";
constexpr std::string_view kDin = "extract of DIN ISO 286 for 18-30 mm";

constexpr std::array kRows = {
    IsoFitRow{10, 18, "H7", 0, 18, kHole},      IsoFitRow{10, 18, "h6", -11, 0, kShaft},
    IsoFitRow{18, 30, "D9", 65, 117, kHole},    IsoFitRow{18, 30, "E8", 40, 73, kHole},
    IsoFitRow{18, 30, "F7", 20, 41, kHole},     IsoFitRow{18, 30, "G6", 7, 20, kHole},
    IsoFitRow{18, 30, "H7", 0, 21, kDin},       IsoFitRow{18, 30, "H8", 0, 33, kDin},
    IsoFitRow{18, 30, "H9", 0, 52, kDin},       IsoFitRow{18, 30, "f6", -33, -20, kMirrorF},
    IsoFitRow{18, 30, "g6", -20, -7, kMirrorG}, IsoFitRow{18, 30, "h6", -13, 0, kShaft},
    IsoFitRow{18, 30, "h7", -21, 0, kShaft},    IsoFitRow{30, 50, "H7", 0, 25, kHole},
    IsoFitRow{30, 50, "h6", -16, 0, kShaft},    IsoFitRow{50, 80, "H7", 0, 30, kHole},
    IsoFitRow{50, 80, "h6", -19, 0, kShaft},
};

// A nominal size is a number on a drawing: a nanometer of binary rounding does not move it into
// the next step.
constexpr double kSlack_mm = 1e-6;

Length micrometers(int um) { return Length::from_si(um * 1e-6); }

bool is_hole(std::string_view tolerance_class) {
  return !tolerance_class.empty() && tolerance_class[0] >= 'A' && tolerance_class[0] <= 'Z';
}

}  // namespace

std::span<const IsoFitRow> iso_fit_rows() { return kRows; }

Result<LimitDeviations> iso_limit_deviations(Length nominal, std::string_view tolerance_class) {
  const double size = in_mm(nominal);
  if (!std::isfinite(size) || !(size > 0)) return refuse("the nominal size is not above zero");
  std::string known;
  for (const IsoFitRow& row : kRows) {
    if (!(size > row.above_mm + kSlack_mm && size <= row.up_to_mm + kSlack_mm)) continue;
    if (row.tolerance_class == tolerance_class) {
      return LimitDeviations{.lower = micrometers(row.lower_um),
                             .upper = micrometers(row.upper_um),
                             .source = row.source};
    }
    known += known.empty() ? "" : ", ";
    known += row.tolerance_class;
  }
  if (known.empty()) {
    return refuse(fmt::format(
        "the size step of {:.6g} mm is not in the table shipped; look {} up in ISO 286-2", size,
        tolerance_class));
  }
  return refuse(fmt::format(
      "class {} at {:.6g} mm is not in the table shipped (there: {}); look it up in ISO 286-2",
      tolerance_class, size, known));
}

Result<FitClearance> iso_fit_clearance(Length nominal, std::string_view hole_class,
                                       std::string_view shaft_class) {
  if (!is_hole(hole_class)) return refuse(fmt::format("{} is not a hole class", hole_class));
  if (is_hole(shaft_class)) return refuse(fmt::format("{} is not a shaft class", shaft_class));
  const Result<LimitDeviations> hole = iso_limit_deviations(nominal, hole_class);
  if (!hole) return refuse(hole.error().why);
  const Result<LimitDeviations> shaft = iso_limit_deviations(nominal, shaft_class);
  if (!shaft) return refuse(shaft.error().why);
  return FitClearance{.least = hole->lower - shaft->upper, .most = hole->upper - shaft->lower};
}

Result<Length> iso_standard_tolerance_by_formula(Length step_above, Length step_up_to, int grade) {
  constexpr std::array<double, 5> kMultiples = {7, 10, 16, 25, 40};  // IT5 to IT9
  const double above = in_mm(step_above);
  const double up_to = in_mm(step_up_to);
  if (!(above > 0 && above < up_to && up_to <= 500 + kSlack_mm)) {
    return refuse("the formula holds for a size step above 0 and up to 500 mm");
  }
  if (grade < 5 || grade > 9) return refuse("the formula is given here for IT5 to IT9");
  const double middle = std::sqrt(above * up_to);
  const double unit_um = 0.45 * std::cbrt(middle) + 0.001 * middle;
  return Length::from_si(kMultiples[static_cast<std::size_t>(grade - 5)] * unit_um * 1e-6);
}

}  // namespace tautmark
