// SPDX-License-Identifier: Apache-2.0
#include "clearance/gap_table.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <functional>

#include "clearance/test_engine.h"

namespace tautmark::clearance {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

// Source: geometry.md 7.2.
TEST(LeastAxial, OfTheWorkedCylinder) {
  const LeastGap in = least_axial(note_intake(), {});
  EXPECT_NEAR(in_mm(in.least), 2.903178, 1e-5);
  EXPECT_NEAR(in_crank_deg(in.at), 365.735707, 1e-3);
  const LeastGap ex = least_axial(note_exhaust(), {});
  EXPECT_NEAR(in_mm(ex.least), 2.852464, 1e-5);
  EXPECT_NEAR(in_crank_deg(ex.at), 354.846095, 1e-3);
}

TEST(LeastAxial, OverThePhaseSweepOfTheNote) {
  constexpr double kSweep[][3] = {
      {-54, 4.200000, -3.317262}, {-36, 4.196659, -1.369194}, {-18, 3.980411, 0.928844},
      {-10, 3.641779, 1.881134},  {-5, 3.317582, 2.404478},   {0, 2.903178, 2.852464},
      {5, 2.405095, 3.214305},    {10, 1.836738, 3.487110},   {18, 0.825931, 3.755298},
      {36, -1.547396, 3.899299},  {54, -3.520042, 3.900000}};
  for (const auto& row : kSweep) {
    EXPECT_NEAR(in_mm(least_axial(note_intake(), crank_deg(row[0])).least), row[1], 1e-5);
    EXPECT_NEAR(in_mm(least_axial(note_exhaust(), crank_deg(row[0])).least), row[2], 1e-5);
  }
}

// Source: geometry.md 7.2, "2.0 mm left at", contact, and teeth of a 40-tooth camshaft sprocket.
TEST(PhaseAtGap, OfTheWorkedCylinder) {
  const auto degrees = [](const EngineValve& valve, double level, bool early) {
    return in_crank_deg(phase_at_gap(valve, mm(level), early).value());
  };
  EXPECT_NEAR(degrees(note_intake(), 2.0, true), 8.617097, 1e-4);
  EXPECT_NEAR(degrees(note_exhaust(), 2.0, false), -8.918110, 1e-4);
  EXPECT_NEAR(degrees(note_intake(), 0, true), 24.199099, 1e-4);
  EXPECT_NEAR(degrees(note_exhaust(), 0, false), -25.255655, 1e-4);
  EXPECT_EQ(teeth_to_contact(crank_deg(24.199099), 40), 2);
  EXPECT_EQ(teeth_to_contact(crank_deg(-25.255655), 40), 2);
  EXPECT_EQ(teeth_to_contact(crank_deg(18), 40), 1);
  EXPECT_EQ(teeth_to_contact(crank_deg(18.001), 40), 2);
  EngineValve deep = note_intake();
  deep.site.gap_shut = mm(30);
  EXPECT_FALSE(phase_at_gap(deep, mm(0), true));
}

// Source: geometry.md 7.2: -0.091596 and +0.081222 mm per crank deg, and the envelope rule 7.1.
TEST(LeastAxial, FollowsTheEnvelopeRule) {
  const auto per_degree = [](const EngineValve& valve) {
    return in_mm(least_axial(valve, crank_deg(0.01)).least -
                 least_axial(valve, crank_deg(-0.01)).least) /
           0.02;
  };
  const auto by_rule = [](const EngineValve& valve) {
    return -lift_slope(*valve.lift, least_axial(valve, {}).at) * kRadiansPerDegree * 1e3;
  };
  EXPECT_NEAR(per_degree(note_intake()), -0.091596, 1e-5);
  EXPECT_NEAR(per_degree(note_exhaust()), 0.081222, 1e-5);
  EXPECT_NEAR(by_rule(note_intake()), -0.091596, 1e-5);
  EXPECT_NEAR(by_rule(note_exhaust()), 0.081222, 1e-5);
}

// Intake of 7.2 with a wall of 3 mm, and over a flat crown (g0 3.5 mm). Expected: scipy
// minimize_scalar(method="bounded", xatol 1e-10) from the eight best of 0.5 deg steps, the
// equations of gap.h written out in numpy with the law itself instead of a curve.
TEST(LeastGap, IsWhatScipyFinds) {
  struct Case {
    double early, axial, wall, flat;
  };
  constexpr Case kCases[] = {{-20, 4.034689, 1.400000, 3.561464},
                             {0, 2.903178, 1.121665, 2.457804},
                             {20, 0.561431, 0.172111, 0.150774},
                             {35, -1.421161, -0.311230, -1.836799}};
  EngineValve flat = note_intake();
  flat.site.flat_crown = true;
  flat.site.gap_shut = mm(3.5);
  for (const Case& c : kCases) {
    const EngineValve valve = note_intake({}, mm(3));
    EXPECT_NEAR(in_mm(least_axial(valve, crank_deg(c.early)).least), c.axial, 1e-5);
    EXPECT_NEAR(in_mm(least_wall(valve, crank_deg(c.early))->least), c.wall, 1e-5) << c.early;
    EXPECT_NEAR(in_mm(least_axial(flat, crank_deg(c.early)).least), c.flat, 1e-5);
  }
  EXPECT_FALSE(least_wall(flat, {}));
}

ValveInputs worked(const EngineValve& valve) {
  ValveInputs in{.name = valve.name,
                 .slider = valve.slider,
                 .lift = valve.lift,
                 .inclination = valve.site.inclination,
                 .flat_crown = false,
                 .gap_shut = valve.site.gap_shut,
                 .wall_height = mm(3),
                 .sides = valve.site.sides,
                 .no_other_valve = true,
                 .required = mm(1.0),
                 .required_sides = mm(0.5)};
  in.uncertainty = {.deck = mm(0.05),
                    .gasket = mm(0.05),
                    .recession = mm(0.1),
                    .lift = mm(0.05),
                    .phase = crank_deg(0),
                    .sides = mm(0.1)};
  return in;
}

ValveInputs inline_four(bool intake) {
  const LawLobe lobe = intake
                           ? LawLobe{LiftLaw::harmonic, mm(9.5), crank_deg(125), crank_deg(482)}
                           : LawLobe{LiftLaw::harmonic, mm(9.0), crank_deg(122.5), crank_deg(247)};
  ValveInputs in = worked(note_intake());
  in.slider = Slider{mm(45), mm(143), mm(0)};
  in.lift = std::make_shared<const LiftCurve>(lift_curve(lobe));
  in.inclination = deg(18);
  in.gap_shut = mm(intake ? 5.04 : 4.02);
  in.wall_height = mm(0);
  return in;
}

// Source: trade.md 6.B, the table and the model printed under it: 38 teeth; intake locked and 45
// crank deg early, exhaust locked and 30 late. The printed g0 are rounded to 0.01, and the note
// fixes them by 1.60 mm left at the end of travel: so here, too.
TEST(GapTable, OfTheInlineFourOfTheTrade) {
  constexpr double kTable[][5] = {{3, 0.19, -3.95, 4.02, 4.02},  {2, 2.41, -2.60, 4.02, 4.02},
                                  {1, 4.20, -0.64, 4.02, 3.30},  {0, 5.02, 1.60, 3.86, 1.60},
                                  {-1, 5.04, 3.62, 2.68, -0.54}, {-2, 5.04, 4.86, 0.73, -2.59},
                                  {-3, 5.04, 5.04, -1.43, -4.13}};
  ValveInputs in = inline_four(true), ex = inline_four(false);
  const auto set = [](ValveInputs& inputs, CrankAngle end) {
    const double least = in_mm(gap_cell(inputs, 0, end, 38).axial.value());
    inputs.gap_shut = *inputs.gap_shut + mm(1.60 - least);
  };
  set(in, crank_deg(45));
  set(ex, crank_deg(-30));
  EXPECT_NEAR(in_mm(*in.gap_shut), 5.04, 0.005);
  EXPECT_NEAR(in_mm(*ex.gap_shut), 4.02, 0.005);
  for (const auto& row : kTable) {
    const auto of = [&](const ValveInputs& inputs, double early) {
      return in_mm(gap_cell(inputs, row[0], crank_deg(early), 38).axial.value());
    };
    EXPECT_NEAR(of(in, 0), row[1], 0.0101) << row[0];
    EXPECT_NEAR(of(in, 45), row[2], 0.0101) << row[0];
    EXPECT_NEAR(of(ex, 0), row[3], 0.0101) << row[0];
    EXPECT_NEAR(of(ex, -30), row[4], 0.0101) << row[0];
  }
  const auto cells = gap_table(in, -3, 3, {crank_deg(0), crank_deg(45)}, 38);
  ASSERT_EQ(cells.size(), 14U);
  EXPECT_EQ(cells[13].teeth, 3);
  EXPECT_NEAR(in_mm(*cells[13].axial), -3.95, 0.0101);
  EXPECT_EQ(cells[13].contact, Contact::expected);
  EXPECT_EQ(cells[12].contact, Contact::below_required);
  EXPECT_EQ(cells[0].contact, Contact::none_expected);
}

// By hand: 22 deg, cos = 0.9271839; 0.9271839 (0.05 + 0.05) + 0.1 + 0.05 = 0.2427184 mm.
TEST(GapCell, CarriesTheUncertaintiesLinearly) {
  ValveInputs in = worked(note_exhaust());
  EXPECT_NEAR(in_mm(gap_cell(in, 0, {}, 40).uncertainty.value()), 0.2427184, 1e-6);
  in.uncertainty.phase = crank_deg(0.5);  // 0.081222 mm per degree at the least gap
  EXPECT_NEAR(in_mm(*gap_cell(in, 0, {}, 40).uncertainty), 0.2427184 + 0.5 * 0.081222, 1e-3);
  // Never less than the worst of the range, here where the gap curves downwards.
  in.uncertainty.phase = crank_deg(10);
  EXPECT_NEAR(in_mm(*gap_cell(in, 0, {}, 40).uncertainty), 0.2427184 + 2.852464 - 1.881134, 1e-4);
  in.uncertainty.measured_gap = mm(0.1);
  in.uncertainty.phase = crank_deg(0);
  EXPECT_NEAR(in_mm(*gap_cell(in, 0, {}, 40).uncertainty), 0.15, 1e-6);
}

TEST(GapCell, SaysNoContactExpectedOnlyWithRoomBeyondTheUncertainty) {
  ValveInputs in = worked(note_intake());
  EXPECT_EQ(gap_cell(in, 0, {}, 40).contact, Contact::none_expected);
  in.required = mm(2.7);  // 2.903 - 0.244 is less
  EXPECT_EQ(gap_cell(in, 0, {}, 40).contact, Contact::below_required);
  in.required = mm(2.65);
  EXPECT_EQ(gap_cell(in, 0, {}, 40).contact, Contact::none_expected);
  EXPECT_EQ(gap_cell(in, 1, {}, 40).contact, Contact::below_required);
  EXPECT_EQ(gap_cell(in, 2, {}, 40).contact, Contact::expected);
  EXPECT_LT(in_mm(*gap_cell(in, 2, {}, 40).spare), -4);
}

TEST(GapCell, CountsTheWall) {
  ValveInputs in = worked(note_intake());
  in.sides->offset_x = mm(-1.6);  // 0.2 mm left at the top, and less at once
  const TableCell cell = gap_cell(in, 0, {}, 40);
  EXPECT_EQ(cell.contact, Contact::expected);
  EXPECT_EQ(cell.nearest, Nearest::wall);
  EXPECT_GT(in_mm(*cell.axial), 2.9);
  EXPECT_LT(in_mm(*cell.wall), 0);
}

OtherValve other_valve() {
  return {.heads = {.a = {mm(18), mm(0), mm(0), deg(20), mm(16.5), mm(1.5)},
                    .b = {mm(-16), mm(0), mm(0.5), deg(-22), mm(14), mm(1.2)}},
          .lift = note_exhaust().lift,
          .early = {crank_deg(0)},
          .uncertainty = mm(0.1)};
}

TEST(GapCell, CountsTheOtherValve) {
  ValveInputs in = worked(note_intake());
  in.no_other_valve = false;
  in.other = other_valve();
  const TableCell correct = gap_cell(in, 0, {}, 40);
  EXPECT_EQ(correct.contact, Contact::none_expected);
  EXPECT_GT(in_mm(*correct.other), 4);
  // The other camshaft 80 crank deg late as well: both wide open at once.
  in.other->early.push_back(crank_deg(-80));
  in.other->heads.b.x = mm(-12);
  const TableCell late = gap_cell(in, 0, {}, 40);
  EXPECT_EQ(late.contact, Contact::expected);
  EXPECT_EQ(late.nearest, Nearest::other_valve);
}

// Each input in turn is taken away: never "no contact expected", and it is named.
TEST(GapCell, IsNotKnownWithoutAnyOneInput) {
  struct Removal {
    const char* name;
    std::function<void(ValveInputs&)> remove;
  };
  const std::vector<Removal> removals{
      {"stroke", [](ValveInputs& in) { in.slider.reset(); }},
      {"lift curve", [](ValveInputs& in) { in.lift = nullptr; }},
      {"a law is assumed", [](ValveInputs& in) { in.lift_is_assumed = true; }},
      {"inclination", [](ValveInputs& in) { in.inclination.reset(); }},
      {"crown", [](ValveInputs& in) { in.flat_crown.reset(); }},
      {"piston gap", [](ValveInputs& in) { in.gap_shut.reset(); }},
      {"height of the pocket wall", [](ValveInputs& in) { in.wall_height.reset(); }},
      {"radii and place", [](ValveInputs& in) { in.sides.reset(); }},
      {"valve to valve", [](ValveInputs& in) { in.other.reset(); }},
      {"valve to valve", [](ValveInputs& in) { in.other->lift = nullptr; }},
      {"valve to valve", [](ValveInputs& in) { in.other->early.clear(); }},
      {"valve to valve", [](ValveInputs& in) { in.other->uncertainty.reset(); }},
      {"deck", [](ValveInputs& in) { in.uncertainty.deck.reset(); }},
      {"gasket", [](ValveInputs& in) { in.uncertainty.gasket.reset(); }},
      {"recession", [](ValveInputs& in) { in.uncertainty.recession.reset(); }},
      {"uncertainty of the lift", [](ValveInputs& in) { in.uncertainty.lift.reset(); }},
      {"camshaft phase", [](ValveInputs& in) { in.uncertainty.phase.reset(); }},
      {"pocket wall", [](ValveInputs& in) { in.uncertainty.sides.reset(); }},
      {"deck", [](ValveInputs& in) { in.uncertainty.deck = mm(-1); }},
      {"required", [](ValveInputs& in) { in.required.reset(); }}};
  ValveInputs whole = worked(note_intake());
  whole.no_other_valve = false;
  whole.other = other_valve();
  ASSERT_THAT(missing_for_proof(whole), IsEmpty());
  ASSERT_EQ(gap_cell(whole, 0, {}, 40).contact, Contact::none_expected);
  for (const Removal& removal : removals) {
    ValveInputs in = whole;
    removal.remove(in);
    const TableCell cell = gap_cell(in, 0, {}, 40);
    EXPECT_EQ(cell.contact, Contact::not_known) << removal.name;
    EXPECT_THAT(cell.missing, Contains(HasSubstr(removal.name)));
    EXPECT_EQ(cell.missing.size(), 1U) << removal.name;
  }
}

TEST(GapCell, OfAnAssumedLawShowsContactButNeverClears) {
  ValveInputs in = worked(note_intake());
  in.lift_is_assumed = true;
  EXPECT_EQ(gap_cell(in, 0, {}, 40).contact, Contact::not_known);
  EXPECT_EQ(gap_cell(in, 3, {}, 40).contact, Contact::expected);
  in.gap_shut = mm(std::nan(""));
  EXPECT_NE(gap_cell(in, 0, {}, 40).contact, Contact::none_expected);
  in.lift_is_assumed = false;
  EXPECT_NE(gap_cell(in, 0, {}, 40).contact, Contact::none_expected);
}

}  // namespace
}  // namespace tautmark::clearance
