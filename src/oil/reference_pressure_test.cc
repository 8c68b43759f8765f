// SPDX-License-Identifier: Apache-2.0
#include "oil/reference_pressure.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace tautmark::oil {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

// Source: oil.md 4: 1.25 bar at 760 1/min, 90 degC, 5W-40; reference 650 1/min, 100 degC, 5W-30.
ReferencePressureInputs worked(double k = 0.1) {
  ReferencePressureInputs in;
  in.reading = kPa(125);
  in.at = {per_min(760), mPa_s(14.128866), kg_per_m3(804.2341)};
  in.reference = {per_min(650), mPa_s(8.626791), kg_per_m3(798.777)};
  in.slope = -0.0244885;
  in.k = k;
  in.pump = PumpControl::fixed;
  in.jets = JetsFitted::none;
  in.relief_opens = kPa(400);
  return in;
}

ReferencePressure brought(const ReferencePressureInputs& in) {
  const auto out = at_reference(in);
  EXPECT_TRUE(out) << (out ? "" : out.error().why);
  return out.value_or(ReferencePressure{});
}

// Source: oil.md 4, own values, Pa.
TEST(AtReference, OfTheReferenceNote) {
  EXPECT_NEAR(brought(worked(0)).at_reference.si(), 65275.7315516, 0.065);
  EXPECT_NEAR(brought(worked(0.025)).at_reference.si(), 65816.8009231, 0.065);
  EXPECT_NEAR(brought(worked(0.1)).at_reference.si(), 67467.0675331, 0.067);
  EXPECT_NEAR(brought(worked(0.3)).at_reference.si(), 72072.9015129, 0.072);
}

// Source: oil.md 4: terms 0.0400, 0.01447, 0.06612, 0.0900, 0.01685; u 0.120686; 0.530 to 0.859
// bar.
TEST(AtReference, BudgetOfTheReferenceNote) {
  const ReferencePressure out = brought(worked());
  ASSERT_EQ(out.budget.size(), 5U);
  const double expected[] = {0.0400, 0.01447, 0.06612, 0.0900, 0.01685};
  for (std::size_t i = 0; i < 5; ++i) EXPECT_NEAR(out.budget[i].u, expected[i], 5e-6) << i;
  EXPECT_NEAR(out.u, 0.120686, 5e-7);
  EXPECT_NEAR(in_kPa(out.low), 53.0, 0.05);
  EXPECT_NEAR(in_kPa(out.high), 85.9, 0.05);
  EXPECT_THAT(out.reasons, IsEmpty());
  EXPECT_TRUE(out.comparable());
}

TEST(AtReference, ChangesNothingAtTheReference) {
  ReferencePressureInputs in = worked();
  in.at = in.reference;
  const ReferencePressure out = brought(in);
  EXPECT_NEAR(out.at_reference.si(), 125e3, 1e-6);
  EXPECT_EQ(out.budget.back().u, 0);
}

std::vector<NotComparable> reasons(const ReferencePressureInputs& in) {
  return brought(in).reasons;
}

// Source: oil.md 4, limits.
TEST(AtReference, KnowsWhenTheReliefValveIsOpen) {
  ReferencePressureInputs in = worked();
  in.relief_opens = kPa(139);  // 0.9 of it is 125.1
  EXPECT_THAT(reasons(in), IsEmpty());
  in.relief_opens = kPa(138);
  EXPECT_THAT(reasons(in), ElementsAre(NotComparable::relief_open));
  // Open at the reference only.
  in = worked();
  std::swap(in.at, in.reference);  // 125 kPa hot at low speed: more at the reference
  in.relief_opens = kPa(200);
  EXPECT_THAT(reasons(in), Contains(NotComparable::relief_open));
  in.relief_opens.reset();
  EXPECT_THAT(reasons(in), IsEmpty());
  in.reading = kPa(280);
  EXPECT_THAT(reasons(in), Contains(NotComparable::relief_unknown));
}

TEST(AtReference, KnowsTheJets) {
  ReferencePressureInputs in = worked();
  in.jets = JetsFitted::fitted;
  in.jets_open = kPa(100);  // between 125 and 67
  EXPECT_THAT(reasons(in), ElementsAre(NotComparable::jets_between));
  in.jets_open = kPa(180);
  EXPECT_THAT(reasons(in), IsEmpty());
  in.jets_open = kPa(130);  // the reading is 125 ± 10
  EXPECT_THAT(reasons(in), ElementsAre(NotComparable::jets_between));
  in.jets_open.reset();  // some open at 1 to 2 bar
  EXPECT_THAT(reasons(in), ElementsAre(NotComparable::jets_between));
  in.jets = JetsFitted::unknown;
  EXPECT_THAT(reasons(in), ElementsAre(NotComparable::jets_between));
  in.reading = kPa(70);
  EXPECT_THAT(reasons(in), IsEmpty());
}

TEST(AtReference, KnowsThePumpAndTheAir) {
  ReferencePressureInputs in = worked();
  in.pump = PumpControl::controlled;
  EXPECT_THAT(reasons(in), ElementsAre(NotComparable::controlled_pump));
  in.pump = PumpControl::unknown;
  in.aerated = true;
  EXPECT_THAT(reasons(in), ElementsAre(NotComparable::pump_unknown, NotComparable::aerated));
  for (const NotComparable why : reasons(in)) EXPECT_TRUE(is_void(why));
}

TEST(AtReference, NothingKnownIsNotComparable) {
  const ReferencePressureInputs known = worked();
  ReferencePressureInputs in;
  in.reading = known.reading;
  in.at = known.at;
  in.reference = known.reference;
  EXPECT_THAT(reasons(in), ElementsAre(NotComparable::jets_between, NotComparable::pump_unknown));
}

TEST(AtReference, IsIndicativeFarFromTheReference) {
  ReferencePressureInputs in = worked();
  in.at.speed = per_min(650 * 1.49);
  EXPECT_THAT(reasons(in), IsEmpty());
  in.at.speed = per_min(650 * 1.51);
  EXPECT_THAT(reasons(in), ElementsAre(NotComparable::speed_ratio));
  in.at.speed = per_min(650 / 1.51);
  EXPECT_THAT(reasons(in), ElementsAre(NotComparable::speed_ratio));
  in = worked();
  in.at.viscosity = in.reference.viscosity * 2.01;
  EXPECT_THAT(reasons(in), ElementsAre(NotComparable::viscosity_ratio));
  EXPECT_FALSE(is_void(NotComparable::viscosity_ratio));
}

// Below 0.3 bar the range is absolute: symmetric, and never below nothing.
TEST(AtReference, CountsAbsolutelyAtLowPressure) {
  ReferencePressureInputs in = worked();
  in.reading = kPa(25);
  const ReferencePressure out = brought(in);
  EXPECT_THAT(out.reasons, ElementsAre(NotComparable::low_pressure));
  EXPECT_NEAR(((out.low + out.high) / 2).si(), out.at_reference.si(), 1e-6);
  in.reading = kPa(5);
  EXPECT_EQ(brought(in).low.si(), 0);
}

TEST(AtReference, RefusesWhatIsNoReading) {
  const auto refuses = [](auto change) {
    ReferencePressureInputs in = worked();
    change(in);
    return !at_reference(in).has_value();
  };
  EXPECT_TRUE(refuses([](auto& in) { in.reading = {}; }));
  EXPECT_TRUE(refuses([](auto& in) { in.reading = kPa(NAN); }));
  EXPECT_TRUE(refuses([](auto& in) { in.at.speed = {}; }));
  EXPECT_TRUE(refuses([](auto& in) { in.reference.viscosity = {}; }));
  EXPECT_TRUE(refuses([](auto& in) { in.reference.density = {}; }));
  EXPECT_TRUE(refuses([](auto& in) { in.k = 1.1; }));
  EXPECT_TRUE(refuses([](auto& in) { in.k = NAN; }));
  EXPECT_TRUE(refuses([](auto& in) { in.u_oil = -0.1; }));
  EXPECT_TRUE(refuses([](auto& in) { in.slope = INFINITY; }));
  EXPECT_TRUE(refuses([](auto& in) { in.relief_opens = Pressure{}; }));
}

TEST(AgainstLimit, SaysNothingOfOneJournal) {
  const ReferencePressure out = brought(worked());  // 53 to 86 kPa
  EXPECT_EQ(against_limit(out, kPa(140)).answer, AgainstPressureLimit::low);
  EXPECT_THAT(against_limit(out, kPa(140)).said, HasSubstr("not specific to the cam drive"));
  EXPECT_EQ(against_limit(out, kPa(70)).answer, AgainstPressureLimit::cannot_tell);
  EXPECT_EQ(against_limit(out, kPa(50)).answer, AgainstPressureLimit::plausible);
  EXPECT_THAT(against_limit(out, kPa(50)).said, HasSubstr("says nothing about one cam journal"));
  ReferencePressureInputs foam = worked();
  foam.aerated = true;
  EXPECT_EQ(against_limit(brought(foam), kPa(140)).answer, AgainstPressureLimit::cannot_tell);
}

TEST(NotComparableText, HasOneForEach) {
  for (int i = 0; i <= static_cast<int>(NotComparable::low_pressure); ++i)
    EXPECT_NE(not_comparable_text(static_cast<NotComparable>(i)), "") << i;
}

// Source: oil.md 4, own values.
TEST(ElasticitiesOf, TheReferenceNote) {
  struct Row {
    FlowShares shares;
    double speed, viscosity;
  };
  for (const Row& row :
       {Row{{.45, .45, .10}, 1.05263158, 0.947368421}, Row{{.3, .5, .2}, 1.11111111, 0.888888889},
        Row{{0, 1, 0}, 1, 1}, Row{{0, 0, 1}, 2, 0}}) {
    const auto e = elasticities(row.shares);
    ASSERT_TRUE(e);
    EXPECT_NEAR(e->speed, row.speed, 1e-8);
    EXPECT_NEAR(e->viscosity, row.viscosity, 1e-9);
    EXPECT_NEAR(e->k, row.speed - 1, 1e-8);
  }
}

TEST(ElasticitiesOf, RefusesSharesThatAreNone) {
  EXPECT_FALSE(elasticities({0.5, 0.5, 0.1}));
  EXPECT_FALSE(elasticities({-0.1, 1, 0.1}));
  EXPECT_FALSE(elasticities({NAN, 1, 0}));
}

RC_GTEST_PROP(ElasticitiesProperty, AddUpToTwoAndHoldInOneNode, ()) {
  const int a = *rc::gen::inRange(1, 100), b = *rc::gen::inRange(1, 100),
            c = *rc::gen::inRange(1, 100);
  const double all = a + b + c;
  const FlowShares shares{a / all, b / all, c / all};
  const auto e = elasticities(shares);
  RC_ASSERT(e.has_value());
  RC_ASSERT(std::abs(e->speed + e->viscosity - 2) < 1e-12);
  RC_ASSERT(std::abs(e->density - (1 - e->viscosity)) < 1e-12);
  // From outside: the node n = (s + l) p/μ + o √p at p = μ = n = 1, solved by bisection, central
  // difference by n.
  const auto pressure = [&](double n) {
    double low = 0, high = 10;
    for (int i = 0; i < 100; ++i) {
      const double p = (low + high) / 2;
      ((shares.slip + shares.laminar) * p + shares.orifices * std::sqrt(p) < n ? low : high) = p;
    }
    return low;
  };
  const double h = 1e-4;
  const double e_n = std::log(pressure(1 + h) / pressure(1 - h)) / std::log((1 + h) / (1 - h));
  RC_ASSERT(std::abs(e_n - e->speed) < 1e-6);
}

// There and back again is the same pressure.
RC_GTEST_PROP(AtReferenceProperty, GoesBackToTheReading, ()) {
  ReferencePressureInputs in = worked(*rc::gen::inRange(0, 101) * 0.01);
  in.reading = kPa(*rc::gen::inRange(30, 600));
  in.at.speed = per_min(*rc::gen::inRange(500, 3000));
  in.at.viscosity = mPa_s(*rc::gen::inRange(3, 200));
  const Pressure read = in.reading;
  const auto there = at_reference(in);
  RC_ASSERT(there.has_value());
  std::swap(in.at, in.reference);
  in.reading = there->at_reference;
  const auto back = at_reference(in);
  RC_ASSERT(back.has_value());
  RC_ASSERT(std::abs(back->at_reference / read - 1) < 1e-9);
  RC_ASSERT(there->low <= there->at_reference && there->at_reference <= there->high);
}

}  // namespace
}  // namespace tautmark::oil
