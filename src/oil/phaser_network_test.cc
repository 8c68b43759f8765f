// SPDX-License-Identifier: Apache-2.0
// The phaser in the whole network of oil.md 3.4: slew of oil.md 5.3 (oil-checks.yaml: slew-network;
// own, relative 1e-5) and the pressures behind it, all worked out apart from this program.
#include <gtest/gtest.h>

#include <cmath>

#include "oil/network.h"
#include "oil/network_test_support.h"
#include "oil/phaser_slew.h"
#include "oil/test_near.h"

namespace tautmark::oil {
namespace {

constexpr double kVth = 3.84e-5;

// The left phaser takes the flow out of A and gives it to R.
Result<NetworkSolution> with_travel(double clearance, Flow taken) {
  Network net = test::worked_case(clearance, 30);
  net.elements.push_back({"L.travel", test::kAdvanceL, test::kRetardL, FixedFlow{taken}});
  return solve(net, test::kHotIdle);
}

PhaserSupply to_advance(double clearance) {
  return [=](Flow taken) -> Result<Pressure> {
    const auto solved = with_travel(clearance, taken);
    if (!solved) return tl::make_unexpected(solved.error());
    return solved->at[test::kAdvanceL] - solved->at[test::kRetardL];
  };
}

Result<NetworkSlew> slew(double clearance) {
  return network_slew({.supply = to_advance(clearance),
                       .supply_U = 0,
                       .displacement = {kVth, 0},
                       .load = {.mean = {newton_metre(2.5), 0},
                                .spring = {newton_metre(0), 0},
                                .friction = {newton_metre(0), 0}}});
}

TEST(PhaserNetwork, SlewOfTheFourJournals) {
  struct Row {
    double clearance, stall, slew, head;
  };
  for (const Row& row : {Row{30, 158310.139978, 0.388382054781, 77082.6},
                         Row{45, 123335.185793, 0.297400950683, 75950.3},
                         Row{60, 81550.99226, 0.122315749148, 74244.1},
                         Row{90, 32262.9602376, -0.597211696838, 71744.5}}) {
    const auto got = slew(row.clearance);
    ASSERT_TRUE(got) << got.error().why;
    expect_relative(got->at_stall.si(), row.stall);
    expect_relative(got->slew.in_a_second.si(), row.slew, 1e-5);
    EXPECT_EQ(got->state, row.slew > 0 ? SlewState::moves : SlewState::runs_backwards);
    const auto moving =
        with_travel(row.clearance, Flow::from_si(kVth * got->slew.in_a_second.si()));
    ASSERT_TRUE(moving);
    EXPECT_NEAR(moving->at[test::kHeadL].si(), row.head, 0.06);
    // Where the torque balances: T / V_th.
    expect_relative((moving->at[test::kAdvanceL] - moving->at[test::kRetardL]).si(), 2.5 / kVth);
    if (row.clearance == 90) EXPECT_NEAR(moving->at[test::kRetardL].si(), -176, 0.5);
  }
}

// oil.md 5.3: with twice the clearance the gallery falls by 4.1 %, the slew by 68.5 %.
TEST(PhaserNetwork, TheSlewShowsWhatTheGalleryHides) {
  EXPECT_NEAR(slew(60)->slew.in_a_second / slew(30)->slew.in_a_second - 1, -0.685, 5e-4);
  const auto worn = with_travel(60, Flow{}), whole = with_travel(30, Flow{});
  EXPECT_NEAR(worn->at[test::kGallery] / whole->at[test::kGallery] - 1, -0.041, 5e-4);
}

}  // namespace
}  // namespace tautmark::oil
