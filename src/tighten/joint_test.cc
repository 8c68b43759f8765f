// SPDX-License-Identifier: Apache-2.0
#include "tighten/joint.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

namespace tautmark::tighten {
namespace {

// Case W1 of fasteners.md 4.2 (geometry invented there).
Joint worked_joint() {
  const Thread thread = read_thread("M10x1.5")->possible[0];
  return {.thread = thread,
          .strength = strength("10.9", thread.nominal).value(),
          .friction = {0.12, 0.12},
          .face = {mm(16), mm(11)},
          .shank = {{mm(20), mm(10)}},
          .free_thread = mm(20),
          .counterpart = Counterpart::tapped_hole,
          .clamped = mm(40),
          .sleeve_outer = mm(25),
          .clamped_modulus = Pressure::from_si(70e9),
          .counterpart_modulus = Pressure::from_si(70e9)};
}

// F4.1, F4.2, F4.4: own double precision after the VDI 2230 cylinder model.
TEST(Compliance, WorkedJoint) {
  const Compliance c = compliance(worked_joint()).value();
  EXPECT_NEAR(c.head * 1e10, 3.105462, 1e-6);
  EXPECT_NEAR(c.shank * 1e10, 12.421849, 1e-6);
  EXPECT_NEAR(c.free_thread * 1e10, 18.656849, 1e-6);
  EXPECT_NEAR(c.engaged * 1e10, 4.664212, 1e-6);
  EXPECT_NEAR(c.counterpart * 1e10, 6.002415, 1e-6);
  EXPECT_NEAR(c.bolt() * 1e3, 4.4850787615376135e-06, 1e-15);
  EXPECT_NEAR(c.parts * 1e3, 1.7671056962742952e-06, 1e-15);
}

// The three branches of the clamped parts meet: at D_A = d_W the mixed form is the plain sleeve, at
// D_A = D_lim (F4.3: 51.683615 mm) it is the cone alone. A wider sleeve is stiffer.
TEST(Compliance, BranchesMeet) {
  Joint joint = worked_joint();
  const auto parts = [&](double sleeve) {
    joint.sleeve_outer = mm(sleeve);
    return compliance(joint)->parts;
  };
  EXPECT_NEAR(parts(16) / parts(16 + 1e-7), 1, 1e-6);
  EXPECT_NEAR(parts(51.68) / parts(51.69), 1, 1e-3);
  EXPECT_LT(parts(30), parts(20));
  EXPECT_LT(parts(200), parts(80));
}

// F4.5 to F4.15, own double precision.
TEST(Tightened, WorkedStep) {
  const Tightened t = tightened(worked_joint(), {newton_metre(50), deg(60)}).value();
  EXPECT_NEAR(t.per_degree.si(), 666.4337392446166, 1e-6);
  EXPECT_NEAR(t.torque_per_degree.si(), 1.1156452256550355, 1e-9);
  EXPECT_NEAR(t.at_snug.si(), 29867.637306175417, 1e-5);
  EXPECT_NEAR(t.yield.si(), 48312.71171753102, 1e-5);
  EXPECT_NEAR(t.ultimate.si(), 53452.361900, 1e-4);
  EXPECT_NEAR(in_deg(t.to_yield), 27.677281813886797, 1e-9);
  EXPECT_NEAR(t.preload.si(), 48983.35888250436, 1e-5);
  EXPECT_NEAR(in_mm(t.plastic), 0.13048498266061678, 1e-9);
  EXPECT_NEAR(t.plastic_strain, 0.00521940, 1e-8);
  EXPECT_NEAR(t.end_torque.si(), 82.00072603730291, 1e-8);
  EXPECT_TRUE(t.yields);
}

// F4.18 to F4.21, own double precision.
TEST(Tightened, Variants) {
  struct Row {
    double torque, angle, preload, plastic;
  };
  const Row rows[] = {{20, 45, 41936.573188477916, 0},
                      {50, 45, 48672.13173209341, 0.06993083},
                      {30, 60, 48611.40413888269, 0.05811532},
                      {50, 80, 49398.32841638562, 0.00844895 * 25}};
  for (const Row& row : rows) {
    const Tightened t =
        tightened(worked_joint(), {newton_metre(row.torque), deg(row.angle)}).value();
    EXPECT_NEAR(t.preload.si(), row.preload, 1e-4);
    EXPECT_NEAR(in_mm(t.plastic), row.plastic, 1e-6);
    EXPECT_EQ(t.yields, row.plastic > 0);
  }
}

// Why the method exists (fasteners.md 4.2): at the end 20° more moves the preload by 0.85 %.
TEST(Tightened, AngleErrorMattersLittleBeyondYield) {
  const double at_60 = tightened(worked_joint(), {newton_metre(50), deg(60)})->preload.si();
  const double at_80 = tightened(worked_joint(), {newton_metre(50), deg(80)})->preload.si();
  EXPECT_NEAR(at_80 / at_60 - 1, 0.0085, 1e-4);
}

// Own integration of the same law in small steps: the closed form is its sum.
TEST(Tightened, IsTheSumOfSmallSteps) {
  const Joint joint = worked_joint();
  const Compliance c = compliance(joint).value();
  const Tightened t = tightened(joint, {newton_metre(50), deg(60)}).value();
  const double hardening = (t.ultimate - t.yield).si() / (0.04 * 0.025);
  double force = t.at_snug.si();
  const int steps = 600'000;
  for (int i = 0; i < steps; ++i) {
    const double soft = c.bolt() + c.parts + (force < t.yield.si() ? 0 : 1 / hardening);
    force += 1.5e-3 * 60 / 360 / steps / soft;
  }
  EXPECT_NEAR(force, t.preload.si(), 0.2);
}

TEST(Tightened, RefusesWhatItCannotKnow) {
  Joint joint = worked_joint();
  EXPECT_FALSE(tightened(joint, {newton_metre(-1), deg(60)}));
  EXPECT_FALSE(tightened(joint, {newton_metre(50), deg(std::numeric_limits<double>::quiet_NaN())}));
  EXPECT_FALSE(tightened(joint, {newton_metre(400), deg(0)}));
  joint.clamped = mm(45);
  EXPECT_NE(tightened(joint, {newton_metre(50), deg(60)}).error().why.find("40.000"),
            std::string::npos);
}

}  // namespace
}  // namespace tautmark::tighten
