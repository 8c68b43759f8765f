// SPDX-License-Identifier: Apache-2.0
#include "geometry/phase.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <utility>

#include "geometry/counts.h"
#include "geometry/test_drives.h"

namespace tautmark {
namespace {

using ::testing::HasSubstr;

constexpr double kPi = std::numbers::pi;
constexpr double kPrinted = 1e-6;  // geometry.md prints six decimals of degrees and pitches

// Sprockets of the worked bank in path order.
constexpr std::size_t kCrank = 0;
constexpr std::size_t kCam = 1;

// Source: geometry.md 3.4 (B_C, B_K, T, slack path, teeth engaged).
TEST(SprocketPhases, OfTheWorkedBank) {
  const PathInputs in = worked_bank();
  const auto path = solve_path(in);
  ASSERT_TRUE(path) << path.error().why;
  const auto phases = sprocket_phases(in, *path);
  ASSERT_EQ(phases.size(), 2u);
  EXPECT_NEAR(in_deg(phases[kCrank].clock), 93.730364, kPrinted);
  EXPECT_NEAR(in_deg(phases[kCam].clock), 96.367320, kPrinted);
  EXPECT_NEAR(phases[kCam].driving, 37.392937, kPrinted);
  EXPECT_NEAR(phases[kCam].free, 37.392937, kPrinted);
  EXPECT_NEAR(phases[kCam].slack, 36.792925, kPrinted);
  EXPECT_NEAR(
      phases[kCam].driving + phases[kCam].slack + phases[kCam].engaged + phases[kCrank].engaged,
      106, 1e-11);
}

// Source: geometry.md 3.4, marks: phi_C = 0, M = 52, crank mark at 163.922863; in the engine frame,
// 30 degrees further clockwise, both marks stand 30 degrees later on their dials.
TEST(MarkAngle, OfTheWorkedBank) {
  for (const double tilt : {0.0, -30.0}) {
    const PathInputs in = worked_bank(tilt);
    const auto path = solve_path(in);
    ASSERT_TRUE(path) << path.error().why;
    const Angle cam = mark_angle(in, *path, 2, deg(163.922863 - tilt), 52);
    EXPECT_NEAR(in_deg(cam), -tilt, kPrinted) << tilt;
    // One crank turn on, the cam has made half a turn: 20 teeth of 40.
    EXPECT_NEAR(in_deg(mark_angle(in, *path, 2, deg(163.922863 - tilt + 360), 52)), 180 - tilt,
                kPrinted);
    EXPECT_NEAR(in_deg(mark_angle(in, *path, 2, deg(163.922863 - tilt), 53)), -9 - tilt, kPrinted);
  }
}

double cam_crank_degrees(const PathInputs& worn, std::size_t sprocket = kCam,
                         const PathInputs& as_new = worked_bank()) {
  const auto change = phase_change(as_new, worn);
  EXPECT_TRUE(change) << change.error().why;
  return change ? 2 * in_deg(change->at(sprocket)) : 0;
}

// Source: geometry.md 3.4, elongation table, riding out and on a fixed pitch circle; wear table.
TEST(PhaseChange, OfTheWornBank) {
  const double rows[][3] = {
      {0.002, -1.343548, -1.343463}, {0.005, -3.348412, -3.348632}, {0.010, -6.662234, -6.664110}};
  for (const auto& row : rows) {
    PathInputs in = worked_bank();
    in.elongation = Ratio::from_si(row[0]);
    EXPECT_NEAR(cam_crank_degrees(in), row[1], 2 * kPrinted);
    in.rides_out = false;
    EXPECT_NEAR(cam_crank_degrees(in), row[2], 2 * kPrinted);
  }
  for (const auto& [wear, cam] : {std::pair{1, -0.042388}, std::pair{2, -0.068902}}) {
    PathInputs in = worked_bank();
    in.elements[3].wear = mm(wear);
    EXPECT_NEAR(cam_crank_degrees(in), 2 * cam, 2 * kPrinted);
  }
  PathInputs lost = worked_bank();
  lost.elements[3].radius = mm(200);  // far behind the straight strand
  EXPECT_NEAR(cam_crank_degrees(lost), -0.160109, 2 * kPrinted);
}

// Source: geometry.md 3.3 check 3.3b: two cams, T_E = 38.238401, T_I = 54.488401 pitches.
TEST(PhaseChange, OfTwoCamsOnOneLoop) {
  const PathInputs as_new = two_cams();
  const auto path = solve_path(as_new);
  ASSERT_TRUE(path) << path.error().why;
  const auto phases = sprocket_phases(as_new, *path);
  ASSERT_EQ(phases.size(), 3u);
  EXPECT_NEAR(in_mm(path->strands[1].length), 130, kPrinted);
  EXPECT_NEAR(in_mm(path->strands[2].length), 305.907211, kPrinted);
  EXPECT_NEAR(phases[1].free, 54.488401, kPrinted);
  EXPECT_NEAR(phases[2].free, 38.238401, kPrinted);
  EXPECT_NEAR(phases[1].driving, phases[1].free + phases[2].engaged, 1e-11);
  const double rows[][5] = {{0.002, -1.373835, -1.957667, -1.373806, -1.957638},
                            {0.005, -3.424334, -4.879558, -3.424226, -4.879450},
                            {0.010, -6.814765, -9.710804, -6.814431, -9.710471}};
  for (const auto& row : rows) {
    PathInputs in = as_new;
    in.elongation = Ratio::from_si(row[0]);
    in.rides_out = false;
    EXPECT_NEAR(cam_crank_degrees(in, 2, as_new), row[1], 2 * kPrinted);
    EXPECT_NEAR(cam_crank_degrees(in, 1, as_new), row[2], 2 * kPrinted);
    in.rides_out = true;
    EXPECT_NEAR(cam_crank_degrees(in, 2, as_new), row[3], 2 * kPrinted);
    EXPECT_NEAR(cam_crank_degrees(in, 1, as_new), row[4], 2 * kPrinted);
  }
}

// Source: signals.md 11, C4: 0.5 % over 50 links, cam of 40 teeth, first order -4.5 crank degrees.
// The exact form: strand of 50 pitches, 720/40 · 50 · e/(1 + e) = 4.477612 on a fixed pitch circle.
TEST(PhaseChange, OfFiftyLinksAgainstTheFirstOrder) {
  const double radii = 8 / 2.0 / std::sin(kPi / 40) - 8 / 2.0 / std::sin(kPi / 20);
  PathInputs as_new;
  as_new.pitch = mm(8);
  as_new.links = 140;
  as_new.elements = {sprocket("crank", 0, 0, 20), sprocket("cam", 0, std::hypot(400, radii), 40)};
  PathInputs worn = as_new;
  worn.elongation = Ratio::from_si(0.005);
  worn.rides_out = false;
  EXPECT_NEAR(cam_crank_degrees(worn, 1, as_new), -720.0 / 40 * 50 * 0.005 / 1.005, 1e-9);
  EXPECT_NEAR(cam_crank_degrees(worn, 1, as_new), -4.5, 0.005 * 4.5);
}

TEST(PhaseChange, RefusesDifferentSprockets) {
  PathInputs other = worked_bank();
  other.elements[2].teeth = 39;
  const auto change = phase_change(worked_bank(), other);
  ASSERT_FALSE(change);
  EXPECT_THAT(change.error().why, HasSubstr("different sprockets"));
}

// Source: geometry.md 3.4: d phi_C/de -5.874565 riding out, -5.873688 fixed (there by differences,
// so to their rounding); analytic -5.873669 is the formula with T alone. d phi_C/dw -8.798281e-4
// rad/mm by differences.
TEST(PathDerivatives, OfTheWorkedBank) {
  PathInputs in = worked_bank();
  auto d = path_derivatives(in);
  ASSERT_TRUE(d) << d.error().why;
  EXPECT_NEAR(d->sprockets[kCam].per_elongation, -5.874565, 2e-6);
  EXPECT_NEAR(d->sprockets[kCam].per_wear[3] * 1e-3, -8.798281e-4, 2e-9);
  EXPECT_EQ(d->sprockets[kCrank].per_elongation, 0);
  in.rides_out = false;
  d = path_derivatives(in);
  ASSERT_TRUE(d) << d.error().why;
  EXPECT_NEAR(d->sprockets[kCam].per_elongation, -5.873688, 2e-6);
}

// Source: geometry.md 3.4, a more curved guide: wrap 17.389562 degrees, -5.929939e-3 rad/mm.
TEST(PathDerivatives, OfACurvedGuide) {
  PathInputs in = worked_bank();
  in.elements[3].center = point_mm(148, 151);
  in.elements[3].radius = mm(130);
  // 106 links do not close this loop; the derivative hangs on the driving side alone.
  in.elements.erase(in.elements.begin() + 1);
  in.pivot.reset();
  in.plunger.reset();
  const auto path = solve_path(in);
  ASSERT_TRUE(path) << path.error().why;
  EXPECT_NEAR(in_deg(path->contacts[2].wrap), 17.389562, kPrinted);
  const auto d = path_derivatives(in);
  ASSERT_TRUE(d) << d.error().why;
  EXPECT_NEAR(d->sprockets[kCam].per_wear[2] * 1e-3, -5.929939e-3, 2e-9);
}

// Two sprockets of any real number of teeth, closed form (geometry.md 2.3 and 3.2): sin a =
// (r_C - r_K)/C, both contacts turn by a, T = C cos a / p. Marks at the contacts: M = T there.
double closed_phase(double crank, double cam, double crank_as_new, double cam_as_new) {
  const auto lean = [](double k, double c) {
    return std::asin((1 / std::sin(kPi / c) - 1 / std::sin(kPi / k)) * 4 / 302);
  };
  const double a = lean(crank, cam);
  const double a_as_new = lean(crank_as_new, cam_as_new);
  const double t = 302 * (std::cos(a) - std::cos(a_as_new)) / 8;
  // Both points lie at 90 degrees and the lean, clockwise from up.
  return (a - a_as_new) * (1 - crank / cam) + 2 * kPi / cam * t;
}

TEST(PathDerivatives, ByTeethAgainstTheClosedForm) {
  PathInputs in;
  in.pitch = mm(8);
  in.links = 106;
  in.elements = {sprocket("crank", 0, 0, 20), sprocket("cam", 0, 302, 40)};
  const auto d = path_derivatives(in);
  ASSERT_TRUE(d) << d.error().why;
  const double h = 1e-4;
  EXPECT_NEAR(d->sprockets[kCam].per_teeth[0],
              (closed_phase(20 + h, 40, 20, 40) - closed_phase(20 - h, 40, 20, 40)) / (2 * h),
              1e-9);
  EXPECT_NEAR(d->sprockets[kCam].per_teeth[1],
              (closed_phase(20, 40 + h, 20, 40) - closed_phase(20, 40 - h, 20, 40)) / (2 * h),
              1e-9);
  // Deck height: the cam farther away makes T longer, so the cam earlier, cos a of a pitch per
  // pitch.
  const double a = std::asin((50.981979 - 25.569813) / 302);
  EXPECT_NEAR(d->sprockets[kCam].per_center_y[1] * 1e-3,
              2 * kPi / 40 / (8 * std::cos(a)) - std::tan(a) / 302 * (1 - 0.5), 1e-8);
  EXPECT_NEAR(d->sprockets[kCam].per_center_y[0], -d->sprockets[kCam].per_center_y[1], 1e-12);
}

// Source: geometry.md 9, one jumped tooth of a cam sprocket, and what the path says of it: the same
// marks with one link more between them.
TEST(MarkAngle, OneLinkIsOneTooth) {
  const double rows[][3] = {{34, 10.588235, 21.176471}, {36, 10, 20},
                            {38, 9.473684, 18.947368},  {40, 9, 18},
                            {42, 8.571429, 17.142857},  {44, 8.181818, 16.363636},
                            {46, 7.826087, 15.652174},  {48, 7.5, 15}};
  for (const auto& row : rows) {
    const int teeth = static_cast<int>(row[0]);
    const auto tooth = tooth_angle(teeth);
    ASSERT_TRUE(tooth);
    EXPECT_NEAR(in_cam_deg(tooth->cam), row[1], kPrinted);
    EXPECT_NEAR(in_crank_deg(tooth->crank), row[2], kPrinted);
    PathInputs in = two_cams();
    in.elements[0].teeth = teeth / 2;
    in.elements[2].teeth = teeth;
    const Path path = *solve_path(in);
    EXPECT_NEAR(
        in_deg(mark_angle(in, path, 2, deg(170), 41) - mark_angle(in, path, 2, deg(170), 40)),
        -row[1], kPrinted);
  }
}

}  // namespace
}  // namespace tautmark
