// SPDX-License-Identifier: Apache-2.0
// Against an independent program: scipy, tests/reference/clearance_scipy.py. Without scipy the test
// fails: an unchecked number is not a checked one.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <random>
#include <sstream>
#include <string>
#include <vector>

#include "clearance/phase_fit.h"
#include "support/reference_program.h"

namespace tautmark::clearance {
namespace {

struct Case {
  double early, zero, scale, step, first, last, lift_noise, angle_noise;
  bool fit_scale, stated;
};

constexpr Case kCases[] = {
    {-4.3, 0.15, 1, 5, 300, 640, 0.02, 0, false, false},
    {21.7, -0.4, 1.03, 10, 300, 640, 0.03, 0, true, false},
    {3.1, 0.05, 1, 5, 300, 640, 0.01, 0.5, false, true},
    {-7.25, 0.02, 1, 4, 300, 460, 0.02, 0, false, false},
    {-33.4, 0, 0.97, 8, 260, 640, 0.02, 0.2, true, true},
    {140.2, 0.3, 1, 15, 0, 705, 0.05, 0, false, true},
    {0.4, 0, 1, 20, 320, 620, 0.02, 1, false, true},
};

TEST(PhaseFitScipy, GivesTheSameFits) {
  const LiftCurve curve =
      lift_curve(LawLobe{LiftLaw::polynomial_4567, mm(9.5), crank_deg(155), crank_deg(470)});
  std::mt19937 random(64);
  std::normal_distribution<double> normal(0, 1);
  std::vector<PhaseFit> ours;
  std::string cases;
  for (const Case& one : kCases) {
    std::vector<LiftSample> readings;
    const bool stated = one.stated;
    cases += fmt::format("{} {} {} {:d} {} {}", one.early, one.zero, one.scale, one.fit_scale,
                         stated ? one.lift_noise : 0, stated ? one.angle_noise : 0);
    std::string table;
    for (double at = one.first; at <= one.last; at += one.step) {
      const CrankAngle real = crank_deg(at + one.early + one.angle_noise * normal(random));
      readings.push_back({crank_deg(at), one.scale * lift(curve, real) +
                                             mm(one.zero + one.lift_noise * normal(random))});
      table += fmt::format(" {} {}", at, in_mm(readings.back().lift));
    }
    cases += fmt::format(" {}{}\n", readings.size(), table);
    PhaseFitOptions options{.fit_scale = one.fit_scale};
    if (stated) options.noise = ReadingNoise{mm(one.lift_noise), crank_deg(one.angle_noise)};
    const auto fit = phase_fit(curve, readings, options);
    ASSERT_TRUE(fit) << fit.error().why;
    ours.push_back(*fit);
  }
  std::istringstream theirs(test::told_by("clearance_scipy.py", cases));
  for (std::size_t i = 0; i < ours.size(); ++i) {
    double eps = 0, zero = 0, scale = 0, u_residuals = 0, u_stated = 0;
    ASSERT_TRUE(theirs >> eps >> zero >> scale >> u_residuals >> u_stated);
    // Our curve is a table with an error below 1e-5 mm: about 1e-5 deg.
    EXPECT_NEAR(in_crank_deg(ours[i].early), eps, 1e-5) << i;
    EXPECT_NEAR(in_mm(ours[i].gauge_zero), zero, 1e-6) << i;
    EXPECT_NEAR(ours[i].scale, scale, 1e-6) << i;
    const bool as_stated = std::isinf(ours[i].nu);
    EXPECT_EQ(as_stated, kCases[i].stated) << i;
    EXPECT_NEAR(in_crank_deg(ours[i].u) / (as_stated ? u_stated : u_residuals), 1, 1e-4) << i;
  }
}

}  // namespace
}  // namespace tautmark::clearance
