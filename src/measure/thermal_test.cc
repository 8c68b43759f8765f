// SPDX-License-Identifier: Apache-2.0
#include "measure/thermal.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <string>

namespace tautmark {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

ThermalInputs aluminium_bore() {
  return {.reading = mm(25.040),
          .part_alpha = ppm_per_K(21.5),
          .part_temperature = degC(35),
          .instrument_alpha = ppm_per_K(11.5),
          .instrument_temperature = degC(35)};
}

ThermalInputs iron_journal() {
  return {.reading = mm(24.985),
          .part_alpha = ppm_per_K(11.4),
          .part_temperature = degC(60),
          .instrument_alpha = ppm_per_K(11.5),
          .instrument_temperature = degC(22)};
}

// M1.40: ISO 1, own arithmetic; tolerance of the note 1e-6 mm.
TEST(ThermalCorrection, BringsAnAluminiumBoreTo20Degrees) {
  const auto c = thermal_correction(aluminium_bore());
  ASSERT_TRUE(c) << c.error().why;
  EXPECT_NEAR(in_mm(c->at_20), 25.036245210919475, 1e-12);
  EXPECT_NEAR(in_mm(c->correction) * 1e3, -3.755, 5e-4);
}

// M1.41: ISO 1, own arithmetic; tolerance of the note 1e-6 mm.
TEST(ThermalCorrection, BringsAnIronJournalTo20Degrees) {
  const auto c = thermal_correction(iron_journal());
  ASSERT_TRUE(c) << c.error().why;
  EXPECT_NEAR(in_mm(c->at_20), 24.97418642598975, 1e-12);
  EXPECT_NEAR(in_mm(c->correction) * 1e3, -10.814, 5e-4);
}

TEST(ThermalCorrection, SensitivitiesAreTheSlopesOfTheFormula) {
  const ThermalInputs in = iron_journal();
  const ThermalCorrection c = thermal_correction(in).value();
  const auto at_20 = [](const ThermalInputs& i) { return thermal_correction(i)->at_20.si(); };
  const auto slope = [&](auto change, double step) {
    ThermalInputs up = in;
    ThermalInputs down = in;
    change(up, step);
    change(down, -step);
    return (at_20(up) - at_20(down)) / (2 * step);
  };
  const auto expect_slope = [](double value, double expected) {
    EXPECT_NEAR(value, expected, 1e-5 * std::abs(expected));
  };
  expect_slope(slope([](auto& i, double d) { i.reading = i.reading + Length::from_si(d); }, 1e-5),
               c.per_reading);
  expect_slope(
      slope([](auto& i, double d) { i.part_alpha = i.part_alpha + Expansion::from_si(d); }, 1e-6),
      c.per_part_alpha);
  expect_slope(
      slope([](auto& i,
               double d) { i.instrument_alpha = i.instrument_alpha + Expansion::from_si(d); },
            1e-6),
      c.per_instrument_alpha);
  expect_slope(
      slope([](auto& i, double d) { i.part_temperature = i.part_temperature + kelvin(d); }, 1),
      c.per_part_temperature);
  expect_slope(
      slope([](auto& i,
               double d) { i.instrument_temperature = i.instrument_temperature + kelvin(d); },
            1),
      c.per_instrument_temperature);
}

TEST(ThermalCorrection, RefusesWhatIsOutsideItsRange) {
  const auto with = [](auto change) {
    ThermalInputs in = aluminium_bore();
    change(in);
    return thermal_correction(in).has_value();
  };
  EXPECT_FALSE(with([](auto& in) { in.reading = mm(kNan); }));
  EXPECT_FALSE(with([](auto& in) { in.part_alpha = ppm_per_K(kNan); }));
  EXPECT_FALSE(with([](auto& in) { in.part_alpha = ppm_per_K(101); }));
  EXPECT_FALSE(with([](auto& in) { in.instrument_alpha = ppm_per_K(-6); }));
  EXPECT_FALSE(with([](auto& in) { in.part_temperature = degC(301); }));
  EXPECT_FALSE(with([](auto& in) { in.instrument_temperature = degC(-61); }));
  EXPECT_FALSE(with([](auto& in) { in.instrument_temperature = degC(kNan); }));
  EXPECT_FALSE(length_at(mm(kNan), ppm_per_K(11), degC(20)));
  EXPECT_FALSE(length_at(mm(100001), ppm_per_K(11), degC(20)));
  EXPECT_FALSE(length_at(mm(1), ppm_per_K(11), degC(1000)));
}

// Closed form: equal coefficients and a common error of the temperature cancel completely.
TEST(ThermalContributions, CommonTemperatureErrorCancelsForEqualMaterials) {
  ThermalInputs in = aluminium_bore();
  in.part_alpha = in.instrument_alpha;
  const auto terms = thermal_contributions(in, {.part_alpha = {},
                                                .instrument_alpha = {},
                                                .common_temperature = kelvin(2),
                                                .part_minus_instrument = {}});
  ASSERT_TRUE(terms) << terms.error().why;
  EXPECT_NEAR(combine(*terms).value().u, 0, 1e-15);
}

// At 20 °C a doubtful coefficient matters only together with a doubtful temperature:
// 25 mm · 1 ppm/K · 2 K = 0.05 µm.
TEST(ThermalContributions, KeepsTheSecondOrderAt20Degrees) {
  const ThermalInputs in{.reading = mm(25),
                         .part_alpha = ppm_per_K(0),
                         .part_temperature = degC(20),
                         .instrument_alpha = ppm_per_K(0),
                         .instrument_temperature = degC(20)};
  const auto terms = thermal_contributions(in, {.part_alpha = ppm_per_K(1),
                                                .instrument_alpha = {},
                                                .common_temperature = {},
                                                .part_minus_instrument = kelvin(2)});
  ASSERT_TRUE(terms);
  EXPECT_NEAR(combine(*terms).value().u, 0.05e-6, 1e-15);
}

TEST(ThermalContributions, RefusesANegativeUncertainty) {
  EXPECT_FALSE(thermal_contributions(aluminium_bore(), {.part_alpha = ppm_per_K(-1),
                                                        .instrument_alpha = {},
                                                        .common_temperature = {},
                                                        .part_minus_instrument = {}}));
  EXPECT_FALSE(thermal_contributions(aluminium_bore(), {.part_alpha = {},
                                                        .instrument_alpha = {},
                                                        .common_temperature = kelvin(kNan),
                                                        .part_minus_instrument = {}}));
}

// Callister, App. B, Table B.6, as listed in section 4 of the measurement note.
TEST(Material, HasTheTabulatedCoefficients) {
  const auto alpha = [](std::string_view name) { return material(name).value().alpha.si() * 1e6; };
  EXPECT_NEAR(alpha("cast aluminium 356"), 21.5, 1e-9);
  EXPECT_NEAR(alpha("6061"), 23.6, 1e-9);
  EXPECT_NEAR(alpha("grey iron"), 11.4, 1e-9);
  EXPECT_NEAR(alpha("ductile iron 80-55-06"), 10.6, 1e-9);
  EXPECT_NEAR(alpha("ductile iron 60-40-18"), 11.2, 1e-9);
  EXPECT_NEAR(alpha("1020"), 11.7, 1e-9);
  EXPECT_NEAR(alpha("1040"), 11.3, 1e-9);
  EXPECT_NEAR(alpha("4140"), 12.3, 1e-9);
  EXPECT_NEAR(alpha("4340"), 12.3, 1e-9);
}

TEST(Material, IsFoundByAlias) {
  EXPECT_EQ(material("Cast Aluminum")->name, "cast aluminium 356");
  EXPECT_EQ(material("aluminum")->name, "aluminium");
  EXPECT_EQ(material("GRAY_IRON")->name, "grey iron");
  EXPECT_EQ(material("steel-4140")->name, "steel 4140");
  EXPECT_EQ(material("80-55-06")->name, "ductile iron 80-55-06");
  for (const Material& m : materials()) EXPECT_EQ(material(m.name)->name, m.name);
}

TEST(Material, GenericNameCoversItsAlloysAndTheirDoubt) {
  const auto covers = [](std::string_view generic, std::string_view alloy) {
    const Material wide = material(generic).value();
    const Material one = material(alloy).value();
    return (wide.alpha - wide.half_width).si() <= (one.alpha - one.half_width).si() + 1e-12 &&
           (wide.alpha + wide.half_width).si() >= (one.alpha + one.half_width).si() - 1e-12;
  };
  EXPECT_TRUE(covers("aluminium", "356"));
  EXPECT_TRUE(covers("aluminium", "6061"));
  EXPECT_TRUE(covers("ductile iron", "80-55-06"));
  EXPECT_TRUE(covers("ductile iron", "60-40-18"));
  EXPECT_TRUE(covers("iron", "grey iron"));
  EXPECT_TRUE(covers("iron", "80-55-06"));
  for (const auto* name : {"1020", "1040", "4140", "4340"}) EXPECT_TRUE(covers("steel", name));
}

TEST(Material, RefusesAnUnknownNameAndListsTheKnownOnes) {
  const auto m = material("unobtainium");
  ASSERT_FALSE(m);
  EXPECT_NE(m.error().why.find("grey iron"), std::string::npos);
  EXPECT_FALSE(material(""));
}

}  // namespace
}  // namespace tautmark
