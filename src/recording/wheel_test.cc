// SPDX-License-Identifier: Apache-2.0
// Wheels by themselves: names, zeros, and finding them in noise. Signals.md 1, 4a', 4c, 4e.
#include "recording/wheel.h"

#include <gtest/gtest.h>

#include "recording/cycle.h"
#include "recording/slots.h"
#include "recording/synthesise.h"
#include "recording/wheel_find.h"
#include "recording/wheel_path.h"
#include "support/long_tests.h"

namespace tautmark {
namespace {

SlotPattern pattern_of(int slots, const std::vector<int>& missing) {
  SlotPattern pattern{std::vector<bool>(static_cast<std::size_t>(slots), true)};
  for (const int s : missing) pattern.present[static_cast<std::size_t>(s)] = false;
  return pattern;
}

TEST(Wheel, NameAndZero) {
  // Any rotation of a wheel is the same wheel; its zero comes after the largest gap.
  for (int turn = 0; turn < 36; ++turn) {
    const SlotPattern turned =
        canonical(pattern_of(36, {(17 + turn) % 36, (34 + turn) % 36, (35 + turn) % 36}));
    EXPECT_EQ(turned, pattern_of(36, {17, 34, 35})) << turn;
    EXPECT_EQ(slotted_wheel(turned).name, "36-2-1");
  }
  EXPECT_EQ(slotted_wheel(pattern_of(60, {58, 59})).name, "60-2");
  EXPECT_EQ(slotted_wheel(pattern_of(24, {})).name, "24 uniform");
  EXPECT_EQ(slotted_wheel(pattern_of(24, {})).symmetry, 24);
  const Wheel even_gaps = slotted_wheel(pattern_of(36, {10, 11, 22, 23, 34, 35}));
  EXPECT_EQ(even_gaps.name, "36-2-2-2");
  EXPECT_EQ(even_gaps.symmetry, 3);
  EXPECT_EQ(tooth_count(even_gaps), 30);
  // 36+1: the added tooth and its two half steps come first after the zero.
  SlotPattern added{std::vector<bool>(72, false)};
  for (std::size_t s = 0; s < 72; s += 2) added.present[s] = true;
  added.present[41] = true;
  EXPECT_TRUE(has_added_tooth(added));
  const Wheel more = slotted_wheel(canonical(added));
  EXPECT_EQ(more.name, "36+1");
  EXPECT_EQ(more.slots, 36);
  EXPECT_EQ(more.symmetry, 1);
  EXPECT_DOUBLE_EQ(more.angles[1], 5);
  EXPECT_DOUBLE_EQ(more.angles[2], 10);
  EXPECT_FALSE(has_added_tooth(pattern_of(36, {35})));
  EXPECT_EQ(primitive(pattern_of(36, {10, 11, 22, 23, 34, 35})), pattern_of(12, {10, 11}));
  EXPECT_EQ(repeated(pattern_of(12, {10, 11}), 3), pattern_of(36, {10, 11, 22, 23, 34, 35}));
}

TEST(Wheel, FewTeethFromTheirSteps) {
  // The zero is the tooth after the largest step.
  const MeasuredWheel four = measured_wheel({109.6, 70.3, 110.2, 69.9});
  EXPECT_EQ(four.wheel.name, "4 (70/110)");
  EXPECT_EQ(four.first, 1u);
  EXPECT_EQ(four.wheel.symmetry, 2);
  EXPECT_NEAR(four.wheel.angles[1], 70.3, 1e-9);
  EXPECT_FALSE(four.wheel.nominal);
  EXPECT_EQ(measured_wheel({180.3, 179.7}).wheel.name, "2 uniform");
  EXPECT_EQ(measured_wheel({60, 120, 180}).wheel.name, "3 (60/120/180)");
  EXPECT_EQ(measured_wheel({60, 120, 180}).wheel.symmetry, 1);
  std::vector<double> even(12, 30.0);
  even[3] = 30.9;
  even[4] = 29.1;
  EXPECT_EQ(measured_wheel(even).wheel.name, "12 uniform");
  EXPECT_DOUBLE_EQ(measured_wheel(even).wheel.angles[4], 120);  // nominal
}

// 5 % lost and 5 % extra edges and 0.3 degrees of jitter: every one, as the prototype's 54 of 54.
TEST(Wheel, FoundInNoise) {
  const std::uint64_t seeds = test::are_long() ? 6 : 1;
  struct Condition {
    double lost, extra, jitter;
  };
  for (const auto& missing : {std::vector<int>{58, 59}, {35}, {17, 34, 35}}) {
    const int slots = missing[0] == 58 ? 60 : 36;
    for (const Condition& c :
         {Condition{0, 0, 0.3}, Condition{0.02, 0.02, 0.3}, Condition{0.05, 0.05, 0.3}}) {
      for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
        Synthesis in;
        in.seed = seed;
        in.crank_teeth = slotted_teeth(slots, missing);
        in.crank_width = 2;
        in.crank_jitter = c.jitter;
        in.faults.dropped = c.lost;
        in.faults.extra = c.extra;
        in.speed = {{3, 700, 760, 0.05, 2, 0.4}};
        const auto made = synthesise(in);
        ASSERT_TRUE(made);
        const auto found = find_gapped_pattern(times_of(made->trains.channels[0], 1));
        ASSERT_TRUE(found) << slots << " " << c.lost << " " << seed;
        EXPECT_EQ(found->pattern, pattern_of(slots, missing)) << slots << " " << c.lost << seed;
      }
    }
  }
}

// An even wheel and few teeth have no gap to find, however they accelerate.
TEST(Wheel, NoGapIsInvented) {
  for (const auto& teeth :
       {slotted_teeth(24, {}), slotted_teeth(60, {}), {0, 70, 180, 250}, {0, 180}}) {
    for (std::uint64_t seed = 1; seed <= 4; ++seed) {
      Synthesis in;
      in.seed = seed;
      in.crank_teeth = teeth;
      in.crank_jitter = 0.2;
      in.speed = {
          {2, 200, 230, 0.25, 2, 0.4}, {1, 230, 1100, 0.1, 2, 0}, {1, 1100, 800, 0.05, 2, 0}};
      const auto made = synthesise(in);
      EXPECT_FALSE(find_gapped_pattern(times_of(made->trains.channels[0], 1))) << teeth.size();
    }
  }
}

// Every tooth keeps its slot through lost and extra edges, over many blocks of the search.
TEST(Wheel, PathKeepsCountOverManyBlocks) {
  Synthesis in;
  in.seed = 4;
  in.crank_teeth = slotted_teeth(60, {58, 59});
  in.crank_width = 2;
  in.speed = {{20, 800, 900, 0.05, 2, 0}};
  in.faults.dropped = 0.01;
  in.faults.extra = 0.01;
  const auto made = synthesise(in);
  const std::vector<double> times =
      accepted_edges(times_of(made->trains.channels[0], 1), kPathFilter);
  ASSERT_GT(times.size(), 10000u);
  const SlotPath path = find_slot_path(times, pattern_of(60, {58, 59}));
  EXPECT_EQ(path.jumps, 0);
  EXPECT_GT(path.missed, 100);
  EXPECT_GT(path.extra, 60);
  const SpeedProfile profile(in.speed);
  int wrong = 0;
  for (const PathEdge& edge : path.edges)
    wrong +=
        std::abs(profile.time_at(6.0 * static_cast<double>(edge.slot)) - times[edge.edge]) > 1e-4;
  EXPECT_LT(wrong, 0.005 * static_cast<double>(path.edges.size()));
}

TEST(Cycle, SmallestRepetitionAndTheDouble) {
  PlacePieces places(1);
  for (int cycle = 0; cycle < 10; ++cycle)
    for (const double place : {3.2, 20.1, 41.7}) places[0].push_back(72 * cycle + place);
  const auto r = repetition_of(places, 36);
  ASSERT_TRUE(r);
  EXPECT_EQ(r->edges, 3);
  EXPECT_EQ(r->length, 72);
  const Repetition half{1, 36, 1, 40, 0, 0}, whole{3, 72, 1, 30, 0, 0};
  EXPECT_EQ(voted_length(std::vector<Repetition>{half, whole}), 72);
  EXPECT_EQ(voted_length({}), 0);
  for (double& u : places[0]) u *= 1.13;  // not this crank's
  EXPECT_FALSE(repetition_of(places, 36));
}

TEST(Slots, FilterAndStalls) {
  std::vector<double> times;
  for (int i = 0; i < 50; ++i) times.push_back(0.01 * i);
  times.insert(times.begin() + 20, 0.1921);  // between 0.19 and 0.20
  EXPECT_EQ(accepted_edges(times, kFineFilter).size(), 50u);
  for (int i = 0; i < 50; ++i) times.push_back(3 + 0.01 * i);
  const auto parts = parts_between_stalls(accepted_edges(times, kFineFilter));
  ASSERT_EQ(parts.size(), 2u);
  EXPECT_EQ(parts[0].end, 50u);
  EXPECT_TRUE(accepted_edges({}, kFineFilter).empty());
  EXPECT_TRUE(parts_between_stalls({}).empty());
}

// One edge too many at the end, and every edge is asked; before it nothing may change.
TEST(Slots, RegularTrainsTakeTheShortWay) {
  std::vector<double> times;
  double time = 0;
  for (int slot = 0; slot < 3000; ++slot) {
    time += 1e-3 * (1 + 0.1 * std::sin(slot * 0.01));
    if (slot % 60 < 58) times.push_back(time);
  }
  for (const SlotFilter& filter : {kFineFilter, kPathFilter}) {
    EXPECT_EQ(accepted_edges(times, filter), times);
    std::vector<double> more = times;
    more.push_back(more.back() + 1e-6);
    EXPECT_EQ(accepted_edges(more, filter), times);
  }
  ASSERT_EQ(parts_between_stalls(times).size(), 1U);
  std::vector<double> stopped = times;
  for (const double t : times) stopped.push_back(t + time + 1);
  EXPECT_EQ(parts_between_stalls(stopped).size(), 2U);
}

}  // namespace
}  // namespace tautmark
