// SPDX-License-Identifier: Apache-2.0
#include "clearance/phase_fit.h"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "support/long_tests.h"

namespace tautmark::clearance {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

// The invented intake lobe of geometry.md 6.3.
LiftCurve intake(Length lash = {}) {
  return lift_curve(LawLobe{LiftLaw::polynomial_4567, mm(9.5), crank_deg(155), crank_deg(470)}, 1,
                    lash);
}

// The readings of geometry.md 6.4: 300 to 640 in steps of 5 crank deg, 69 points, without noise.
std::vector<LiftSample> readings_of(const LiftCurve& curve, double early, double zero = 0,
                                    double first = 300, double last = 640, double step = 5) {
  std::vector<LiftSample> out;
  for (double at = first; at <= last + 1e-9; at += step)
    out.push_back({crank_deg(at), lift(curve, crank_deg(at + early)) + mm(zero)});
  return out;
}

// Source: geometry.md 6.4, deterministic test.
TEST(PhaseFit, OfTheDeterministicTableOfTheNote) {
  auto readings = readings_of(intake(), -4.3, 0.15);
  for (std::size_t k = 0; k < readings.size(); ++k)
    readings[k].lift = readings[k].lift + mm(k % 2 == 0 ? 0.02 : -0.02);
  const auto fit = phase_fit(intake(), readings);
  ASSERT_TRUE(fit) << fit.error().why;
  EXPECT_NEAR(in_crank_deg(fit->early), -4.300000, 1e-5);
  EXPECT_NEAR(in_mm(fit->gauge_zero), 0.150290, 1e-6);
  // Source: the same noise in the formula of the note, sigma_y² = 69 * 0.02² / 67 nearly.
  EXPECT_NEAR(in_crank_deg(fit->u), 0.032443 * std::sqrt(69.0 / 67), 1e-4);
  EXPECT_EQ(fit->nu, 67);
  EXPECT_THAT(fit->warnings, IsEmpty());
  ASSERT_TRUE(fit->flanks);
  EXPECT_TRUE(fit->flanks->agree);
}

// Source: geometry.md 6.4, table of predicted sigma_eps (weighted where the angle is noisy).
TEST(PredictedUncertainty, OfTheNote) {
  std::vector<CrankAngle> angles;
  for (int at = 300; at <= 640; at += 5) angles.push_back(crank_deg(at));
  for (const auto& [lift_noise, angle_noise, expected] : {std::tuple{0.01, 0.0, 0.016222},
                                                          {0.02, 0.0, 0.032443},
                                                          {0.05, 0.0, 0.081108},
                                                          {0.01, 0.5, 0.078653}}) {
    const auto u = predicted_u(intake(), angles, {mm(lift_noise), crank_deg(angle_noise)});
    ASSERT_TRUE(u);
    EXPECT_NEAR(in_crank_deg(*u), expected, 1e-6);
  }
  EXPECT_FALSE(predicted_u(intake(), {crank_deg(0), crank_deg(10)}, {mm(0.01), {}}));
}

// The start must find a camshaft that is teeth off, and the sign must be right: a table of the lobe
// moved early by 40 reads as 40 early.
TEST(PhaseFit, FindsTheWholeCycle) {
  for (double early = -355; early < 360; early += 23.7) {
    const auto fit = phase_fit(intake(), readings_of(intake(), early, 0.3, 0, 715));
    ASSERT_TRUE(fit) << early;
    EXPECT_NEAR(in_crank_deg(fit->early), early, 1e-6);
    EXPECT_NEAR(in_mm(fit->gauge_zero), 0.3, 1e-8);
  }
}

TEST(PhaseFit, TakesAScale) {
  auto readings = readings_of(intake(), 6.5);
  for (LiftSample& reading : readings) reading.lift = 1.04 * reading.lift + mm(-0.2);
  const auto fit = phase_fit(intake(), readings, {.fit_scale = true});
  ASSERT_TRUE(fit);
  EXPECT_NEAR(in_crank_deg(fit->early), 6.5, 1e-6);
  EXPECT_NEAR(fit->scale, 1.04, 1e-8);
  EXPECT_NEAR(in_mm(fit->gauge_zero), -0.2, 1e-7);
  ASSERT_TRUE(fit->flanks);
  EXPECT_TRUE(fit->flanks->agree);
  EXPECT_NEAR(in_crank_deg(fit->flanks->opening), 6.5, 1e-6);
}

// Source: geometry.md 6.4: lash or zero error of 0.15 mm is 2.09 deg on one flank, and cancels to
// first order over both.
TEST(PhaseFit, LashBendsTheFlanksApartAndCancelsOverBoth) {
  auto readings = readings_of(intake(mm(0.15)), 1.5);
  std::mt19937 random(8);
  std::normal_distribution<double> noise(0, 0.005);
  for (LiftSample& reading : readings) reading.lift = reading.lift + mm(noise(random));
  const auto fit = phase_fit(intake(), readings);
  ASSERT_TRUE(fit);
  EXPECT_NEAR(in_crank_deg(fit->early), 1.5, 0.1);
  ASSERT_TRUE(fit->flanks);
  EXPECT_FALSE(fit->flanks->agree);
  EXPECT_LT(fit->flanks->opening, fit->flanks->closing);  // opens late, closes early
  EXPECT_THAT(fit->warnings, Contains(HasSubstr("the two flanks differ")));
}

TEST(PhaseFit, WarnsOfWhatTheTableLacks) {
  const auto opening = phase_fit(intake(), readings_of(intake(), 2, 0, 300, 460));
  ASSERT_TRUE(opening);
  EXPECT_NEAR(in_crank_deg(opening->early), 2, 1e-5);
  EXPECT_THAT(opening->warnings, Contains(HasSubstr("on the closing flank")));
  EXPECT_FALSE(opening->flanks);

  const auto few = phase_fit(intake(), readings_of(intake(), 2, 0, 330, 610, 40));
  ASSERT_TRUE(few);
  EXPECT_THAT(few->warnings, Contains(HasSubstr("8 readings are few")));

  auto readings = readings_of(intake(), 2);
  std::swap(readings[30], readings[31]);
  const auto back = phase_fit(intake(), readings);
  ASSERT_TRUE(back);
  EXPECT_THAT(back->warnings, Contains(HasSubstr("reading 32 was taken after turning back")));

  readings = readings_of(intake(), 2);
  for (std::size_t k = 0; k < readings.size(); ++k)
    readings[k].lift = readings[k].lift + mm(k % 2 == 0 ? 0.01 : -0.01);
  readings[20].lift = readings[20].lift + mm(0.3);
  const auto wild = phase_fit(intake(), readings, {.noise = ReadingNoise{mm(0.01), {}}});
  ASSERT_TRUE(wild);
  EXPECT_THAT(wild->warnings, Contains(HasSubstr("reading 21 is off")));
  EXPECT_THAT(wild->warnings, Contains(HasSubstr("scatter more than was stated")));
  EXPECT_EQ(wild->nu, 67);
}

TEST(PhaseFit, RefusesWhereThePhaseIsNotSeen) {
  EXPECT_FALSE(phase_fit(intake(), {}));
  const auto shut = phase_fit(intake(), readings_of(intake(), 0, 0.1, 0, 200));
  ASSERT_FALSE(shut);
  EXPECT_THAT(shut.error().why, HasSubstr("do not show the phase"));
  auto ramp = readings_of(intake(), 0, 0, 290, 322, 2);  // 0.03 mm seen, 0.02 of noise
  for (std::size_t k = 0; k < ramp.size(); ++k)
    ramp[k].lift = ramp[k].lift + mm(k % 2 == 0 ? 0.02 : -0.02);
  EXPECT_FALSE(phase_fit(intake(), ramp));
  auto readings = readings_of(intake(), 0);
  EXPECT_FALSE(phase_fit(intake(), readings, {.noise = ReadingNoise{}}));
  readings[3].lift = mm(NAN);
  EXPECT_FALSE(phase_fit(intake(), readings));
}

// Source: scipy 1.10, scipy.stats.chi2.ppf(0.999, 67) / 67 = 1.620. Noise of ±0.02 mm is a ratio
// of 1.42 to a promise of 0.017 and of 2.64 to one of 0.0125.
TEST(PhaseFit, BelievesAPromiseUntilTheReadingsSayOtherwise) {
  auto readings = readings_of(intake(), -4.3);
  for (std::size_t k = 0; k < readings.size(); ++k)
    readings[k].lift = readings[k].lift + mm(k % 2 == 0 ? 0.02 : -0.02);
  const auto believed = phase_fit(intake(), readings, {.noise = ReadingNoise{mm(0.017), {}}});
  const auto broken = phase_fit(intake(), readings, {.noise = ReadingNoise{mm(0.0125), {}}});
  ASSERT_TRUE(believed && broken);
  EXPECT_TRUE(std::isinf(believed->nu));
  EXPECT_NEAR(in_crank_deg(believed->u), 0.032443 * 0.017 / 0.02, 1e-4);
  EXPECT_EQ(broken->nu, 67);
  EXPECT_NEAR(in_crank_deg(broken->u), 0.032443 * std::sqrt(69.0 / 67), 1e-4);
}

// A statement of 95 % must hold in 93 to 97 of 100: 10 000 tables with the noise of the gauge, from
// their own scatter; 0.93 to 0.97 is 9 standard deviations of the count itself there, 4 at 2000.
TEST(PhaseFit, StatedIntervalHoldsAsOftenAsStated) {
  const LiftCurve curve = intake();
  std::mt19937 random(1957);
  std::normal_distribution<double> noise(0, 0.02);
  const int sets = test::are_long() ? 10000 : 2000;
  int inside = 0, stated_inside = 0;
  double squares = 0;
  for (int i = 0; i < sets; ++i) {
    auto readings = readings_of(curve, -4.3, 0.15, 300, 640, 20);  // 18 points
    for (LiftSample& reading : readings) reading.lift = reading.lift + mm(noise(random));
    const auto fit = phase_fit(curve, readings, {.search_within = crank_deg(12)});
    const auto stated = phase_fit(
        curve, readings, {.noise = ReadingNoise{mm(0.02), {}}, .search_within = crank_deg(12)});
    ASSERT_TRUE(fit && stated);
    const double off = in_crank_deg(fit->early) + 4.3;
    inside += std::abs(off) <= in_crank_deg(fit->U) ? 1 : 0;
    stated_inside += std::abs(off) <= in_crank_deg(stated->U) ? 1 : 0;
    squares += off * off;
  }
  EXPECT_GT(inside, 0.93 * sets);
  EXPECT_LT(inside, 0.97 * sets);
  EXPECT_GT(stated_inside, 0.93 * sets);
  EXPECT_LT(stated_inside, 0.97 * sets);
  // Source: geometry.md 6.4, sigma_eps for D = 20 instead of 5: twice 0.032443.
  EXPECT_NEAR(std::sqrt(squares / sets), 2 * 0.032443, 0.004);
}

}  // namespace
}  // namespace tautmark::clearance
