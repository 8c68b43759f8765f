// SPDX-License-Identifier: Apache-2.0
#include "tighten/plausible.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>

namespace tautmark::tighten {
namespace {

constexpr double kPoundFoot = 1.3558179483314004;
constexpr double kPoundInch = kPoundFoot / 12;

Plausibility asked(std::string_view thread, double figure, double unit,
                   std::optional<std::string> name = std::nullopt, bool angle = false) {
  const auto result = plausibility({.torque = newton_metre(figure * unit),
                                    .thread = read_thread(thread).value(),
                                    .strength_class = std::move(name),
                                    .more_follows = angle},
                                   figure);
  EXPECT_TRUE(result);
  return result.value();
}

bool fits(const Plausibility& p, std::string_view unit) {
  return std::find(p.fits_in.begin(), p.fits_in.end(), unit) != p.fits_in.end();
}

// fasteners.md 7: M6 8.8 at 12 N·m is plausible (9.43 kN under 9.63), at 144 N·m it is asked.
TEST(Plausibility, FactorTwelveOnACapBolt) {
  EXPECT_EQ(asked("M6x1", 12, 1, "8.8").answer, Plausible::usual);
  EXPECT_EQ(asked("M6", 12, 1).answer, Plausible::usual);
  const Plausibility foot = asked("M6", 106, kPoundFoot);
  EXPECT_EQ(foot.answer, Plausible::too_high);
  EXPECT_TRUE(fits(foot, "lbf·in"));
  EXPECT_FALSE(fits(foot, "lbf·ft"));
  EXPECT_FALSE(fits(foot, "N·m"));
}

// Common practice, no source: small guide bolts at 89 lbf·in, tensioner bolts at 18 lbf·ft.
TEST(Plausibility, CommonBolts) {
  EXPECT_EQ(asked("M6", 89, kPoundInch).answer, Plausible::usual);
  EXPECT_EQ(asked("M8", 18, kPoundFoot).answer, Plausible::usual);
  EXPECT_EQ(asked("M8", 18, kPoundInch).answer, Plausible::too_low);
  EXPECT_TRUE(fits(asked("M8", 18, kPoundInch), "lbf·ft"));
  // A phaser bolt at 30 lbf·ft, then 90°: the snug torque may be low.
  EXPECT_EQ(asked("M12x1.25", 30, kPoundFoot, "10.9", true).answer, Plausible::usual);
}

// trade.md 7, question 14 (common practice, no source): an M6 above about 15 N·m is asked.
TEST(Plausibility, UnknownClass) {
  EXPECT_EQ(asked("M6", 14.5, 1).answer, Plausible::usual);
  EXPECT_EQ(asked("M6x1", 15.5, 1).answer, Plausible::too_high);
  EXPECT_EQ(asked("M6x1", 15.5, 1, "12.9").answer, Plausible::usual);
  EXPECT_EQ(asked("M6x1", 13, 1, "8.8").answer, Plausible::too_high);
}

TEST(Plausibility, Refuses) {
  EXPECT_FALSE(plausibility({.torque = newton_metre(0), .thread = read_thread("M6").value()}, 0));
  EXPECT_FALSE(plausibility(
      {.torque = newton_metre(10), .thread = read_thread("M6").value(), .strength_class = "7.7"},
      10));
}

}  // namespace
}  // namespace tautmark::tighten
