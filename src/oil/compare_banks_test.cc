// SPDX-License-Identifier: Apache-2.0
#include "oil/compare_banks.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace tautmark::oil {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

std::vector<JournalClearance> bank(const std::vector<double>& clearances, double U = 0.005) {
  std::vector<JournalClearance> out;
  for (std::size_t i = 0; i < clearances.size(); ++i)
    out.push_back({"J" + std::to_string(i + 1), mm(clearances[i]), mm(U)});
  return out;
}

// The invented V6 of trade.md 6.A.
const std::vector<double> kBank1{0.068, 0.066, 0.064, 0.065, 0.066};
const std::vector<double> kAsFound{0.142, 0.118, 0.108, 0.086, 0.081};
const std::vector<double> kNewCam{0.129, 0.108, 0.100, 0.080, 0.076};
const std::vector<double> kNewHead{0.073, 0.070, 0.068, 0.066, 0.065};

BankComparison vessgarth() {
  return {.bank = "bank 2",
          .read = {kPa(185), kPa(140), kPa(2)},
          .healthy = bank(kBank1),
          .options = {{"as found", bank(kAsFound)},
                      {"new phaser only", bank(kAsFound)},
                      {"new cam, old head", bank(kNewCam)},
                      {"new head, old cam", bank(kNewHead)}},
          .least_at_head = kPa(110),
          .most_clearance = mm(0.110)};
}

// Source: trade.md 6.A: Σc³ of bank 1 1.4262e-3 mm³; J1 and J2 carry 65 % of bank 2's.
TEST(CubedClearancesOf, TheTrade) {
  const auto healthy = cubed_clearances(bank(kBank1));
  ASSERT_TRUE(healthy);
  EXPECT_NEAR(healthy->sum * 1e9, 1.4262e-3, 5e-8);
  const auto found = cubed_clearances(bank(kAsFound));
  ASSERT_TRUE(found);
  EXPECT_NEAR(found->of_sum[0] + found->of_sum[1], 0.65, 0.005);
}

// Source: oil.md 2.2: ± 10 % on clearance is ± 30 % on leakage.
TEST(CubedClearancesOf, CountUncertaintyThreeTimes) {
  const auto equal = cubed_clearances(bank({0.1, 0.1, 0.1}, 0.01));
  ASSERT_TRUE(equal);
  EXPECT_NEAR(equal->expanded / equal->sum, 0.3, 1e-12);
}

// Source: trade.md 6.A: 4.86, 3.76, 1.13. The uncertainties: the formula in Python.
TEST(LeakageRatioOf, TheTrade) {
  const auto ratio = [](const std::vector<double>& c) {
    return leakage_ratio(bank(c), bank(kBank1)).value_or(LeakageRatio{});
  };
  EXPECT_NEAR(ratio(kAsFound).ratio, 4.86, 0.005);
  EXPECT_NEAR(ratio(kNewCam).ratio, 3.76, 0.005);
  EXPECT_NEAR(ratio(kNewHead).ratio, 1.13, 0.005);
  EXPECT_NEAR(ratio(kAsFound).expanded, 1.2730314052003453, 1e-9);
  EXPECT_NEAR(ratio(kNewCam).expanded, 1.0069713293805542, 1e-9);
  EXPECT_NEAR(ratio(kNewHead).expanded, 0.3560146634966416, 1e-9);
  // Source: oil.md 2.2: leakage x8 means clearance x2, x27 x3.
  EXPECT_NEAR(leakage_ratio(bank({0.12}), bank({0.06}))->ratio, 8, 1e-9);
  EXPECT_NEAR(leakage_ratio(bank({0.12}), bank({0.06}))->clearance_ratio, 2, 1e-9);
  EXPECT_NEAR(leakage_ratio(bank({0.18}), bank({0.06}))->ratio, 27, 1e-9);
}

// Source: trade.md 6.A: 90 (measured 88), 100, 137 kPa (after the repair 136), from 185 and 140.
TEST(HeadPressureOf, TheTrade) {
  const auto head = [](const std::vector<double>& c) {
    const auto p = head_pressure({kPa(185), kPa(140), kPa(2)},
                                 leakage_ratio(bank(c), bank(kBank1)).value(), JournalShare{});
    EXPECT_TRUE(p) << (p ? "" : p.error().why);
    return p.value_or(HeadPressure{});
  };
  EXPECT_NEAR(in_kPa(head(kAsFound).likely), 90, 0.5);
  EXPECT_NEAR(in_kPa(head(kNewCam).likely), 100, 0.5);
  EXPECT_NEAR(in_kPa(head(kNewHead).likely), 137, 0.5);
  EXPECT_NEAR(in_kPa(head(kBank1).likely), 140, 1e-9);
  // What was measured lies in the range.
  EXPECT_LT(in_kPa(head(kAsFound).low), 88);
  EXPECT_GT(in_kPa(head(kAsFound).high), 88);
  EXPECT_LT(in_kPa(head(kNewHead).low), 136);
  EXPECT_GT(in_kPa(head(kNewHead).high), 136);
  // Source: the closed form at the ends of the share, without any other uncertainty.
  const auto bare = head_pressure({kPa(185), kPa(140), {}}, {4.0, 0, 0}, {0.4, 0.6, 0.8});
  ASSERT_TRUE(bare);
  const double a = 185.0 / 140 - 1;
  EXPECT_NEAR(a, 0.32143, 5e-6);
  EXPECT_NEAR(in_kPa(bare->low), 185 / (1 + a * (0.2 + 0.8 * 4)), 1e-9);
  EXPECT_NEAR(in_kPa(bare->high), 185 / (1 + a * (0.6 + 0.4 * 4)), 1e-9);
}

TEST(CompareBanks, TheTrade) {
  const auto out = compare_banks(vessgarth());
  ASSERT_TRUE(out) << out.error().why;
  ASSERT_THAT(out->options, SizeIs(4));
  EXPECT_THAT(out->ranking, ElementsAre(3, 2, 0, 1));
  ASSERT_TRUE(out->best) << out->said;
  EXPECT_EQ(*out->best, 3U);
  EXPECT_THAT(out->said, HasSubstr("new head, old cam"));
  EXPECT_THAT(out->marked, HasSubstr("first-order estimate from cold clearances"));
  // Clearances of the trade: as found J1 and J2 fail, J3 cannot be told; a new cam leaves J1 over.
  EXPECT_THAT(out->options[0].over, ElementsAre("J1", "J2"));
  EXPECT_THAT(out->options[0].may_be_over, ElementsAre("J3"));
  EXPECT_THAT(out->options[2].over, ElementsAre("J1"));
  EXPECT_THAT(out->options[2].may_be_over, ElementsAre("J2"));
  EXPECT_THAT(out->options[3].over, IsEmpty());
  EXPECT_THAT(out->options[3].may_be_over, IsEmpty());
  EXPECT_EQ(out->options[3].pressure, ForecastAgainst::above);
  EXPECT_NE(out->options[0].pressure, ForecastAgainst::above);
  EXPECT_NE(out->options[2].pressure, ForecastAgainst::above);
}

TEST(CompareBanks, CannotChooseWhereRangesOverlap) {
  BankComparison in = vessgarth();
  in.options.pop_back();  // as found, phaser, new cam: 90, 90, 100
  const auto out = compare_banks(in);
  ASSERT_TRUE(out);
  EXPECT_FALSE(out->best);
  EXPECT_THAT(out->said,
              HasSubstr("cannot choose between new cam, old head; as found; new phaser only: "));
  EXPECT_THAT(out->measure_next, ElementsAre(HasSubstr("head port of bank 2")));
  in.share_measured = true;
  EXPECT_THAT(compare_banks(in)->measure_next, ElementsAre(HasSubstr("journals and bores")));
}

// Source: closed form in Python: the worse bank is likely to give 77.8 kPa and the new cam 80.5 kPa
// at its lowest, but at a share of 0.4 the worse bank gives 91.
TEST(CompareBanks, ComparesRangesNotLikelyValues) {
  std::vector<double> worse;
  for (const double c : kAsFound) worse.push_back(1.1 * c);
  BankComparison in = vessgarth();
  in.options = {{"worse", bank(worse)}, {"new cam", bank(kNewCam)}};
  const auto out = compare_banks(in);
  ASSERT_TRUE(out);
  EXPECT_LT(out->options[0].head.likely, out->options[1].head.low);
  EXPECT_GT(in_kPa(out->options[0].head.high), 91);
  EXPECT_FALSE(out->best);
}

TEST(CompareBanks, NeedsTwoToChoose) {
  BankComparison in = vessgarth();
  in.options.resize(1);
  in.least_at_head.reset();
  in.most_clearance.reset();
  const auto out = compare_banks(in);
  ASSERT_TRUE(out);
  EXPECT_FALSE(out->best);
  EXPECT_EQ(out->options[0].pressure, ForecastAgainst::no_limit);
  EXPECT_THAT(out->options[0].over, IsEmpty());
}

// Source: closed form in Python: 88 kPa at s = 4.8616 speaks for a share of 0.6291, near the 0.6
// that the trade assumes.
TEST(ShareFromReading, OfTheTrade) {
  const auto leakage = leakage_ratio(bank(kAsFound), bank(kBank1)).value();
  const GaugePressures read{kPa(185), kPa(140), kPa(2)};
  const auto share = share_from_reading(read, leakage, kPa(88));
  ASSERT_TRUE(share) << share.error().why;
  EXPECT_NEAR(share->likely, 0.6290955501365945, 1e-9);
  EXPECT_LT(share->least, 0.6);
  EXPECT_GT(share->most, 0.6);
  EXPECT_NEAR(in_kPa(head_pressure(read, leakage, *share)->likely), 88, 1e-9);
  EXPECT_FALSE(share_from_reading(read, leakage, kPa(10)));
  EXPECT_FALSE(share_from_reading(read, leakage, {}));
  EXPECT_FALSE(
      share_from_reading(read, leakage_ratio(bank(kNewHead), bank(kBank1)).value(), kPa(137)));
}

TEST(CompareBanks, RefusesWhatLeavesNothingToCompare) {
  EXPECT_FALSE(cubed_clearances({}));
  EXPECT_FALSE(cubed_clearances(bank({0})));
  EXPECT_FALSE(cubed_clearances(bank({-0.01})));
  EXPECT_FALSE(cubed_clearances(bank({NAN})));
  EXPECT_FALSE(cubed_clearances(bank({0.05}, 0.05)));
  EXPECT_FALSE(cubed_clearances(bank({0.05}, -0.01)));
  const auto refuses = [](auto change) {
    BankComparison in = vessgarth();
    change(in);
    return !compare_banks(in).has_value();
  };
  EXPECT_TRUE(refuses([](auto& in) { in.options.clear(); }));
  EXPECT_TRUE(refuses([](auto& in) { in.healthy.clear(); }));
  EXPECT_TRUE(refuses([](auto& in) { in.read.gallery = kPa(140); }));
  EXPECT_TRUE(refuses([](auto& in) { in.read.healthy_head = {}; }));
  EXPECT_TRUE(refuses([](auto& in) { in.read.expanded = kPa(150); }));
  EXPECT_TRUE(refuses([](auto& in) { in.read.expanded = kPa(-1); }));
  EXPECT_TRUE(refuses([](auto& in) { in.share.most = 1.2; }));
  EXPECT_TRUE(refuses([](auto& in) { in.share.likely = 0.3; }));
  EXPECT_TRUE(refuses([](auto& in) { in.most_clearance = Length{}; }));
}

RC_GTEST_PROP(CompareBanksProperty, MoreClearanceIsLessPressure, ()) {
  std::vector<double> c;
  for (int i = 0; i < 5; ++i) c.push_back(*rc::gen::inRange(40, 200) * 1e-3);
  std::vector<double> wider = c;
  wider[static_cast<std::size_t>(*rc::gen::inRange(0, 5))] += 0.01;
  const GaugePressures read{kPa(185), kPa(140), kPa(*rc::gen::inRange(0, 5))};
  const auto one = head_pressure(read, leakage_ratio(bank(c), bank(kBank1)).value(), {});
  const auto more = head_pressure(read, leakage_ratio(bank(wider), bank(kBank1)).value(), {});
  RC_ASSERT(one.has_value() && more.has_value());
  RC_ASSERT(more->likely < one->likely);
  for (const auto& head : {*one, *more}) {
    RC_ASSERT(head.low <= head.likely && head.likely <= head.high);
    RC_ASSERT(head.low.si() >= 0);
  }
}

}  // namespace
}  // namespace tautmark::oil
