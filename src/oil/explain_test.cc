// SPDX-License-Identifier: Apache-2.0
#include "oil/explain.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "oil/identify_test_support.h"

namespace tautmark::oil {
namespace {

using namespace test;
using ::testing::AllOf;
using ::testing::Contains;
using ::testing::HasSubstr;

const Network kAsNew = worked_case(30, 30);

std::vector<std::size_t> elements(const std::vector<std::string>& names) {
  std::vector<std::size_t> out;
  for (const std::string& one : names) out.push_back(element_named(kAsNew, one));
  return out;
}

// The worked case, known as well as one knows an engine: conductances to 10 %, the oil to 5 %.
WearQuestion worked_question() {
  WearQuestion in;
  in.as_new.network = kAsNew;
  in.suspects = {{"front journal left", elements({"L.A-edge", "L.A-R", "L.R-edge"})},
                 {"other journals left", elements({"L.cams"})},
                 {"front journal right", elements({"R.A-edge", "R.A-R", "R.R-edge"})},
                 {"other journals right", elements({"R.cams"})},
                 {"main bearings", elements({"mains"})},
                 {"rod bearings", elements({"rods"})},
                 {"pump", elements({"pump"})}};
  in.as_new.unknowns = {{"mains and rods", NormalLn{1, 0.1}},
                        {"heads", NormalLn{1, 0.1}},
                        {"oil", NormalLn{1, 0.05}}};
  in.as_new.apply = [](std::span<const double> x, NetworkSolver& solver) {
    for (const char* one : {"mains", "rods"})
      open_by(solver, kAsNew, element_named(kAsNew, one), x[0]);
    for (const char* one : {"L.cams", "R.cams"})
      open_by(solver, kAsNew, element_named(kAsNew, one), x[1]);
  };
  in.as_new.apply_to_running = [](std::span<const double> x, Running& at) {
    at.viscosity = DynamicViscosity::from_si(at.viscosity.si() * x[2]);
  };
  in.ports = {{"gallery again", kGallery, kHotIdle, Pressure::from_si(2e3)},
              {"head left", kHeadL, kHotIdle, Pressure::from_si(2e3)},
              {"advance chamber left", kAdvanceL, kHotIdle, Pressure::from_si(2e3)},
              {"head right", kHeadR, kHotIdle, Pressure::from_si(2e3)}};
  return in;
}

// What the gauges read on a worn engine: 60 µm left, oil.md 3.4.
void read(WearQuestion& in, const std::vector<std::size_t>& nodes, const Network& truth) {
  const auto there = solve(truth, kHotIdle);
  ASSERT_TRUE(there);
  for (const std::size_t node : nodes)
    in.as_new.readings.push_back(gauge(kHotIdle, node, in_kPa(there->at[node]), 2));
}

double probability(const WearExplanation& of, const std::string& name) {
  for (const WearHypothesis& one : of.hypotheses)
    if (one.name == name) return one.probability;
  ADD_FAILURE() << name;
  return 0;
}

TEST(ExplainWear, HeadGaugesFindTheBankOfAWornFrontJournal) {
  WearQuestion in = worked_question();
  read(in, {kGallery, kHeadL, kHeadR}, worked_case(60, 30));
  const auto found = explain_wear(in);
  ASSERT_TRUE(found) << found.error().why;
  EXPECT_GT(probability(*found, "front journal left worn") +
                probability(*found, "other journals left worn"),
            0.99);
  EXPECT_TRUE(found->explained);
  // Which journal of the bank the head's gauge does not see; the chamber's does.
  EXPECT_EQ(found->alike.size(), 2u);
  EXPECT_THAT(found->said, Contains("measure next: advance chamber left"));
}

// A feed at a quarter of its area starves its head as a worn journal does; one gauge at the gallery
// and one at each head do not tell them apart, and blocked is among what they name.
TEST(ExplainWear, ABlockedFeedIsNamed) {
  WearQuestion in = worked_question();
  const std::size_t feed = element_named(kAsNew, "L.head");
  in.suspects.push_back({.name = "feed left", .elements = {feed}, .is_blocked = true});
  in.suspects.push_back(
      {.name = "feed right", .elements = {element_named(kAsNew, "R.head")}, .is_blocked = true});
  Network truth = kAsNew;
  std::get<Orifice>(truth.elements[feed].law).area *= 0.25;
  read(in, {kGallery, kHeadL, kHeadR, kAdvanceL}, truth);
  const auto found = explain_wear(in);
  ASSERT_TRUE(found) << found.error().why;
  EXPECT_TRUE(found->explained);
  EXPECT_GT(probability(*found, "feed left blocked"), 0.2);
  EXPECT_LT(probability(*found, "feed right blocked"), 0.01);
  for (const WearHypothesis& one : found->hypotheses) {
    if (one.name != "feed left blocked") continue;
    EXPECT_LE(one.factor.low, 0.25);
    EXPECT_GE(one.factor.high, 0.25);
    EXPECT_LE(one.factor.high, 1);
  }
}

TEST(ExplainWear, TheGalleryGaugeAloneDoesNotFindIt) {
  WearQuestion in = worked_question();
  read(in, {kGallery}, worked_case(60, 30));
  const auto found = explain_wear(in);
  ASSERT_TRUE(found) << found.error().why;
  EXPECT_LT(probability(*found, "front journal left worn") +
                probability(*found, "other journals left worn"),
            0.6);
  EXPECT_GE(found->alike.size(), 3u);
  EXPECT_THAT(found->alike, Contains(0u)) << "nothing worn";
  ASSERT_TRUE(found->next);
  EXPECT_NE(*found->next, 0u) << "the gallery again tells least";
}

// The phaser's chamber is measured too: the front journal it is.
TEST(ExplainWear, TheChamberTellsTheJournal) {
  WearQuestion in = worked_question();
  read(in, {kGallery, kHeadL, kHeadR, kAdvanceL}, worked_case(90, 30));
  const auto found = explain_wear(in);
  ASSERT_TRUE(found) << found.error().why;
  EXPECT_EQ(found->hypotheses[found->ranking[0]].name, "front journal left worn");
  EXPECT_GT(probability(*found, "front journal left worn"), 0.95);
  // Three times the clearance: 27 times the leak.
  const Interval& factor = found->hypotheses[found->ranking[0]].factor;
  EXPECT_LT(factor.low, 27);
  EXPECT_GT(factor.high, 27);
}

// A star with one unknown factor and no others: p = Qμ / (G + g f). Its evidence by quadrature of
// the same integral, point after point.
TEST(ExplainWear, EvidenceIsThatOfDenseQuadrature) {
  WearQuestion in;
  in.as_new.network.nodes = {"gallery"};
  in.as_new.network.elements = {{"pump", kSump, 0, FixedFlow{Flow::from_si(1e-4)}},
                                {"mains", 0, kSump, Laminar{6e-12}},
                                {"cams", 0, kSump, Laminar{2e-12}}};
  in.suspects = {{"cams", {2}}, {"mains", {1}}};
  const double q_mu = 1e-4 * 8.60e-3, read_at = 8.0e4, u = 1e3;
  in.as_new.readings = {gauge(kHotIdle, 0, read_at / 1e3, u / 1e3)};
  const auto found = explain_wear(in);
  ASSERT_TRUE(found) << found.error().why;
  const auto by_hand = [&](double still, double worn) {
    const int steps = 200'000;
    double sum = 0;
    for (int i = 0; i < steps; ++i) {
      const double f = std::exp(std::log(in.most) * (i + 0.5) / steps);
      const double r = (read_at - q_mu / (still + worn * f)) / u;
      sum += std::exp(-r * r / 2) / steps;
    }
    return std::log(sum);
  };
  EXPECT_NEAR(found->hypotheses[1].ln_evidence, by_hand(6e-12, 2e-12), 0.03);
  EXPECT_NEAR(found->hypotheses[2].ln_evidence, by_hand(2e-12, 6e-12), 0.03);
  const double new_r = (read_at - q_mu / 8e-12) / u;
  EXPECT_NEAR(found->hypotheses[0].ln_evidence, -new_r * new_r / 2, 1e-6 * new_r * new_r);
}

TEST(ExplainWear, TwoPlacesInParallelAreNotToldApart) {
  WearQuestion in = worked_question();
  in.suspects = {{"main bearings", elements({"mains"})},
                 {"jet", elements({"jet"})},
                 {"second main", elements({"mains"})}};
  Network truth = kAsNew;
  std::get<Laminar>(truth.elements[elements({"mains"})[0]].law).conductance *= 3;
  read(in, {kGallery, kHeadL, kHeadR}, truth);
  in.ports.resize(2);
  const auto found = explain_wear(in);
  ASSERT_TRUE(found) << found.error().why;
  EXPECT_THAT(found->alike, Contains(1u));
  EXPECT_THAT(found->alike, Contains(3u));
  EXPECT_NEAR(probability(*found, "main bearings worn"), probability(*found, "second main worn"),
              1e-9);
  EXPECT_THAT(found->said,
              Contains(AllOf(HasSubstr("cannot tell apart: "), HasSubstr("main bearings worn; "),
                             HasSubstr("second main worn"))));
}

TEST(ExplainWear, SaysThatNothingExplainsTheReadings) {
  WearQuestion in = worked_question();
  read(in, {kGallery, kHeadL, kHeadR}, kAsNew);
  // A head above its gallery.
  in.as_new.readings[1].read = Pressure::from_si(2.5e5);
  const auto found = explain_wear(in);
  ASSERT_TRUE(found) << found.error().why;
  EXPECT_FALSE(found->explained);
  EXPECT_THAT(found->said, Contains(HasSubstr("no single worn or blocked place explains")));
}

// The new engine, read: nothing worn leads, and what is worn is worn little.
TEST(ExplainWear, AHealthyEngineIsNotCalledWorn) {
  WearQuestion in = worked_question();
  read(in, {kGallery, kHeadL, kHeadR}, kAsNew);
  const auto found = explain_wear(in);
  ASSERT_TRUE(found) << found.error().why;
  EXPECT_EQ(found->ranking[0], 0u);
  EXPECT_LT(found->hypotheses[1].factor.high, 3);
}

void expect_refused(const WearQuestion& in, const std::string& why) {
  const auto found = explain_wear(in);
  ASSERT_FALSE(found) << why;
  EXPECT_THAT(found.error().why, HasSubstr(why));
}

TEST(ExplainWear, RefusesByName) {
  WearQuestion fine = worked_question();
  read(fine, {kGallery}, kAsNew);
  WearQuestion in = fine;
  in.suspects.clear();
  expect_refused(in, "no suspect");
  in = fine;
  in.suspects[1].name = in.suspects[0].name;
  expect_refused(in, "front journal left: two suspects");
  in = fine;
  in.suspects[2].elements = {99};
  expect_refused(in, "front journal right: the network has no element 100");
  in.suspects[2].elements.clear();
  expect_refused(in, "front journal right: no element wears");
  in = fine;
  in.as_new.network.elements[0].law = FixedFlow{Flow::from_si(1e-4)};
  expect_refused(in, "pump: element \"pump\" is a flow");
  in = fine;
  in.most = 1;
  expect_refused(in, "a factor above 1");
  in = fine;
  in.ports[1].standard = {};
  expect_refused(in, "head left: the uncertainty of its gauge");
  in.ports[1].node = 40;
  expect_refused(in, "head left: the network has no node 41");
  in = fine;
  in.as_new.readings[0].standard = {};
  expect_refused(in, "reading 1, node \"gallery\"");
  in = fine;
  in.as_new.network.elements[3].to = 77;
  expect_refused(in, "mains");
}

}  // namespace
}  // namespace tautmark::oil
