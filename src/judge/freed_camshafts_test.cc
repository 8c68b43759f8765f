// SPDX-License-Identifier: Apache-2.0
#include "judge/freed_camshafts.h"

#include <gtest/gtest.h>

#include <cmath>

#include "drive/load.h"

namespace tautmark {
namespace {

FreedCamshafts freed_of(const LoadedDrive& drive) {
  const auto valves = valves_of(drive);
  return freed_camshafts(drive, valves, free_camshafts(drive, valves));
}

LoadedDrive quellmere() {
  return load_drive("quellmere-i4-16", {{std::string(TAUTMARK_SOURCE_DIR) + "/drives"}}).value();
}

// geometry.md 8, "four lobes at 90 (inline-four style): stable at 45 + 90 k". Peak torque, rest
// places and parking place: numpy on the same law, two valves of each kind, 0.01 cam deg.
TEST(FreedCamshafts, AnInlineFourRestsBetweenItsLobes) {
  const FreedCamshafts freed = freed_of(quellmere());
  EXPECT_TRUE(freed.not_known.empty());
  ASSERT_EQ(freed.camshafts.size(), 2U);
  constexpr double kMost[] = {10.835, 10.474};
  constexpr double kFirst[] = {16.0, 78.5};
  for (std::size_t i = 0; i < 2; ++i) {
    const FreedCamshaft& one = freed.camshafts[i];
    EXPECT_NEAR(one.most.si(), kMost[i], 0.01);
    ASSERT_EQ(one.rests.size(), 4U);
    for (std::size_t k = 0; k < 4; ++k)
      EXPECT_NEAR(in_cam_deg(one.rests[k].from), kFirst[i] + 90 * static_cast<double>(k), 0.02);
  }
  ASSERT_FALSE(freed.parking.empty());
  const ParkingPlace& best = freed.parking.front();
  EXPECT_NEAR(std::fmod(in_crank_deg(best.crank), 180), 49, 1.01);
  EXPECT_NEAR(best.worst.si(), 5.94, 0.15);
  EXPECT_EQ(best.camshafts.size(), 2U);
}

// Never a parking place where the crankshaft has no window, nor a push from springs nobody wrote.
TEST(FreedCamshafts, NothingFromNothing) {
  LoadedDrive drive = quellmere();
  drive.drive.banks[0].camshafts[0].valves[0].pocket_depth.reset();
  EXPECT_TRUE(freed_of(drive).parking.empty());
  drive = quellmere();
  drive.drive.banks[0].camshafts[0].valves[0].spring_open.reset();
  const FreedCamshafts freed = freed_of(drive);
  EXPECT_TRUE(freed.parking.empty());
  ASSERT_EQ(freed.not_known.size(), 1U);
  EXPECT_NE(freed.not_known[0].find("spring_open"), std::string::npos);
}

}  // namespace
}  // namespace tautmark
