// SPDX-License-Identifier: Apache-2.0
// M5.1 to M5.10: ISO 286-2 as read in the extracts the note names, and the formulas of ISO 286-1.
#include "measure/iso_fits.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <string>

namespace tautmark {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

void expect_um(double size_mm, std::string_view tolerance_class, double upper, double lower) {
  const auto d = iso_limit_deviations(mm(size_mm), tolerance_class);
  ASSERT_TRUE(d) << d.error().why;
  EXPECT_NEAR(d->upper.si() * 1e6, upper, 1e-9) << size_mm << " " << tolerance_class;
  EXPECT_NEAR(d->lower.si() * 1e6, lower, 1e-9) << size_mm << " " << tolerance_class;
  EXPECT_FALSE(d->source.empty());
}

TEST(IsoLimitDeviations, HaveTheirTabulatedValues) {
  expect_um(25, "H7", 21, 0);  // M5.1, with H8 and H9 of the same row
  expect_um(25, "H8", 33, 0);
  expect_um(25, "H9", 52, 0);
  expect_um(28, "f6", -20, -33);  // M5.2
  expect_um(28, "h6", 0, -13);    // M5.3
  expect_um(28, "h7", 0, -21);
  expect_um(28, "g6", -7, -20);  // M5.4, with its mirror G6
  expect_um(28, "G6", 20, 7);
  expect_um(25, "F7", 41, 20);  // M5.5
  expect_um(25, "E8", 73, 40);  // M5.6
  expect_um(40, "H7", 25, 0);   // M5.7
  expect_um(40, "h6", 0, -16);
  expect_um(16, "H7", 18, 0);  // M5.8
  expect_um(16, "h6", 0, -11);
  expect_um(60, "H7", 30, 0);  // M5.9
  expect_um(60, "h6", 0, -19);
  expect_um(25, "D9", 117, 65);  // M5.10
}

// "Above ... up to and including".
TEST(IsoLimitDeviations, KeepTheEdgesOfTheSizeSteps) {
  expect_um(30, "H7", 21, 0);
  expect_um(30.001, "H7", 25, 0);
  expect_um(18, "H7", 18, 0);
  expect_um(18.001, "H7", 21, 0);
  expect_um(50, "h6", 0, -16);
  expect_um(80, "h6", 0, -19);
  EXPECT_FALSE(iso_limit_deviations(mm(80.001), "h6"));
  EXPECT_FALSE(iso_limit_deviations(mm(10), "H7"));
}

TEST(IsoLimitDeviations, RefuseByNameWhatIsNotShipped) {
  const auto k6 = iso_limit_deviations(mm(25), "k6");
  ASSERT_FALSE(k6);
  EXPECT_NE(k6.error().why.find("k6"), std::string::npos);
  EXPECT_NE(k6.error().why.find("H7"), std::string::npos);
  EXPECT_FALSE(iso_limit_deviations(mm(40), "f6"));
  EXPECT_FALSE(iso_limit_deviations(mm(25), ""));
  EXPECT_FALSE(iso_limit_deviations(mm(5), "H7"));
  EXPECT_FALSE(iso_limit_deviations(mm(kNan), "H7"));
  EXPECT_FALSE(iso_limit_deviations(mm(-25), "H7"));
}

// M3.20: 25 H7/f6 has 20 to 54 µm.
TEST(IsoFitClearance, IsHoleAgainstShaft) {
  const auto fit = iso_fit_clearance(mm(25), "H7", "f6");
  ASSERT_TRUE(fit);
  EXPECT_NEAR(fit->least.si() * 1e6, 20, 1e-9);
  EXPECT_NEAR(fit->most.si() * 1e6, 54, 1e-9);
  EXPECT_FALSE(iso_fit_clearance(mm(25), "h6", "f6"));
  EXPECT_FALSE(iso_fit_clearance(mm(25), "H7", "H8"));
  EXPECT_FALSE(iso_fit_clearance(mm(25), "H7", "p6"));
}

// M5.1, M5.2, M5.7 to M5.9, last column.
TEST(IsoStandardTolerance, HasTheFormulaValues) {
  const auto um = [](double above, double up_to, int grade) {
    return iso_standard_tolerance_by_formula(mm(above), mm(up_to), grade).value().si() * 1e6;
  };
  EXPECT_NEAR(um(18, 30, 7), 20.918004, 1e-6);
  EXPECT_NEAR(um(18, 30, 6), 13.073752, 1e-6);
  EXPECT_NEAR(um(30, 50, 7), 24.979888, 1e-6);
  EXPECT_NEAR(um(30, 50, 6), 15.61243, 1e-6);
  EXPECT_NEAR(um(10, 18, 7), 17.323135, 1e-6);
  EXPECT_NEAR(um(10, 18, 6), 10.82696, 1e-6);
  EXPECT_NEAR(um(50, 80, 7), 29.698314, 1e-6);
  EXPECT_NEAR(um(50, 80, 6), 18.561446, 1e-6);
  EXPECT_FALSE(iso_standard_tolerance_by_formula(mm(30), mm(18), 7));
  EXPECT_FALSE(iso_standard_tolerance_by_formula(mm(18), mm(kNan), 7));
  EXPECT_FALSE(iso_standard_tolerance_by_formula(mm(18), mm(30), 11));
}

// Width of every shipped row against the formula, within the rounding rules (5 %).
TEST(IsoFitRows, AgreeWithTheFormulaOfTheirGrade) {
  for (const IsoFitRow& row : iso_fit_rows()) {
    const int grade = row.tolerance_class[1] - '0';
    const double formula =
        iso_standard_tolerance_by_formula(mm(row.above_mm), mm(row.up_to_mm), grade)->si() * 1e6;
    EXPECT_NEAR(row.upper_um - row.lower_um, formula, 0.05 * formula) << row.tolerance_class;
  }
}

}  // namespace
}  // namespace tautmark
