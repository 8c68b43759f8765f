// SPDX-License-Identifier: Apache-2.0
// Units of torque, length and pressure, spelled out. Factors: base/unit.h (exact).
#include <fmt/format.h>

#include <array>
#include <cmath>

#include "quick/heard.h"
#include "quick/quick.h"
#include "quick/spoken.h"

namespace tautmark::quick {
namespace {

constexpr Input kInputs[] = {
    {.name = "value",
     .ask = "What is to be converted: a torque, a length or a pressure, with its unit?",
     .form = Form::quantity,
     .kind = {},
     .need = Need::required,
     .example = "106 lbf·in",
     .choices = {}},
};

constexpr double kInchesPerFoot = 12;
// trade.md 7, question 14: above about 15 N·m is implausible for an M6 bolt.
constexpr Torque kMostForM6 = newton_metre(15);

constexpr std::array<std::string_view, 3> kTorqueUnits = {"N·m", "lbf·ft", "lbf·in"};
constexpr std::array<std::string_view, 3> kLengthUnits = {"mm", "in", "thou"};
constexpr std::array<std::string_view, 3> kPressureUnits = {"kPa", "bar", "psi"};

std::span<const std::string_view> units_shown(Kind kind) {
  if (kind == Kind::torque) return kTorqueUnits;
  if (kind == Kind::length) return kLengthUnits;
  if (kind == Kind::pressure) return kPressureUnits;
  return {};
}

Outcome run(const Typed& typed) {
  const Heard heard(kConvert, typed);
  const std::string_view text = heard.text("value");
  const FromText<AnyQuantity> value = read_quantity(text, std::nullopt);
  if (!value) {
    if (const FromText<double> number = read_number(text)) {
      return heard.ask("value", which_torque_unit(text, *number));
    }
    return heard.ask("value", value.error());
  }
  const std::span<const std::string_view> symbols = units_shown(value->kind);
  if (symbols.empty()) {
    return heard.ask(
        "value", fmt::format("{} is a {}: torque, length and pressure are converted here.", text,
                             kind_name(value->kind)));
  }

  Answer answer;
  const double step = std::pow(10, -value->decimals) * value->unit->factor;
  const std::string number = number_text(from_si(value->si, *value->unit), value->decimals);
  std::string first = fmt::format("{} {} is ", number, spelled(*value->unit));
  std::string separator;
  for (const std::string_view symbol : symbols) {
    const Unit& unit = unit_named(value->kind, symbol);
    if (&unit == value->unit) continue;
    first +=
        fmt::format("{}{} {}", separator, converted_number(value->si, step, unit), spelled(unit));
    separator = ", or ";
    answer.steps.push_back(fmt::format("{} {} × {} = {}", number, value->unit->symbol,
                                       number_text(value->unit->factor / unit.factor, 6),
                                       quantity_text(value->si, unit, 6)));
  }
  answer.lines.push_back(first + ".");
  std::string all;
  for (const std::string_view symbol : symbols) {
    const Unit& unit = unit_named(value->kind, symbol);
    all += fmt::format("{}{} {}", all.empty() ? "" : " = ",
                       &unit == value->unit ? number : converted_number(value->si, step, unit),
                       unit.symbol);
  }
  answer.lines.push_back(all);
  if (value->kind == Kind::torque) {
    answer.cautions.push_back(factor_twelve(*value));
    if (value->si > kMostForM6.si() && value->si < kMostForM6.si() * kInchesPerFoot) {
      answer.cautions.emplace_back(
          "Above about 15 N·m is implausible for an M6 bolt: for a small bolt, ask whether the "
          "sheet means pound-force inches.");
    }
    answer.cautions.emplace_back(
        "Ask which wrench is in hand: the value should lie between 20 % and 100 % of its range, "
        "not "
        "below its lowest mark.");
  }
  if (value->kind == Kind::length) {
    answer.cautions.emplace_back(
        "Judge in the unit that the limit is printed in: a converted limit must not be rounded "
        "wider.");
  }
  if (value->kind == Kind::pressure) {
    answer.cautions.emplace_back(
        "A pressure says nothing without speed, oil temperature, oil grade and where it was read.");
  }
  return answer;
}

}  // namespace

constinit const QuickQuestion kConvert = {
    .name = "convert",
    .alias = "units",
    .help = "a torque, length or pressure in the units of both sides",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
