// SPDX-License-Identifier: Apache-2.0
// Simulated tightenings: 5 000 with ./test --long, 300 of them else. Thresholds were set on seeds
// below 2 000 000; these are others. `./bench tighten-truth` prints the whole table.
#include <gtest/gtest.h>

#include "support/long_tests.h"
#include "tighten/trace_truth_test_support.h"

namespace tautmark::tighten::test {
namespace {

constexpr std::uint64_t kFirst = 5'000'000;

TEST(TraceTruth, YieldFoundAndDamageNeverMissed) {
  const std::uint64_t count = tautmark::test::are_long() ? 5000 : 300;
  int yields = 0, near = 0, falsely = 0, right = 0, clean = 0;
  for (std::uint64_t seed = kFirst; seed < kFirst + count; ++seed) {
    const TruthCase c = truth_case(seed);
    const TruthResult r = run(c);
    const bool nothing = r.answer && r.answer->answer == TraceAnswer::nothing_found;
    if (c.fate == Fate::cross_threaded || c.fate == Fate::stripped) {
      EXPECT_FALSE(nothing) << seed << " " << kFateNames[static_cast<std::size_t>(c.fate)];
    }
    if (c.fate == Fate::right) ++right, clean += nothing ? 1 : 0;
    falsely += r.false_yield ? 1 : 0;
    if (!r.had_yield) continue;
    ++yields;
    near += r.torque_off <= 0.03 ? 1 : 0;
  }
  EXPECT_GT(yields, static_cast<int>(count) / 5);
  EXPECT_GE(near, 0.95 * yields) << yields;
  EXPECT_LE(falsely, static_cast<int>(count) / 200);
  // An analysis that always warns would be safe and of no use.
  EXPECT_GE(clean, 0.9 * right) << right;
}

}  // namespace
}  // namespace tautmark::tighten::test
