// SPDX-License-Identifier: Apache-2.0
#include "oil/banks_told.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <random>

#include "base/quantity_text.h"

namespace tautmark::oil {
namespace {

std::vector<JournalClearance> journals(std::initializer_list<double> in_mm_each) {
  std::vector<JournalClearance> out;
  for (const double c : in_mm_each) out.push_back({"journal", mm(c), mm(0.005)});
  return out;
}

// trade.md 6.A: clearances and gauges of the worked scenario.
BankComparison scenario() {
  BankComparison in;
  in.bank = "bank 2";
  in.read = {kPa(185), kPa(140), kPa(3)};
  in.healthy = journals({0.068, 0.066, 0.064, 0.065, 0.066});
  in.options = {{"as found", journals({0.142, 0.118, 0.108, 0.086, 0.081})},
                {"new phaser only", journals({0.142, 0.118, 0.108, 0.086, 0.081})},
                {"new camshaft, old head", journals({0.129, 0.108, 0.100, 0.080, 0.076})},
                {"new head, old camshaft", journals({0.073, 0.070, 0.068, 0.066, 0.065})}};
  in.least_at_head = kPa(110);
  return in;
}

// trade.md 6.A: 88 kPa were read as found, 136 after the repair.
TEST(BanksTold, the_scenario_is_told_and_the_repair_met) {
  const auto told = forecast_with_reading(scenario(), kPa(88));
  ASSERT_TRUE(told) << told.error().why;
  const auto& options = told->options;
  EXPECT_NEAR(in_kPa(options[0].head.likely), 88, 2);
  EXPECT_LT(in_kPa(options[0].head.high) - in_kPa(options[0].head.low), 8);
  EXPECT_EQ(options[1].head.likely.si(), options[0].head.likely.si());
  EXPECT_LE(in_kPa(options[3].head.low), 136);
  EXPECT_GE(in_kPa(options[3].head.high), 136);
  for (const OptionForecast& option : options) {
    EXPECT_GE(option.head.low.si(), 0.75 * option.head.likely.si()) << option.name;
    EXPECT_LE(option.head.high.si(), 1.25 * option.head.likely.si()) << option.name;
  }
  EXPECT_EQ(options[3].pressure, ForecastAgainst::above);
  ASSERT_TRUE(told->best);
  EXPECT_EQ(options[*told->best].name, "new head, old camshaft");
  EXPECT_TRUE(told->measure_next.empty());
}

// A bank that leaks as the healthy one has its pressure, whatever the law and the share.
TEST(BanksTold, alike_banks_have_alike_pressures) {
  BankComparison in = scenario();
  in.options = {{"as found", in.healthy}, {"other", in.healthy}};
  const auto told = forecast_with_reading(in, kPa(140));
  ASSERT_TRUE(told) << told.error().why;
  EXPECT_NEAR(in_kPa(told->options[0].head.likely), 140, 1);
  EXPECT_FALSE(told->best);
  EXPECT_NE(told->said.find("cannot choose"), std::string::npos);
}

TEST(BanksTold, refusals) {
  EXPECT_FALSE(forecast_with_reading(scenario(), kPa(0)));
  EXPECT_FALSE(forecast_with_reading(scenario(), kPa(185)));
  EXPECT_FALSE(forecast_with_reading(scenario(), kPa(88), 100));
  const auto odd = forecast_with_reading(scenario(), kPa(15));
  ASSERT_FALSE(odd);
  EXPECT_NE(odd.error().why.find("something else leaks"), std::string::npos);
  BankComparison none = scenario();
  none.options.clear();
  EXPECT_FALSE(forecast_with_reading(none, kPa(88)));
  BankComparison sure = scenario();
  sure.read.expanded = kPa(0);
  EXPECT_FALSE(forecast_with_reading(sure, kPa(88)));
}

// (g - p)^m = K p by Newton, written apart from the program's bisection.
double head_by_newton(double g, double m, double k) {
  double p = g / 2;
  for (int i = 0; i < 60; ++i) {
    const double f = std::pow(g - p, m) - k * p;
    const double slope = -m * std::pow(g - p, m - 1) - k;
    p = std::min(std::max(p - f / slope, p / 2), (p + g) / 2);
  }
  return p;
}

// Engines with known truth, read with gauges that err as they say: of 95 % ranges of the repaired
// head, 93 to 97 % hold it.
TEST(BanksTold, stated_ranges_cover) {
  std::mt19937_64 random(7);
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> even;
  const bool is_long = std::getenv("TAUTMARK_LONG") != nullptr;
  const int engines = is_long ? 2000 : 400;
  const double beyond = is_long ? 0 : 0.005;  // what 400 scatter more
  int told_ones = 0, held = 0;
  for (int engine = 0; engine < engines; ++engine) {
    BankComparison in = scenario();
    const double m = 0.5 + 0.5 * even(random), f = 0.4 + 0.4 * even(random);
    const double gallery = 120 + 200 * even(random), healthy = gallery * (0.6 + 0.3 * even(random));
    const auto err = [&](std::vector<JournalClearance>& list) {
      const double error = normal(random);
      double sum = 0;
      for (JournalClearance& one : list) {
        const double truth = one.clearance.si() * (0.9 + 0.2 * even(random));
        sum += truth * truth * truth;
        one.clearance = Length::from_si(truth + error * one.expanded.si() / 2);
      }
      return sum;
    };
    const double reference = err(in.healthy);
    in.options.erase(in.options.begin() + 1, in.options.begin() + 3);
    const double found = err(in.options[0].journals), repaired = err(in.options[1].journals);
    const double k = std::pow(gallery - healthy, m) / healthy;
    const auto head = [&](double s) { return head_by_newton(gallery, m, k * (1 - f + f * s)); };
    in.read = {kPa(gallery + 1.5 * normal(random)), kPa(healthy + 1.5 * normal(random)), kPa(3)};
    const auto told =
        forecast_with_reading(in, kPa(head(found / reference) + 1.5 * normal(random)), 1000);
    if (!told) continue;
    ++told_ones;
    const double truth = head(repaired / reference);
    held +=
        truth >= in_kPa(told->options[1].head.low) && truth <= in_kPa(told->options[1].head.high);
  }
  EXPECT_GT(told_ones, engines * 98 / 100);
  EXPECT_GE(held, told_ones * (0.93 - beyond));
  EXPECT_LE(held, told_ones * (0.97 + beyond));
  RecordProperty("held", held);
}

}  // namespace
}  // namespace tautmark::oil
