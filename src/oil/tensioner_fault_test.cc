// SPDX-License-Identifier: Apache-2.0
#include "oil/tensioner_fault.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

namespace tautmark::oil {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::SizeIs;

// oil.md 6, table of faults.
TEST(TensionerFaults, TableHasEachFaultOnce) {
  std::set<TensionerFault> seen;
  for (const FaultSignature& one : fault_signatures()) {
    seen.insert(one.fault);
    EXPECT_EQ(signature(one.fault).over_time, one.over_time);
    EXPECT_FALSE(one.over_time.empty());
  }
  EXPECT_THAT(seen, SizeIs(6));
  EXPECT_THAT(fault_signatures(), SizeIs(6));
}

// Result 5 at the head of oil.md.
TEST(TensionerFaults, FeedAndClearanceAreKeptApart) {
  for (const FaultSignature& one : fault_signatures()) {
    const bool feed = one.part == FaultyPart::feed;
    EXPECT_EQ(one.static_force != StaticLoss::none, feed);
    if (feed) {
      EXPECT_EQ(one.bench_leak_down_short, Sign::no);
      EXPECT_NE(one.damping, DampingLoss::cube_of_clearance);
      EXPECT_NE(one.damping, DampingLoss::none);
    }
    if (one.part == FaultyPart::plunger_clearance) {
      EXPECT_EQ(one.damping, DampingLoss::cube_of_clearance);
      EXPECT_EQ(one.bench_leak_down_short, Sign::yes);
    }
  }
  EXPECT_EQ(signature(TensionerFault::torn_seal).static_force, StaticLoss::part_of_oil);
  EXPECT_EQ(signature(TensionerFault::lost_feed).static_force, StaticLoss::all_of_oil);
}

TEST(TensionerFaults, SignsRuleOut) {
  EXPECT_THAT(faults_that_fit({}), SizeIs(6));
  // Hot only: the bench tells the plunger from the pressure.
  const TensionerSigns hot{.rattles_hot_idle = true, .rattles_cold = false};
  EXPECT_THAT(faults_that_fit(hot), Contains(TensionerFault::worn_plunger));
  EXPECT_THAT(faults_that_fit(hot), Contains(TensionerFault::low_pressure));
  TensionerSigns benched = hot;
  benched.bench_leak_down_short = true;
  EXPECT_THAT(faults_that_fit(benched),
              ElementsAre(TensionerFault::worn_plunger, TensionerFault::check_ball));
  benched.bench_leak_down_short = false;
  EXPECT_THAT(faults_that_fit(benched), Contains(TensionerFault::low_pressure));
  EXPECT_THAT(faults_that_fit(benched), Not(Contains(TensionerFault::worn_plunger)));
  EXPECT_THAT(faults_that_fit({.rattles_hot_idle = false,
                               .rattles_cold = false,
                               .rattles_after_standing = true,
                               .gets_worse_running = false,
                               .bench_leak_down_short = false}),
              ElementsAre(TensionerFault::torn_seal, TensionerFault::ratchet));
  EXPECT_THAT(faults_that_fit({.gets_worse_running = true, .bench_leak_down_short = false}),
              ElementsAre(TensionerFault::torn_seal, TensionerFault::lost_feed));
  EXPECT_THAT(faults_that_fit({.gets_worse_running = true, .bench_leak_down_short = true}),
              IsEmpty());
}

}  // namespace
}  // namespace tautmark::oil
