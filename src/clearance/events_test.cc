// SPDX-License-Identifier: Apache-2.0
#include "clearance/events.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace tautmark::clearance {
namespace {

using ::testing::HasSubstr;

constexpr double kPrinted = 1e-5;  // tolerance of geometry-checks.yaml, lobes.events

LiftCurve intake() {
  return lift_curve(LawLobe{LiftLaw::polynomial_4567, mm(9.5), crank_deg(155), crank_deg(470)});
}
LiftCurve exhaust() {
  return lift_curve(LawLobe{LiftLaw::polynomial_4567, mm(9), crank_deg(152), crank_deg(250)});
}

TimingCard card(double io, double ic, double eo, double ec) {
  return {crank_deg(io), crank_deg(ic), crank_deg(eo), crank_deg(ec)};
}

// Source: geometry.md 6.3, second table.
TEST(OpenSpan, OfTheInventedLobes) {
  struct Row {
    double lift, io, ic, eo, ec, intake, exhaust, overlap;
  };
  for (const Row& row :
       {Row{1.00, 1.109591, 41.109591, 38.211671, -1.788329, 222.219182, 216.423341, -0.678738},
        Row{1.27, -2.399459, 37.600541, 34.687516, -5.312484, 215.201082, 209.375033, -7.711943}}) {
    const auto in = open_span(intake(), mm(row.lift)), ex = open_span(exhaust(), mm(row.lift));
    ASSERT_TRUE(in && ex);
    const TimingCard made = timing_card(*in, *ex);
    EXPECT_NEAR(in_crank_deg(made.intake_opens), row.io, kPrinted);
    EXPECT_NEAR(in_crank_deg(made.intake_closes), row.ic, kPrinted);
    EXPECT_NEAR(in_crank_deg(made.exhaust_opens), row.eo, kPrinted);
    EXPECT_NEAR(in_crank_deg(made.exhaust_closes), row.ec, kPrinted);
    const auto figures = card_figures(made);
    ASSERT_TRUE(figures);
    EXPECT_NEAR(in_crank_deg(figures->intake_duration), row.intake, kPrinted);
    EXPECT_NEAR(in_crank_deg(figures->exhaust_duration), row.exhaust, kPrinted);
    EXPECT_NEAR(in_crank_deg(figures->overlap), row.overlap, kPrinted);
    EXPECT_NEAR(in_crank_deg(figures->intake_center), 110, kPrinted);
    EXPECT_NEAR(in_crank_deg(figures->exhaust_center), 110, kPrinted);
    EXPECT_NEAR(in_cam_deg(figures->lobe_separation), 110, kPrinted);
    EXPECT_NEAR(in_crank_deg(figures->advance), 0, kPrinted);
  }
}

// Source: geometry.md 6.3, 20-60 / 60-20 at 0.050 in [S14] and 6-42, EC 12 [S14b].
TEST(TimingCard, OfTheTwoPublishedCards) {
  const auto straight = card_figures(card(20, 60, 60, 20));
  ASSERT_TRUE(straight);
  EXPECT_NEAR(in_crank_deg(straight->intake_duration), 260, 1e-9);
  EXPECT_NEAR(in_crank_deg(straight->exhaust_duration), 260, 1e-9);
  EXPECT_NEAR(in_crank_deg(straight->intake_center), 110, 1e-9);
  EXPECT_NEAR(in_crank_deg(straight->exhaust_center), 110, 1e-9);
  EXPECT_NEAR(in_cam_deg(straight->lobe_separation), 110, 1e-9);
  EXPECT_NEAR(in_crank_deg(straight->overlap), 40, 1e-9);
  const TimingCard nominal = card(20, 60, 60, 20);
  for (const auto& [early, io, ic, eo, ec] :
       {std::tuple{5.0, 25.0, 55.0, 65.0, 15.0}, {-5.0, 15.0, 65.0, 55.0, 25.0}}) {
    const TimingCard moved = timing_card(advanced(intake_span(nominal), crank_deg(early)),
                                         advanced(exhaust_span(nominal), crank_deg(early)));
    EXPECT_NEAR(in_crank_deg(moved.intake_opens), io, 1e-9);
    EXPECT_NEAR(in_crank_deg(moved.intake_closes), ic, 1e-9);
    EXPECT_NEAR(in_crank_deg(moved.exhaust_opens), eo, 1e-9);
    EXPECT_NEAR(in_crank_deg(moved.exhaust_closes), ec, 1e-9);
    EXPECT_NEAR(in_crank_deg(card_figures(moved)->intake_center), 110 - early, 1e-9);
    EXPECT_NEAR(in_crank_deg(card_figures(moved)->advance), early, 1e-9);
  }
  const auto other = card_figures(card(6, 42, 48, 12));
  ASSERT_TRUE(other);
  EXPECT_NEAR(in_crank_deg(other->intake_duration), 228, 1e-9);
  EXPECT_NEAR(in_crank_deg(other->intake_center), 108, 1e-9);
  EXPECT_NEAR(in_crank_deg(other->overlap), 18, 1e-9);
}

// Source: geometry.md 6.3 and 6.4: 0.071762 mm per crank deg at 1 mm, so lash of 0.15 mm too much
// makes the opening 2.09 deg late and the closing as much early, and leaves the phase alone.
TEST(SpanDeviation, TellsPhaseFromLash) {
  const auto nominal = open_span(intake(), mm(1));
  const auto loose = open_span(
      lift_curve(LawLobe{LiftLaw::polynomial_4567, mm(9.5), crank_deg(155), crank_deg(470)}, 1,
                 mm(0.15)),
      mm(1));
  ASSERT_TRUE(nominal && loose);
  const SpanDeviation lash = deviation(*nominal, *loose);
  EXPECT_NEAR(in_crank_deg(lash.opening_early), -2.09, 0.1);  // the slope itself grows by 7 %
  EXPECT_NEAR(in_crank_deg(lash.early), 0, kPrinted);
  EXPECT_NEAR(lash.longer.si(), 2 * lash.opening_early.si(), 1e-7);
  // Read one cycle later, and 3 deg early.
  const SpanDeviation phase = deviation(*nominal, advanced(*nominal, crank_deg(3 - 720)));
  EXPECT_NEAR(in_crank_deg(phase.early), 3, 1e-9);
  EXPECT_NEAR(in_crank_deg(phase.longer), 0, 1e-9);
}

TEST(OpenSpan, RefusesALiftThatIsNone) {
  EXPECT_FALSE(open_span(intake(), {}));
  const auto high = open_span(intake(), mm(9.5));
  ASSERT_FALSE(high);
  EXPECT_THAT(high.error().why, HasSubstr("does not reach a checking lift of 9.5 mm"));
  const auto wrong = card_figures(card(20, 60, -100, -90));
  ASSERT_FALSE(wrong);
  EXPECT_THAT(wrong.error().why, HasSubstr("the exhaust valve is open for -10° crank"));
}

}  // namespace
}  // namespace tautmark::clearance
