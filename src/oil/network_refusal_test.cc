// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

#include "oil/network_solver.h"
#include "oil/network_test_support.h"

namespace tautmark::oil {
namespace {

using namespace test;
using testing::HasSubstr;

const double kNan = std::numeric_limits<double>::quiet_NaN();
const double kInf = std::numeric_limits<double>::infinity();

void expect_refused(const Network& net, const std::string& who, const std::string& what,
                    const Running& at = kHotIdle) {
  const auto found = solve(net, at);
  ASSERT_FALSE(found) << who << ", " << what;
  EXPECT_THAT(found.error().why, HasSubstr(who));
  EXPECT_THAT(found.error().why, HasSubstr(what));
}

TEST(NetworkRefusal, NamesTheNodeThatHangsLoose) {
  Network net = worked_case(30, 30);
  net.nodes.push_back("spare");
  expect_refused(net, "node \"spare\"", "no element reaches it");
  net.elements.push_back({"spur", kGallery, 8, Orifice{1e-6}});
  expect_refused(net, "node \"spare\"", "only one element");
  net.elements.push_back({"back", 8, kGallery, Orifice{1e-6}});
  EXPECT_TRUE(solve(net, kHotIdle));
  net.nodes[8].clear();
  net.elements.pop_back();
  expect_refused(net, "node 9", "only one element");
}

TEST(NetworkRefusal, NamesTheElementInAWrongPlace) {
  Network net = worked_case(30, 30);
  net.elements[2].to = 8;
  expect_refused(net, "element \"filter\"", "no node");
  net.elements[2].to = -2;
  expect_refused(net, "element \"filter\"", "no node");
  net.elements[2].to = net.elements[2].from;
  expect_refused(net, "element \"filter\"", "begins where it ends");
  net = worked_case(30, 30);
  net.elements.push_back({"", kSump, kSump, Laminar{1e-13}});
  expect_refused(net, "element 25", "the sump");
  net = worked_case(30, 30);
  net.elements.push_back({"second pump", kGallery, kPump, Pump{1e-6, 0}});
  expect_refused(net, "element \"second pump\"", "draws from the sump");
  EXPECT_FALSE(solve({}, kHotIdle));
}

TEST(NetworkRefusal, WantsASourceAndASink) {
  Network net = worked_case(30, 30);
  net.elements[0].law = Laminar{1e-12};
  expect_refused(net, "node \"pump\"", "nothing pumps oil into it");
  net = worked_case(30, 30);
  for (Element& one : net.elements)
    if (one.to == kSump) one.to = one.from == kGallery ? kHeadL : kGallery;
  expect_refused(net, "node \"pump\"", "drains");
  // A second circuit that nothing feeds.
  net = worked_case(30, 30);
  net.nodes.push_back("apart");
  net.elements.push_back({"one", 8, kSump, Laminar{1e-13}});
  net.elements.push_back({"two", 8, kSump, Laminar{1e-13}});
  expect_refused(net, "node \"apart\"", "nothing pumps oil into it");
}

TEST(NetworkRefusal, NamesTheElementWithWrongNumbers) {
  struct Wrong {
    ElementLaw law;
    const char* what;
  };
  std::vector<Wrong> all;
  for (const double v : {-1e-13, kNan, kInf}) {
    all.push_back({Laminar{v}, "conductance"});
    all.push_back({Orifice{v}, "area"});
    all.push_back({CheckedOrifice{v, {}}, "area"});
    all.push_back({CheckedOrifice{1e-6, Pressure::from_si(v)}, "opening pressure"});
    all.push_back({Relief{v, {}}, "slope"});
    all.push_back({Relief{1e-9, Pressure::from_si(v)}, "opening pressure"});
    all.push_back({Laminar{1e-13, v}, "film"});
  }
  all.push_back({Laminar{1e-13, 0}, "film"});
  all.push_back({FixedFlow{Flow::from_si(kNan)}, "flow"});
  for (const Wrong& one : all) {
    Network net = worked_case(30, 30);
    net.elements.push_back({"odd one", kGallery, kSump, one.law});
    expect_refused(net, "element \"odd one\"", one.what);
    auto solver = NetworkSolver::prepare(net);  // its place is right, and its numbers can change
    ASSERT_TRUE(solver);
    EXPECT_FALSE(solver->solve(kHotIdle));
    solver->change(net.elements.size() - 1, Laminar{0});
    EXPECT_TRUE(solver->solve(kHotIdle));
  }
  for (const double v : {-1e-6, kNan, kInf}) {
    Network net = worked_case(30, 30);
    net.elements[0].law = Pump{v, 0};
    expect_refused(net, "element \"pump\"", "displacement");
    net.elements[0].law = Pump{22e-6, v};
    expect_refused(net, "element \"pump\"", "slip");
  }
}

TEST(NetworkRefusal, WantsOilThatRuns) {
  const Network net = worked_case(30, 30);
  for (const double v : {0.0, -1.0, kNan, kInf}) {
    expect_refused(net, "viscosity", "above zero", running(v, 799, 650));
    expect_refused(net, "density", "above zero", running(8.6e-3, v, 650));
  }
  for (const double v : {-1.0, kNan, kInf})
    expect_refused(net, "speed", "negative", running(8.6e-3, 799, v));
  Network sharp = net;
  sharp.smoothing = {};
  expect_refused(sharp, "smoothing", "above zero");
}

// A blocked way is none; where it was the only one, nobody can say what the pressure is.
TEST(NetworkRefusal, NamesTheNodeThatIsShutIn) {
  Network net = worked_case(30, 30);
  net.elements[element_named(net, "L.head")].law = Orifice{0};
  const auto starved = solve(net, kHotIdle);
  ASSERT_TRUE(starved);
  EXPECT_EQ(starved->at[kHeadL].si(), 0);
  EXPECT_GT(starved->at[kHeadR].si(), 1e5);
  for (const char* one : {"L.R-edge", "L.return", "L.A-R", "L.internal"})
    net.elements[element_named(net, one)].law = Laminar{0};
  expect_refused(net, "node \"L R\"", "shut");
}

TEST(NetworkRefusal, GivesNoPressureThatIsNoNumber) {
  Network net;
  net.nodes = {"gallery"};
  net.elements = {{"pump", kSump, 0, Pump{1e300, 0}}, {"way", 0, kSump, Laminar{1e-100}}};
  expect_refused(net, "node \"gallery\"", "can be computed");
  net.elements[1].law = Laminar{1e308, 1e-3};
  expect_refused(net, "element \"way\"", "more flows");
  net.elements[0].law = Pump{1e-5, 0};
  net.elements[1].law = Laminar{1e-180};
  net.elements.push_back({"hole", 0, kSump, Orifice{1e-300}});
  const auto found = solve(net, kHotIdle);
  EXPECT_TRUE(!found || std::isfinite(found->at[0].si()));
}

}  // namespace
}  // namespace tautmark::oil
