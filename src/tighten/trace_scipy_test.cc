// SPDX-License-Identifier: Apache-2.0
// Against an independent program: scipy, tests/reference/tighten_scipy.py. Without scipy the test
// fails; it is not skipped.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <map>
#include <string>

#include "support/reference_program.h"
#include "tighten/trace_clean.h"

namespace tautmark::tighten {
namespace {

TEST(TraceScipy, SavitzkyGolayAndLine) {
  CleanTrace clean;
  for (int i = 0; i <= 240; ++i) {
    clean.angle.push_back(0.5 * i);
    // Bent, with a ripple: nothing that a straight line would follow.
    clean.torque.push_back(0.004 * i * i / (1 + 0.01 * i) + ((i * 7919) % 23) * 0.05);
  }
  std::string input;
  for (std::size_t i = 0; i < clean.angle.size(); ++i)
    input += fmt::format("{:.17g} {:.17g}\n", clean.angle[i], clean.torque[i]);
  const std::map<std::string, double> scipy =
      test::values_told_by("tighten_scipy.py 17 30 70", input);
  ASSERT_TRUE(scipy.contains("line_slope"));

  const std::vector<LocalLine> ours = local_lines(clean, 8, 0.5);
  ASSERT_EQ(ours.size(), clean.angle.size());
  for (std::size_t i = 0; i < ours.size(); ++i) {
    EXPECT_NEAR(ours[i].value, scipy.at(fmt::format("value/{}", i)), 1e-9) << i;
    EXPECT_NEAR(ours[i].slope, scipy.at(fmt::format("slope/{}", i)), 1e-9) << i;
  }
  const Line fitted = fitted_line(clean, 30, 70);
  EXPECT_NEAR(fitted.slope, scipy.at("line_slope"), 1e-10);
  EXPECT_NEAR(fitted.at_zero, scipy.at("line_zero"), 1e-9);
  EXPECT_NEAR(fitted.slope_error, scipy.at("line_error"), 1e-10);
}

}  // namespace
}  // namespace tautmark::tighten
