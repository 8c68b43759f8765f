// SPDX-License-Identifier: Apache-2.0
#include "clearance/phase_explained.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace tautmark::clearance {
namespace {

using ::testing::HasSubstr;

// Source: trade.md 6.B and question 4: 21.4 late, 38 teeth; the other camshaft is 1.8 late, which
// makes 1.8 (366.48 + 124.00) / 366.48 = 2.41 late here. One tooth, remainder under 0.1; zero (2.4)
// and two teeth (40.3) are excluded.
TEST(ExplainPhase, OneToothAndItsWear) {
  const CrankAngle wear = crank_deg(-1.8 * (366.48 + 124.00) / 366.48);
  const auto found = explain_phase({.early = crank_deg(-21.4),
                                    .U = crank_deg(0.2),
                                    .cam_teeth = 38,
                                    .wear_least = wear,
                                    .wear_most = wear});
  ASSERT_TRUE(found) << found.error().why;
  EXPECT_EQ(found->cause, PhaseCause::jumped);
  ASSERT_EQ(found->fitting.size(), 1u);
  EXPECT_EQ(found->fitting.front().teeth_early, -1);
  EXPECT_NEAR(in_crank_deg(found->fitting.front().rest), -21.4 + 720.0 / 38, 1e-9);
  EXPECT_LT(std::abs(in_crank_deg(found->fitting.front().rest - wear)), 0.1);
  EXPECT_EQ(found->words,
            "21.4° late (crank), 10.7° cam: 1 tooth late and 2.5° late (crank), 1.2° cam of wear "
            "and zero, with one tooth 18.95° crank");
}

// Source: trade.md questions 5 and 6: 6 and 11 late of 18.95 are no jump; 11 may have been cam
// degrees (22 crank = one tooth and wear).
TEST(ExplainPhase, HalfAToothIsNoTooth) {
  const auto eleven =
      explain_phase({.early = crank_deg(-11), .U = crank_deg(0.5), .cam_teeth = 38});
  ASSERT_TRUE(eleven);
  EXPECT_EQ(eleven->cause, PhaseCause::unexplained);
  EXPECT_TRUE(eleven->fits_as_cam_degrees);
  EXPECT_THAT(eleven->words, HasSubstr("0.58 of a tooth"));
  EXPECT_THAT(eleven->words, HasSubstr("ask whether the number was cam degrees"));
  const auto six = explain_phase({.early = crank_deg(-6), .U = crank_deg(0.5), .cam_teeth = 38});
  ASSERT_TRUE(six);
  EXPECT_EQ(six->cause, PhaseCause::unexplained);
  EXPECT_FALSE(six->fits_as_cam_degrees);
  // Question 3: half a tooth of 38, 9.47 deg.
  EXPECT_EQ(explain_phase({.early = crank_deg(-9.47), .cam_teeth = 38})->cause,
            PhaseCause::unexplained);
}

TEST(ExplainPhase, WearAloneIsNoTooth) {
  const auto wear = explain_phase({.early = crank_deg(-2.4), .U = crank_deg(0.3), .cam_teeth = 38});
  ASSERT_TRUE(wear);
  EXPECT_EQ(wear->cause, PhaseCause::no_tooth);
  EXPECT_THAT(wear->words, HasSubstr("no tooth is off"));
  const auto early = explain_phase({.early = crank_deg(17.5), .cam_teeth = 40});
  ASSERT_TRUE(early);
  EXPECT_EQ(early->cause, PhaseCause::jumped);
  EXPECT_EQ(early->fitting.front().teeth_early, 1);
}

// Source: geometry.md 9: ambiguous once wear and zero may take more than a tooth between them.
TEST(ExplainPhase, DoesNotChooseWhereTwoFit) {
  const auto found = explain_phase({.early = crank_deg(-11),
                                    .U = crank_deg(1),
                                    .cam_teeth = 48,
                                    .wear_least = crank_deg(-12),
                                    .wheel_error = crank_deg(4)});
  ASSERT_TRUE(found);
  EXPECT_EQ(found->cause, PhaseCause::cannot_choose);
  ASSERT_EQ(found->fitting.size(), 2u);
  EXPECT_EQ(found->fitting[0].teeth_early, -1);
  EXPECT_EQ(found->fitting[1].teeth_early, 0);
  EXPECT_THAT(found->words, HasSubstr("cannot choose between 1 tooth late and 4.0° early"));
}

TEST(ExplainPhase, RefusesWhatIsNoPhase) {
  EXPECT_FALSE(explain_phase({.early = crank_deg(-11), .cam_teeth = 0}));
  EXPECT_FALSE(explain_phase({.early = crank_deg(NAN), .cam_teeth = 38}));
  EXPECT_FALSE(explain_phase({.early = {}, .U = crank_deg(-1), .cam_teeth = 38}));
  EXPECT_FALSE(explain_phase({.early = {}, .cam_teeth = 38, .wear_most = crank_deg(-6)}));
}

}  // namespace
}  // namespace tautmark::clearance
