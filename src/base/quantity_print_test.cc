// SPDX-License-Identifier: Apache-2.0
// Printing, and the properties that hold between reading and printing.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "base/quantity_text.h"
#include "base/text.h"

namespace tautmark {
namespace {

const Unit& unit_of(Kind kind, std::string_view symbol) {
  for (const Unit& unit : units_of(kind)) {
    if (unit.symbol == symbol) return unit;
  }
  ADD_FAILURE() << symbol;
  return default_unit(kind);
}

const Unit& millimeter() { return unit_of(Kind::length, "mm"); }

const Unit& any_unit() {
  const auto kind = static_cast<Kind>(*rc::gen::inRange(0, kKindCount));
  const auto units = units_of(kind);
  return units[*rc::gen::inRange<std::size_t>(0, units.size())];
}

// Whole steps of a decimal, as a person would type a number.
struct Typed {
  long long steps = 0;
  int decimals = 0;
  [[nodiscard]] double number() const {
    return static_cast<double>(steps) / std::pow(10, decimals);
  }
};

Typed any_typed(const Unit& unit) {
  Typed typed;
  typed.decimals = *rc::gen::inRange(0, 7);
  // No temperature below absolute zero.
  const long long lowest = unit.kind == Kind::temperature ? 0 : -99999999;
  typed.steps = *rc::gen::inRange<long long>(lowest, 99999999);
  return typed;
}

std::string typed_text(const Typed& typed, const Unit& unit) {
  return number_text(typed.number(), typed.decimals) + " " + std::string(unit.symbol);
}

TEST(NumberText, IsPlainAndNeverMinusZero) {
  EXPECT_EQ(number_text(-0.0, 2), "0.00");
  EXPECT_EQ(number_text(-0.001, 2), "0.00");
  EXPECT_EQ(number_text(-1.5, 1), "-1.5");
  EXPECT_EQ(number_text(1e15, 0), "1000000000000000");
  EXPECT_EQ(number_text(1e-7, 3), "0.000");
  EXPECT_EQ(number_text(12, -3), "12");
}

TEST(QuantityText, ShortestIsWhatWasTyped) {
  EXPECT_EQ(quantity_text(0.0035, unit_of(Kind::ratio, "%")), "0.35 %");
  EXPECT_EQ(quantity_text(0.02798, millimeter()), "27.98 mm");
  EXPECT_EQ(quantity_text(273.15, unit_of(Kind::temperature, "degC")), "0 degC");
  EXPECT_EQ(quantity_text(363.15, unit_of(Kind::temperature, "degC")), "90 degC");
  EXPECT_EQ(quantity_text(0, millimeter()), "0 mm");
  EXPECT_EQ(quantity_text(-0.0, millimeter()), "0 mm");
  EXPECT_EQ(quantity_text(1e-10, millimeter()), "0.0000001 mm");
  EXPECT_EQ(quantity_text(1.2e15, millimeter()), "1200000000000000000 mm");
  EXPECT_EQ(quantity_text(crank_deg(17.1).si(), default_unit(Kind::crank_angle)), "17.1 deg crank");
}

// Source of the rounding up: JCGM 100:2008, 7.2.6, with 5 % as "where it matters".
TEST(MeasuredText, RoundsTheUncertaintyUpWhereItMatters) {
  const auto text = [](double value, double expanded) {
    return measured_text(value * 1e-3, expanded * 1e-3, millimeter());
  };
  EXPECT_EQ(text(0.142, 0.005), "0.142 ± 0.005 mm");
  EXPECT_EQ(text(0.1424, 0.00508), "0.142 ± 0.005 mm");
  EXPECT_EQ(text(0.142, 0.0053), "0.142 ± 0.006 mm");
  EXPECT_EQ(text(27.98, 0.012), "27.980 ± 0.012 mm");
  EXPECT_EQ(text(28.0, 28.05), "28 ± 28 mm");  // the example of the guide
  EXPECT_EQ(text(0.5, 0.0098), "0.500 ± 0.010 mm");
  EXPECT_EQ(text(0.5, 0.00999999999999), "0.500 ± 0.010 mm");
  EXPECT_EQ(text(0.5, 0.0296), "0.500 ± 0.030 mm");
  EXPECT_EQ(text(500, 37.2), "500 ± 37 mm");
  EXPECT_EQ(text(0.5, 0), "0.5 mm");
}

TEST(MeasuredText, SpreadOfATemperatureHasNoOffset) {
  EXPECT_EQ(measured_text(368.15, 2, unit_of(Kind::temperature, "degC")), "95.0 ± 2.0 degC");
  EXPECT_EQ(measured_text(368.15, 2, unit_of(Kind::temperature, "degF")), "203 ± 4 degF");
}

TEST(DecimalsFor, FollowsTheFirstDigitOfTheUncertainty) {
  EXPECT_EQ(decimals_for(5e-6, millimeter()), 3);
  EXPECT_EQ(decimals_for(1.2e-5, millimeter()), 3);
  EXPECT_EQ(decimals_for(3e-5, millimeter()), 2);
  EXPECT_EQ(decimals_for(0.4, millimeter()), 0);
  EXPECT_EQ(decimals_for(0, millimeter()), 0);
}

TEST(IntervalText, RoundsInwardButPrintsWhatWasTyped) {
  EXPECT_EQ(interval_text(0.02796, 0.02798, millimeter(), 2), "27.96..27.98 mm");
  EXPECT_EQ(interval_text(0.027961, 0.027989, millimeter(), 2), "27.97..27.98 mm");
  EXPECT_EQ(interval_text(140000.0, {}, unit_of(Kind::pressure, "kPa"), 0), ">= 140 kPa");
  EXPECT_EQ(interval_text({}, 0.00011, millimeter(), 3), "<= 0.110 mm");
  EXPECT_EQ(interval_text(-0.00015, 0.00015, millimeter(), 1), "-0.1..0.1 mm");
  EXPECT_EQ(interval_text({}, {}, millimeter(), 1), "");
}

TEST(IntervalText, NarrowIntervalIsNotTurnedAround) {
  EXPECT_EQ(interval_text(0.027961, 0.027968, millimeter(), 1), "27.961..27.968 mm");
}

RC_GTEST_PROP(QuantityTextProperty, TypedNumberReadsBackToTheSameDouble, ()) {
  const Unit& unit = any_unit();
  const std::string text = typed_text(any_typed(unit), unit);
  const auto read = read_quantity(text, unit.kind);
  RC_ASSERT(read.has_value());
  RC_ASSERT(read->unit == &unit);
  const std::string printed = quantity_text(read->si, unit);
  RC_LOG() << text << " -> " << printed << '\n';
  const auto again = read_quantity(printed, unit.kind);
  RC_ASSERT(again.has_value());
  RC_ASSERT(again->si == read->si);
  RC_ASSERT(quantity_text(read->si, unit, read->decimals) == text);
}

// Not every double is a multiple of a unit's factor; then 15 digits are as near as text comes.
RC_GTEST_PROP(QuantityTextProperty, AnyDoubleReadsBackToFifteenDigits, (int mantissa)) {
  const Unit& unit = any_unit();
  const double si = std::fabs(mantissa * 1.23456789e-7) + 1e-9;
  const auto again = read_quantity(quantity_text(si, unit), unit.kind);
  RC_ASSERT(again.has_value());
  const double scale = si + unit.offset * unit.factor;
  RC_ASSERT(std::fabs(again->si - si) <= 6e-15 * scale);
}

RC_GTEST_PROP(QuantityTextProperty, IntervalReadsBackToTheSame, ()) {
  const Unit& unit = any_unit();
  Typed lower = any_typed(unit);
  Typed upper = any_typed(unit);
  upper.decimals = lower.decimals;
  if (upper.steps < lower.steps) std::swap(lower, upper);
  const std::string text =
      number_text(lower.number(), lower.decimals) + ".." + typed_text(upper, unit);
  const auto read = read_interval(text, unit.kind);
  RC_ASSERT(read.has_value());
  const std::string printed =
      interval_text(read->lower_si, read->upper_si, *read->unit, read->decimals);
  RC_ASSERT(printed == text);
  const auto again = read_interval(printed, unit.kind);
  RC_ASSERT(again.has_value());
  RC_ASSERT(again->lower_si == read->lower_si);
  RC_ASSERT(again->upper_si == read->upper_si);
}

RC_GTEST_PROP(QuantityTextProperty, PrintedIntervalIsNeverWider, (int a, int b)) {
  const double lower = std::min(a, b) * 1.23456789e-9;
  const double upper = std::max(a, b) * 1.23456789e-9;
  const auto again = read_interval(
      interval_text(lower, upper, millimeter(), *rc::gen::inRange(0, 6)), Kind::length);
  RC_ASSERT(again.has_value());
  RC_ASSERT(*again->lower_si >= lower - 1.1e-9);  // a millionth of a millimeter is noise
  RC_ASSERT(*again->upper_si <= upper + 1.1e-9);
}

RC_GTEST_PROP(QuantityTextProperty, PrintedUncertaintyIsNeverUnderstatedByMoreThan5Percent, ()) {
  const double expanded = *rc::gen::inRange(1, 1000000) * 1e-9;
  const auto read = read_measured(measured_text(0.0279, expanded, millimeter()), Kind::length);
  RC_ASSERT(read.has_value());
  RC_ASSERT(read->expanded_si.has_value());
  RC_ASSERT(*read->expanded_si >= 0.95 * expanded * (1 - 1e-9));
  RC_ASSERT(*read->expanded_si <= 1.35 * expanded);
}

// Whatever arrives: no crash, and a rejection has a place inside the text and a reason
// that can be printed.
template <class T>
bool is_sound(std::string_view text, const FromText<T>& read) {
  if (read) return true;
  const TextError& e = read.error();
  return e.offset <= text.size() && e.length <= text.size() - e.offset && !e.problem.empty() &&
         !first_invalid_utf8(e.problem) && !first_invalid_utf8(e.hint);
}

void check_all_readers(const std::string& text) {
  for (const TextRules& rules : {TextRules{'.'}, TextRules{','}}) {
    RC_ASSERT(is_sound(text, read_number(text, rules)));
    RC_ASSERT(is_sound(text, read_integer(text)));
    for (int i = -1; i < kKindCount; ++i) {
      const auto wanted = i < 0 ? std::nullopt : std::optional(static_cast<Kind>(i));
      RC_ASSERT(is_sound(text, read_quantity(text, wanted, rules)));
      RC_ASSERT(is_sound(text, read_measured(text, wanted, rules)));
      RC_ASSERT(is_sound(text, read_interval(text, wanted, rules)));
      RC_ASSERT(is_sound(text, read_list(text, wanted, rules)));
    }
  }
}

RC_GTEST_PROP(ReadersProperty, AnyBytesAreReadOrRefusedWithAPlace, (const std::string& bytes)) {
  check_all_readers(bytes);
}

// Pieces of real texts in any order reach further than random bytes.
RC_GTEST_PROP(ReadersProperty, AnyPiecesAreReadOrRefusedWithAPlace, ()) {
  const std::vector<std::string> pieces = {"27.98",    "1",     "0",     "-5",
                                           "−3",       ".5",    ",5",    "1e3",
                                           "e-400",    "/2",    "1/min", "mm",
                                           "deg",      "lb",    "degC",  "K",
                                           "kPa",      "µm",    "crank", "(",
                                           ")",        "(k 2)", "±",     "+/-",
                                           "..",       "–",     "to",    ";",
                                           ",",        ", ",    ">=",    "<",
                                           "at least", "max.",  " ",     "  ",
                                           "\u00A0",   "\xC2",  "-",     "+",
                                           "\xFF",     "teeth", "°CA",   "9999999999999999999"};
  std::string text;
  for (const std::size_t i : *rc::gen::container<std::vector<std::size_t>>(
           rc::gen::inRange<std::size_t>(0, pieces.size()))) {
    text += pieces[i];
  }
  RC_LOG() << text << '\n';
  check_all_readers(text);
}

}  // namespace
}  // namespace tautmark
