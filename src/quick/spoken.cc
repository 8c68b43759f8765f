// SPDX-License-Identifier: Apache-2.0
#include "quick/spoken.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <stdexcept>
#include <utility>

#include "base/quantity_text.h"

namespace tautmark::quick {
namespace {

constexpr std::array<std::pair<std::string_view, std::string_view>, 12> kSpelled = {{
    {"N·m", "newton meters"},
    {"lbf·ft", "pound-force feet"},
    {"lbf·in", "pound-force inches"},
    {"kgf·m", "kilogram-force meters"},
    {"kgf·cm", "kilogram-force centimeters"},
    {"ozf·in", "ounce-force inches"},
    {"mm", "millimeters"},
    {"um", "micrometers"},
    {"in", "inches"},
    {"thou", "thousandths of an inch"},
    {"kPa", "kilopascals"},
    {"psi", "pounds per square inch"},
}};

// Below this a printed angle would be all zeros.
bool shows_as_zero(double number, int decimals) {
  return std::round(std::abs(number) * std::pow(10, decimals)) == 0;
}

int decimals_at_least(double step) {
  constexpr int kMost = 9;
  // A step of exactly 0.1 must not ask for a second decimal because of rounding.
  constexpr double kSlack = 1e-9;
  return std::clamp(static_cast<int>(std::ceil(-std::log10(step) - kSlack)), 0, kMost);
}

}  // namespace

std::string degrees(CrankAngle angle, int decimals) {
  return number_text(std::abs(in_crank_deg(angle)), decimals) + "°";
}

std::string_view shift_word(CrankAngle shift) {
  if (shift.si() == 0) return "";
  return shift.si() > 0 ? "early" : "late";
}

std::string shift_text(CrankAngle shift, int decimals) {
  if (shows_as_zero(in_crank_deg(shift), decimals)) return degrees(shift, decimals) + " (crank)";
  return fmt::format("{} {} (crank), {} cam", degrees(shift, decimals), shift_word(shift),
                     degrees(shift / 2, decimals));
}

std::string crank_and_cam(CrankAngle angle, int decimals) {
  return fmt::format("{} crank, {} cam", degrees(angle, decimals), degrees(angle / 2, decimals));
}

std::string teeth_text(int teeth_early) {
  const int count = std::abs(teeth_early);
  if (count == 0) return "no tooth";
  return fmt::format("{} {} {}", count, count == 1 ? "tooth" : "teeth",
                     teeth_early > 0 ? "early" : "late");
}

std::string_view spelled(const Unit& unit) {
  const auto* found = std::find_if(kSpelled.begin(), kSpelled.end(),
                                   [&](const auto& row) { return row.first == unit.symbol; });
  return found == kSpelled.end() ? unit.symbol : found->second;
}

const Unit& unit_named(Kind kind, std::string_view symbol) {
  for (const Unit& unit : units_of(kind)) {
    if (unit.symbol == symbol) return unit;
  }
  throw std::logic_error(fmt::format("no unit {} of {}", symbol, kind_name(kind)));
}

std::string converted_number(double si, double step_si, const Unit& unit) {
  return number_text(from_si(si, unit), decimals_at_least(step_si / unit.factor));
}

std::string three_digits(double si, const Unit& unit) {
  const double number = std::abs(from_si(si, unit));
  if (!(number > 0)) return number_text(number, 0);
  constexpr double kShare = 1e-2;
  return number_text(from_si(si, unit),
                     decimals_at_least(std::pow(10, std::floor(std::log10(number))) * kShare));
}

std::string torque_text(Torque torque) {
  const auto in = [&](std::string_view symbol) {
    const Unit& unit = unit_named(Kind::torque, symbol);
    return fmt::format("{} {}", three_digits(torque.si(), unit), unit.symbol);
  };
  return fmt::format("{} ({}, {})", in("N·m"), in("lbf·ft"), in("lbf·in"));
}

std::string which_torque_unit(std::string_view number_typed, double number) {
  const auto newton_meters = [&](std::string_view symbol) {
    const Unit& unit = unit_named(Kind::torque, symbol);
    return three_digits(to_si(number, unit), default_unit(Kind::torque));
  };
  return fmt::format(
      "{} of what? For a torque: {} pound-force inches are {} N·m, {} pound-force feet are {} N·m. "
      "Say the unit.",
      number_typed, number_typed, newton_meters("lbf·in"), number_typed, newton_meters("lbf·ft"));
}

std::string factor_twelve(const AnyQuantity& torque) {
  constexpr double kInchesPerFoot = 12;
  const Unit& inch = unit_named(Kind::torque, "lbf·in");
  const Unit& foot = unit_named(Kind::torque, "lbf·ft");
  if (torque.unit == &foot) {
    return fmt::format(
        "Inches and feet differ by a factor of 12: {} pound-force inches would be {} N·m.",
        number_text(from_si(torque.si, foot), torque.decimals),
        three_digits(torque.si / kInchesPerFoot, default_unit(Kind::torque)));
  }
  const double step = std::pow(10, -torque.decimals) * torque.unit->factor;
  return fmt::format(
      "Inches and feet differ by a factor of 12: {} set on a pound-force feet scale would be {} "
      "N·m.",
      converted_number(torque.si, step, inch),
      three_digits(torque.si * kInchesPerFoot, default_unit(Kind::torque)));
}

std::string probability_text(double probability) {
  constexpr double kSure = 0.999;
  if (probability > kSure) return "more than 0.999";
  if (probability < 1 - kSure) return "less than 0.001";
  constexpr double kNearOne = 0.99;
  const bool is_extreme = probability > kNearOne || probability < 1 - kNearOne;
  return number_text(probability, is_extreme ? 3 : 2);
}

std::string without_period(std::string text) {
  if (text.ends_with('.')) text.pop_back();
  return text;
}

std::vector<std::string> turning_cautions() {
  return {
      "DO NOT TURN the engine until it is settled that it may be turned: which way each cam is "
      "off, "
      "whether each phaser is locked, and where the pistons stand. This answer does not settle it; "
      "the question turn asks what has to be known.",
      "Where turning is settled: by hand only, in the running direction, stop at the first "
      "resistance, never on the starter. The engine maker's procedure comes first."};
}

}  // namespace tautmark::quick
