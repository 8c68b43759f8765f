// SPDX-License-Identifier: Apache-2.0
// Against an independent posterior: dense quadrature over two unknowns with the network solved by
// scipy, tests/reference/oil_posterior.py.
#include <gtest/gtest.h>

#include "oil/identify_test_support.h"
#include "support/reference_program.h"

namespace tautmark::oil {
namespace {

using namespace test;

TEST(IdentifyScipy, GivesTheSamePosterior) {
  Identification in;
  in.network = small_engine();
  in.unknowns = {{"mains", NormalLn{1.1, 0.3}}, {"front", Between{0.5, 12}}};
  in.apply = [net = in.network](std::span<const double> x, NetworkSolver& solver) {
    open_by(solver, net, kSmallMains, x[0]);
    open_by(solver, net, kSmallFront, x[1]);
  };
  // The head's gauge is poor: a long bent posterior.
  in.readings = {gauge(kHotIdle, kSmallGallery, 160, 6), gauge(kHotIdle, kSmallHead, 95, 15)};
  const auto found = posterior(in, {11, 40'000});
  ASSERT_TRUE(found) << found.error().why;

  const auto theirs = tautmark::test::values_told_by(
      "oil_posterior.py",
      fmt::format("{}{} 1.1 0.3\n{} 0.5 12\n{} 160e3 6e3\n{} 95e3 15e3\n{}\n",
                  as_line(in.network, kHotIdle), int{kSmallMains}, int{kSmallFront},
                  int{kSmallGallery}, int{kSmallHead}, int{kSmallJournal}));
  const auto expect_same = [&](const Interval& ours, const std::string& name) {
    const double low = theirs.at(name + "_low"), median = theirs.at(name + "_median"),
                 high = theirs.at(name + "_high");
    // Of 10 000 effective draws an end of the interval is known to 0.01 of its width.
    const double close = 0.03 * (high - low);
    EXPECT_NEAR(ours.low, low, close) << name;
    EXPECT_NEAR(ours.median, median, close) << name;
    EXPECT_NEAR(ours.high, high, close) << name;
  };
  expect_same(interval_of(*found, 0), "first");
  expect_same(interval_of(*found, 1), "second");
  const auto journal = forecast(in, *found, kHotIdle, {}, [](const NetworkSolver& solved) {
    return solved.at(kSmallJournal).si();
  });
  ASSERT_TRUE(journal) << journal.error().why;
  expect_same(journal->interval, "pressure");
}

}  // namespace
}  // namespace tautmark::oil
