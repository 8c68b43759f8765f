// SPDX-License-Identifier: Apache-2.0
// Against an independent program: scipy, tests/reference/oil_travel_scipy.py. Without scipy the
// test fails: an unchecked number is not a checked one.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <sstream>
#include <string>
#include <vector>

#include "oil/phaser_hold.h"
#include "oil/tensioner.h"
#include "support/reference_program.h"

namespace tautmark::oil {
namespace {

// A valve that opens and shuts softly against a torque with mean and swing: no closed form at hand.
struct Case {
  double leakage, viscous, bulk, flow, mean, swing, omega, until;
};
constexpr double kVth = 3.84e-5, kChamber = 8.37758041e-6;

TEST(TwoStatesScipy, TravelsAsRadauDoes) {
  std::string cases;
  std::vector<PhaserState> ours;
  for (const Case& one : {Case{1.49e-11, 0.8, 2e7, 1.5e-5, 2.5, 8, 136.1, 0.3},
                          Case{3.12e-10, 0.8, 2e7, 1.5e-5, 2.5, 8, 136.1, 0.3},
                          Case{9.5e-11, 3, 1.2e8, 4e-6, 1.5, 12, 80, 0.5},
                          Case{0, 0.2, 1.3e7, -9e-6, -2, 4, 400, 0.2}}) {
    cases +=
        fmt::format("travel {} {} {} {} {} {} {} {} {} {}\n", kVth, kChamber, one.leakage,
                    one.viscous, one.bulk, one.flow, one.mean, one.swing, one.omega, one.until);
    const Case it = one;
    const auto got = travelled(
        {.displacement = kVth,
         .leakage = it.leakage,
         .viscous = it.viscous,
         .chamber = Volume::from_si(kChamber),
         .bulk = Pressure::from_si(it.bulk)},
        {.valve = [=](Time t) { return Flow::from_si(it.flow * (1 - std::exp(-t.si() / 0.02))); },
         .torque =
             [=](Time t) { return newton_metre(it.mean + it.swing * std::sin(it.omega * t.si())); },
         .until = Time::from_si(it.until),
         .step = Time::from_si(it.until / 20000)});
    ASSERT_TRUE(got) << got.error().why;
    ours.push_back(got->back());
  }
  std::istringstream theirs(tautmark::test::told_by("oil_travel_scipy.py", cases));
  for (std::size_t i = 0; i < ours.size(); ++i) {
    double angle = 0, load = 0;
    ASSERT_TRUE(theirs >> angle >> load);
    EXPECT_NEAR(ours[i].angle.si(), angle, 1e-6) << i;
    EXPECT_NEAR(ours[i].load.si() / load, 1, 1e-5) << i;
  }
}

// A ball that leaks beside a gap that grows longer: the speed changes on the way.
TEST(TensionerScipy, LeaksDownAsTheIntegralSays) {
  std::string cases;
  std::vector<double> ours;
  for (const double ball : {0.0, 1e-15, 3e-14})
    for (const double grows : {-0.8, 0.0, 1.0}) {
      const auto got = leak_down({.plunger = {.diameter = mm(12),
                                              .clearance = mm(0.018),
                                              .guided = mm(18),
                                              .eccentricity = 0.6,
                                              .ball_leak = ball},
                                  .viscosity = mPa_s(9.1),
                                  .net = Force::from_si(250),
                                  .stroke = mm(8),
                                  .guided_grows = grows});
      ASSERT_TRUE(got) << got.error().why;
      ours.push_back(got->time.si());
      cases += fmt::format("leak 0.012 1.8e-5 0.018 0.6 {} 0.0091 250 0.008 {}\n", ball, grows);
    }
  std::istringstream theirs(tautmark::test::told_by("oil_travel_scipy.py", cases));
  for (const double time : ours) {
    double expected = 0;
    ASSERT_TRUE(theirs >> expected);
    EXPECT_NEAR(time / expected, 1, 1e-8);
  }
}

}  // namespace
}  // namespace tautmark::oil
