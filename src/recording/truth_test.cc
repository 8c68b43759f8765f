// SPDX-License-Identifier: Apache-2.0
// The first cases of the benchmark recording-truth, against thresholds: what is answered for
// engines whose fault is known.
#include <gtest/gtest.h>

#include "recording/truth_test_support.h"
#include "support/long_tests.h"

namespace tautmark {
namespace {

using test::Fault;
using test::TruthCase;
using test::TruthResult;

TEST(Truth, AnswersForKnownFaults) {
  int told = 0, named = 0, certain = 0, certain_wrong = 0, answered = 0, found = 0, fine = 0;
  std::int64_t edges = 0, wrong_edges = 0;
  const int count = test::are_long() ? 99 : 12;
  for (int index = 0; index < count; ++index) {
    TruthCase c = test::truth_case(static_cast<std::uint64_t>(index));
    // Every eighth goes through voltages; the rest are times of edges, which is quicker.
    if (index % 8 != 0 && (c.signal == test::Signal::hall || c.signal == test::Signal::inductive))
      c.signal = test::Signal::sampled;
    const TruthResult r = test::run(c);
    const test::TruthWheel& wheel = test::truth_wheels()[c.wheel];
    if (wheel.teeth.size() >= 6) {
      ++fine;
      edges += r.edges;
      wrong_edges += r.wrong_edges;
      found += r.wheel == (wheel.widths.empty() ? wheel.name : "24 teeth, wide and narrow") ? 1 : 0;
    }
    const bool jumped = std::any_of(c.jump.begin(), c.jump.end(), [](int k) { return k != 0; });
    const bool can = jumped && test::can_be_told(c);
    told += can ? 1 : 0;
    if (!r.report) continue;
    ++answered;
    const MeaningAnswer& first = r.report->answers.front();
    const bool right_jump = !r.report->none_fits && first.jump == c.jump;
    named += can && right_jump ? 1 : 0;
    if (jumped) {
      EXPECT_FALSE(first.meaning == Meaning::right && r.report->separated && !r.report->none_fits)
          << index << ": " << r.report->sentence;
    }
    if (!r.report->separated || r.report->none_fits) continue;
    ++certain;
    const bool is_right = first.meaning == Meaning::right;
    if (test::same_on_several_chains(c) && first.meaning == Meaning::crank_reference) continue;
    const bool wrong =
        jumped ? !right_jump : is_right != (c.fault == Fault::right) || !first.jump.empty();
    certain_wrong += wrong ? 1 : 0;
    EXPECT_FALSE(wrong) << index << ": " << r.report->sentence;
  }
  EXPECT_GT(told, count / 4);
  EXPECT_GE(100 * named, 99 * told) << named << " of " << told;
  EXPECT_GT(10 * answered, 9 * count);
  EXPECT_GT(certain, count / 2);
  EXPECT_EQ(certain_wrong, 0);
  EXPECT_GE(found, fine - 1);
  EXPECT_LT(wrong_edges, 0.01 * static_cast<double>(edges));
}

// Few teeth: ripple between them is not seen, and 5 degrees of it are in the evidence.
TEST(Truth, UncertaintyOfFewTeethIsInTheEvidence) {
  Synthesis in;
  in.crank_teeth = {0, 180};
  in.speed = {{8, 240, 260, 0.2, 2, 1.0}};
  in.cams.resize(1);
  in.cams[0].targets = {60, 243.2, 313};
  const auto good = decode_recording(synthesise(in)->trains);
  ASSERT_TRUE(good);
  const auto references = references_of(*good);
  const auto phase =
      cam_phase(*good, good->cams[0], references[0].angles, zero_in_reference(*good, references));
  ASSERT_TRUE(phase);
  const auto mean = phase_mean(*phase, tooth_count(good->crank.wheel));
  ASSERT_TRUE(mean);
  const double tolerance = std::hypot(0.5, mean->systematic, references[0].systematic);
  EXPECT_GT(tolerance, 6);  // 5.1 twice, in quadrature with 0.5
  EXPECT_LT(tolerance, 8);
  const std::vector<PhaseEvidence> cams = {
      {"cam", mean->phase, mean->statistical, tolerance, 36, 1, 1, {}, {}}};
  const auto report = weigh_meanings(cams, kDefaultPriors, common_angles(good->crank.wheel));
  ASSERT_TRUE(report);
  EXPECT_FALSE(report->separated);  // not even "right"
}

}  // namespace
}  // namespace tautmark
