// SPDX-License-Identifier: Apache-2.0
// Stop and indicator entries of the invented engine of trade.md 6.B as numbers.
#include "judge/cam_measured.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace tautmark {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

LoadedDrive quellmere() {
  return load_drive("quellmere-i4-16", {{std::string(TAUTMARK_SOURCE_DIR) + "/drives"}}).value();
}

Written<CrankAngle> angle(double degrees) { return {crank_deg(degrees), ""}; }
Written<Length> lift(double millimeters) { return {mm(millimeters), ""}; }

WrittenList degrees(std::initializer_list<double> values) {
  WrittenList list;
  list.value.kind = Kind::crank_angle;
  for (const double value : values) {
    AnyQuantity one;
    one.kind = Kind::crank_angle;
    one.si = value * kRadiansPerDegree;
    one.unit = &default_unit(Kind::crank_angle);
    list.value.values.push_back(one);
  }
  return list;
}

IndicatorReading pairs_of_the_trade() {
  IndicatorReading reading;
  reading.place = "bank 1 / intake camshaft";
  for (const auto& [opens, closes] :
       {std::pair{70.6, 174.4}, std::pair{70.4, 174.5}, std::pair{70.7, 174.4}})
    reading.pairs.push_back({lift(6), angle(opens), angle(closes)});
  reading.top = angle(0.4);
  return reading;
}

// geometry.md 6.1, harmonic: h cos²(90° x/B); the lobe of trade.md 6.B.
double lobe(double at, double center, double height, double duration) {
  const double x = (at - center) / (duration / 2);
  return std::abs(x) < 1 ? height * std::pow(std::cos(x * std::numbers::pi / 2), 2) : 0;
}

// Source: trade.md 6.B: 24.5 before, 22.1 after -> the wheel reads 1.2 before; then both 23.3.
// Uncertainty by hand: 0.25/√2 of the wheel; 0.05 mm at 0.4011 mm per degree (stroke 90, rod 143:
// r sin A (1 + r cos A/√(l² - r² sin² A)) π/180 at A = 23.3), over √2: 0.1975 in all.
TEST(TopFound, OfTheTrade) {
  const LoadedDrive drive = quellmere();
  StopReading stop;
  stop.before = degrees({24.5});
  stop.after = degrees({22.1});
  stop.reading = angle(0.5);
  stop.stop = lift(0.1);
  const auto top = top_found(stop, &drive);
  ASSERT_TRUE(top) << top.error().why;
  EXPECT_NEAR(in_crank_deg(top->wheel_reads), -1.2, 1e-9);
  EXPECT_NEAR(in_crank_deg(top->half_angle), 23.3, 1e-9);
  EXPECT_NEAR(in_crank_deg(top->u), std::hypot(0.25, 0.05 / 0.4011) / std::sqrt(2), 1e-4);
  // Without the drive the stop's own share is not known, and said so.
  const auto alone = top_found(stop, nullptr);
  ASSERT_TRUE(alone);
  EXPECT_NEAR(in_crank_deg(alone->u), 0.25 / std::sqrt(2), 1e-9);
  EXPECT_THAT(alone->cautions, Contains(HasSubstr("not in the uncertainty")));
}

TEST(TopFound, TakesTheWheelOfTheListWhereNobodySaid) {
  StopReading stop;
  stop.before = degrees({24.5});
  stop.after = degrees({22.1});
  const auto top = top_found(stop, nullptr);
  ASSERT_TRUE(top);
  EXPECT_NEAR(in_crank_deg(top->u), 0.5 / std::sqrt(2), 1e-9);  // ± 1.0° (k = 2) in the list
  stop.after = degrees({22.1, 22.2});
  EXPECT_THAT(top_found(stop, nullptr).error().why, HasSubstr("before and after"));
}

// Source: trade.md 6.B: nominal 70.1 / 173.9 at 6.00 mm, center lines 122.50, 122.45, 122.55, in
// the middle 122.5, 0.5 late of 122.0. U by hand: 0.5/√6 of the wheel, 0.2 of its zero.
TEST(CamMeasured, PairsOfTheTrade) {
  const auto cam = cam_measured(pairs_of_the_trade(), quellmere());
  ASSERT_TRUE(cam) << cam.error().why;
  EXPECT_EQ(cam->camshaft, "bank 1 / intake camshaft");
  EXPECT_EQ(cam->valves, "intake");
  ASSERT_TRUE(cam->center && cam->nominal_center && cam->longer);
  EXPECT_NEAR(in_crank_deg(cam->center->of_pair[1]), 122.45, 1e-9);
  EXPECT_NEAR(in_crank_deg(cam->center->center), 122.5, 1e-9);
  EXPECT_NEAR(in_crank_deg(*cam->nominal_center), 122.0, 1e-3);
  EXPECT_NEAR(in_crank_deg(cam->early), -0.5, 1e-3);
  // Open for 103.8, 104.1, 103.7 against 173.9 - 70.1 = 103.8.
  EXPECT_NEAR(in_crank_deg(*cam->longer), 103.8667 - 103.8, 0.1);
  EXPECT_NEAR(in_crank_deg(cam->u), std::hypot(0.5 / std::sqrt(6), 0.2), 1e-6);
  EXPECT_NEAR(in_crank_deg(cam->U), 1.959964 * std::hypot(0.5 / std::sqrt(6), 0.2), 1e-4);
  EXPECT_THAT(cam->warnings, IsEmpty());
  ASSERT_TRUE(cam->explained);
  EXPECT_EQ(cam->explained->cause, clearance::PhaseCause::no_tooth);
}

// The stop that the wheel was set by counts where it is worse than what was entered.
TEST(CamMeasured, TheZeroOfTheWheelGoesInOneToOne) {
  IndicatorReading reading = pairs_of_the_trade();
  clearance::TopFound top;
  top.u = crank_deg(0.6);
  EXPECT_NEAR(in_crank_deg(cam_measured(reading, quellmere(), &top)->u),
              std::hypot(0.5 / std::sqrt(6), 0.6), 1e-6);
  reading.top.reset();
  const auto none = cam_measured(reading, quellmere());
  EXPECT_NEAR(in_crank_deg(none->u), 0.5 / std::sqrt(6), 1e-6);
  EXPECT_THAT(none->warnings, Contains(HasSubstr("top:")));
}

// The exhaust lobe of trade.md 6.B, 113.0° before the top, every 5°, 21.4° late, with the
// deterministic noise and the gauge zero of geometry.md 6.4.
TEST(CamMeasured, AWholeTable) {
  IndicatorReading reading;
  reading.place = "bank 1 / exhaust camshaft";
  reading.top = angle(0.4);
  for (int k = 0; k <= 60; ++k) {
    const double at = -250 + 5 * k;
    reading.table.push_back(
        {angle(at), lift(lobe(at - 21.4, -113, 9, 245) + 0.15 + (k % 2 == 0 ? 0.02 : -0.02))});
  }
  const auto cam = cam_measured(reading, quellmere());
  ASSERT_TRUE(cam) << cam.error().why;
  ASSERT_TRUE(cam->fit);
  EXPECT_NEAR(in_crank_deg(cam->early), -21.4, 0.02);
  EXPECT_NEAR(in_mm(cam->fit->gauge_zero), 0.15, 0.002);
  EXPECT_TRUE(cam->fit->flanks && cam->fit->flanks->agree);
  ASSERT_EQ(cam->fitted.size(), 61u);
  for (const LiftFitted& one : cam->fitted)
    EXPECT_NEAR(in_mm(one.seen - one.fitted), 0, 0.03) << in_crank_deg(one.at);
  EXPECT_GT(cam->U, crank_deg(0.39));  // never better than its zero
  ASSERT_TRUE(cam->explained);
  EXPECT_EQ(cam->explained->cause, clearance::PhaseCause::jumped);
  EXPECT_EQ(cam->explained->nearest.teeth_early, -1);
}

TEST(CamMeasured, NamesTheFieldThatGivesNoResult) {
  LoadedDrive drive = quellmere();
  IndicatorReading reading = pairs_of_the_trade();
  reading.pairs[1].lift = lift(9.6);  // the lobe lifts 9.5 mm
  EXPECT_THAT(cam_measured(reading, drive).error().why, HasSubstr("pairs[1].lift"));
  reading.place = "bank 2 / intake camshaft";
  EXPECT_THAT(cam_measured(reading, drive).error().why, HasSubstr("place:"));
  reading = pairs_of_the_trade();
  reading.valves = "exhaust";
  EXPECT_THAT(cam_measured(reading, drive).error().why, HasSubstr("valves:"));
  reading = pairs_of_the_trade();
  drive.drive.banks[0].camshafts[0].valves[0].lobe.reset();
  EXPECT_THAT(cam_measured(reading, drive).error().why, HasSubstr("no lift of the intake valves"));
}

// Of a definition of twenty lines: the figures of PairsOfTheTrade, nothing to hold them against.
TEST(CamMeasured, WithoutALiftTheCenterLineIsToldAllTheSame) {
  LoadedDrive drive = quellmere();
  drive.drive.banks[0].camshafts[0].valves.clear();
  const std::string why = cam_measured(pairs_of_the_trade(), drive).error().why;
  EXPECT_THAT(why, HasSubstr("which valves of bank 1 / intake camshaft these are; measured: center "
                             "line 122.5 ± 0.6 deg crank after top dead center of gas exchange"));
  IndicatorReading early = pairs_of_the_trade();
  for (EqualLift& pair : early.pairs)
    pair = {pair.lift, angle(in_crank_deg(pair.opens.value) + 500),
            angle(in_crank_deg(pair.closes.value) + 500)};
  EXPECT_THAT(cam_measured(early, drive).error().why, HasSubstr("97.5 ± 0.6 deg crank before"));
  early.pairs.clear();
  EXPECT_THAT(cam_measured(early, drive).error().why, testing::Not(HasSubstr("measured")));
}

}  // namespace
}  // namespace tautmark
