// SPDX-License-Identifier: Apache-2.0
#include "base/unit.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <limits>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace tautmark {
namespace {

const Unit& unit_of(Kind kind, std::string_view spelling) {
  for (const Unit* unit : units_spelled(spelling)) {
    if (unit->kind == kind) return *unit;
  }
  ADD_FAILURE() << spelling << " is no unit of " << kind_name(kind);
  return default_unit(kind);
}

double converted(Kind kind, double number, std::string_view from, std::string_view to) {
  return from_si(to_si(number, unit_of(kind, from)), unit_of(kind, to));
}

std::vector<const Unit*> all_units() {
  std::vector<const Unit*> units;
  for (int i = 0; i < kKindCount; ++i) {
    for (const Unit& unit : units_of(static_cast<Kind>(i))) units.push_back(&unit);
  }
  return units;
}

// Source: exact rational arithmetic from the definitions in NIST SP 811:2008, Appendix B.8 (inch
// 25.4 mm, avoirdupois pound 0.453 592 37 kg, standard gravity 9.806 65 m/s²); the temperature
// scales from B.8 and B.9. Check values F1.1 to F1.12 of the fastener reference.
// Tolerance: 1e-12 relative, far above double rounding and far below any gauge.
TEST(Units, AgreeWithExactConversions) {
  struct Check {
    std::string_view id;
    Kind kind;
    double number;
    std::string_view from, to;
    double expected;
  };
  const Check checks[] = {
      {"F1.1", Kind::torque, 50, "N·m", "lbf·ft", 36.878107463863266},
      {"F1.2", Kind::torque, 50, "N·m", "lbf·in", 442.5372895663592},
      {"F1.3", Kind::torque, 50, "N·m", "kgf·m", 5.0985810648896415},
      {"F1.4", Kind::torque, 10, "lbf·in", "N·m", 1.129848290276167},
      {"F1.5", Kind::torque, 72, "lbf·ft", "N·m", 97.61889227986083},
      {"F1.6", Kind::torque, 12, "kgf·m", "N·m", 117.6798},
      {"F1.7", Kind::length, 1.5, "thou", "mm", 0.0381},
      {"F1.8", Kind::length, 0.05, "mm", "in", 0.0019685039370078744},
      {"F1.9", Kind::pressure, 30, "psi", "kPa", 206.84271879505084},
      {"F1.10", Kind::pressure, 200, "kPa", "psi", 29.00754754604184},
      {"F1.11", Kind::temperature, 195, "degF", "degC", 90.55555555555556},
      {"F1.12", Kind::temperature_difference, 20, "degF", "K", 11.11111111111111},
      // The factor table itself.
      {"lbf", Kind::force, 1, "lbf", "N", 4.4482216152605},
      {"kgf", Kind::force, 1, "kgf", "N", 9.80665},
      {"ozf·in", Kind::torque, 1, "ozf·in", "N·m", 0.00706155181422604375},
      {"kgf·cm", Kind::torque, 1, "kgf·cm", "N·m", 0.0980665},
      {"bar", Kind::pressure, 1, "bar", "kPa", 100},
      {"kgf/cm²", Kind::pressure, 1, "kgf/cm²", "kPa", 98.0665},
      {"psi", Kind::pressure, 1, "psi", "Pa", 6894.757293168361},
      {"ft", Kind::length, 1, "ft", "m", 0.3048},
      {"mi", Kind::length, 1, "mi", "m", 1609.344},
      {"ice", Kind::temperature, 32, "degF", "degC", 0},
      {"steam", Kind::temperature, 212, "degF", "K", 373.15},
      {"cold", Kind::temperature, -40, "degF", "degC", -40},
      {"rpm", Kind::rotational_speed, 650, "1/min", "1/s", 10.833333333333334},
      {"cc", Kind::volume, 1, "L", "cm³", 1000},
      {"aluminum", Kind::expansion, 12, "ppm/degF", "ppm/K", 21.6},
      {"turn", Kind::angle, 360, "deg", "rad", 6.283185307179586},
  };
  for (const Check& check : checks) {
    // A zero has no relative error; the offsets are some 500 K.
    const double scale = check.expected == 0 ? 500 : std::fabs(check.expected);
    EXPECT_NEAR(converted(check.kind, check.number, check.from, check.to), check.expected,
                1e-12 * scale)
        << check.id;
  }
}

TEST(Units, FactorTwelveBetweenFootAndInchTorque) {
  EXPECT_DOUBLE_EQ(converted(Kind::torque, 1, "lb-ft", "lb-in"), 12);
  EXPECT_DOUBLE_EQ(converted(Kind::torque, 1, "lbf·in", "ozf·in"), 16);
}

TEST(Units, UnderstandTheSpellingsOfTheTrade) {
  const std::multimap<std::string_view, std::vector<std::string_view>> spelled = {
      {"N·m", {"N·m", "N*m", "Nm", "N-m", "N m", "N.m", "N⋅m", "N  m"}},
      {"lbf·ft",
       {"lbf·ft", "lbf.ft", "lb-ft", "ft-lb", "ft-lbs", "ft·lbf", "ft lbs", "LB-FT", "Ft-Lbs",
        "ftlb", "lbft", "foot-pounds", "ft. lbs."}},
      {"lbf·in", {"lbf·in", "lb-in", "in-lb", "in-lbs", "in. lb.", "IN-LB", "inch pounds"}},
      {"ozf·in", {"oz-in", "in·oz"}},
      {"kgf·m", {"mkg", "kpm", "kgm", "kgf·m", "kg-m", "m·kg"}},
      {"kgf·cm", {"kg-cm", "kgcm"}},
      {"cN·m", {"cNm", "Ncm"}},
      {"kPa", {"kPa", "KPa"}},
      {"kgf/cm²", {"kgf/cm²", "kgf/cm2", "kg/cm2", "kgf/cm^2", "kg / cm²"}},
      {"psi", {"PSI", "lb/in2", "lbf/in²"}},
      {"um", {"µm", "μm", "um"}},  // the micro sign and the Greek letter
      {"in", {"in", "\"", "″", "inch", "in.", "IN"}},
      {"thou", {"thou"}},
      {"1/min", {"rpm", "RPM", "min⁻¹", "min^-1", "min-1", "r/min", "U/min"}},
      {"degC", {"°C", "ºC", "C", "° C", "℃", "deg C"}},
      {"degF", {"°F", "F"}},
      {"deg crank",
       {"° crank", "deg (crank)", "crank deg", "degrees crank", "°crank", "Deg Crank"}},
      {"deg cam", {"° cam", "deg (cam)", "cam deg", "degrees cam"}},
      {"deg", {"°", "deg", "degrees"}},
      {"L", {"l", "L", "liter", "litres"}},
      {"cm³", {"cm3", "cc", "cm^3"}},
      {"m³", {"m3"}},
      {"ppm/K", {"µm/(m·K)", "um/(m K)", "ppm/°C"}},
      {"%", {"%", "percent"}},
  };
  for (const auto& [symbol, spellings] : spelled) {
    for (const std::string_view spelling : spellings) {
      const auto units = units_spelled(spelling);
      ASSERT_FALSE(units.empty()) << spelling;
      EXPECT_EQ(units.front()->symbol, symbol) << spelling;
    }
  }
}

TEST(Units, LetterCaseMattersWhereAPrefixCouldBeMeant) {
  for (const std::string_view wrong : {"MM", "Mm", "mPa", "mpa", "nm", "NM", "k", "S", "Bar ar"}) {
    EXPECT_TRUE(units_spelled(wrong).empty()) << wrong;
  }
  EXPECT_EQ(units_spelled("MPa").front()->factor, 1e6);
}

TEST(Units, NothingElseIsAUnit) {
  for (const std::string_view wrong :
       {"", " ", "-", ".", "mm.mm", "-mm", ".mm", "mm-", "mm..", "lb", "mil", "tenths", "tooth",
        "x", "deg\xFF", "1", "°CA"}) {
    EXPECT_TRUE(units_spelled(wrong).empty()) << wrong;
  }
}

TEST(Units, BareDegreesAreNeitherCrankNorCam) {
  const auto units = units_spelled("deg");
  ASSERT_EQ(units.size(), 1U);
  EXPECT_EQ(units.front()->kind, Kind::angle);
}

TEST(Units, TemperaturePointComesBeforeDifference) {
  for (const std::string_view spelling : {"degC", "degF", "K", "°C"}) {
    const auto units = units_spelled(spelling);
    ASSERT_EQ(units.size(), 2U) << spelling;
    EXPECT_EQ(units[0]->kind, Kind::temperature);
    EXPECT_EQ(units[1]->kind, Kind::temperature_difference);
  }
}

TEST(Units, AskBackInsteadOfGuessing) {
  const auto asks = [](std::string_view spelling, std::optional<Kind> wanted) {
    return std::string(ask_back(spelling, wanted));
  };
  EXPECT_EQ(asks("lb", Kind::torque),
            "lb alone can be lbf·in or lbf·ft, a factor of 12: say which");
  EXPECT_EQ(asks("lbs.", std::nullopt), asks("lb", Kind::torque));
  EXPECT_NE(asks("lb", Kind::force), "");
  EXPECT_NE(asks("mil", Kind::length), "");
  EXPECT_NE(asks("tenths", Kind::length), "");
  EXPECT_NE(asks("teeth", Kind::crank_angle), "");
  EXPECT_NE(asks("°CA", Kind::crank_angle), "");
  EXPECT_EQ(asks("deg", Kind::crank_angle),
            "crank or cam degrees? one cam degree is two crank degrees");
  EXPECT_EQ(asks("°", Kind::cam_angle), asks("deg", Kind::crank_angle));
  EXPECT_EQ(asks("deg", Kind::angle), "");
  EXPECT_EQ(asks("deg", std::nullopt), "");
  EXPECT_EQ(asks("mm", Kind::length), "");
}

TEST(Units, DefaultsAreWhatTheTradeWrites) {
  const std::map<Kind, std::string_view> expected = {
      {Kind::length, "mm"},
      {Kind::crank_angle, "deg crank"},
      {Kind::cam_angle, "deg cam"},
      {Kind::angle, "deg"},
      {Kind::temperature, "degC"},
      {Kind::temperature_difference, "K"},
      {Kind::pressure, "kPa"},
      {Kind::torque, "N·m"},
      {Kind::force, "N"},
      {Kind::rotational_speed, "1/min"},
      {Kind::time, "s"},
      {Kind::volume, "L"},
      {Kind::ratio, "%"},
      {Kind::expansion, "ppm/K"},
      {Kind::frequency, "Hz"},
      {Kind::voltage, "V"},
      {Kind::kinematic_viscosity, "mm²/s"},
      {Kind::dynamic_viscosity, "mPa·s"},
      {Kind::density, "kg/m³"},
      {Kind::flow, "L/min"},
  };
  ASSERT_EQ(expected.size(), static_cast<std::size_t>(kKindCount));
  for (const auto& [kind, symbol] : expected) EXPECT_EQ(default_unit(kind).symbol, symbol);
}

TEST(Units, EverySpellingMeansItsUnitAndNoOtherOfItsKind) {
  for (const Unit* unit : all_units()) {
    std::vector<std::string_view> spellings(unit->spellings.begin(), unit->spellings.end());
    spellings.push_back(unit->symbol);
    for (const std::string_view spelling : spellings) {
      std::set<Kind> kinds;
      bool found = false;
      for (const Unit* other : units_spelled(spelling)) {
        EXPECT_TRUE(kinds.insert(other->kind).second) << spelling;
        found = found || other == unit;
      }
      EXPECT_TRUE(found) << spelling << " for " << unit->symbol;
      EXPECT_TRUE(ask_back(spelling, std::nullopt).empty()) << spelling;
    }
  }
}

TEST(Units, EveryKindHasANameAndAnSiSymbol) {
  std::set<std::string_view> names;
  for (int i = 0; i < kKindCount; ++i) {
    const auto kind = static_cast<Kind>(i);
    names.insert(kind_name(kind));
    EXPECT_FALSE(si_symbol(kind).empty());
  }
  EXPECT_EQ(names.size(), static_cast<std::size_t>(kKindCount));
  EXPECT_EQ(si_symbol(Kind::crank_angle), "rad (crank)");
  EXPECT_EQ(kind_name(Kind::crank_angle), "crank angle");
}

// Two roundings each way; an offset brings its own scale.
RC_GTEST_PROP(UnitsProperty, FromSiUndoesToSiWithinTwoUlp, ()) {
  const auto units = all_units();
  const Unit& unit = *units[*rc::gen::inRange<std::size_t>(0, units.size())];
  const double number = *rc::gen::inRange(-100000000, 100000000) / 10007.0;
  const double back = from_si(to_si(number, unit), unit);
  const double scale = std::fabs(number) + unit.offset;
  RC_ASSERT(std::fabs(back - number) <= 2 * std::numeric_limits<double>::epsilon() * scale);
}

RC_GTEST_PROP(UnitsProperty, AnyBytesAreAUnitOrNot, (const std::string& bytes)) {
  for (const Unit* unit : units_spelled(bytes)) RC_ASSERT(unit != nullptr);
  RC_ASSERT(ask_back(bytes, std::nullopt).size() < 200);
}

}  // namespace
}  // namespace tautmark
