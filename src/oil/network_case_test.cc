// SPDX-License-Identifier: Apache-2.0
// The worked case of oil.md 3.4, computed there independently: nested bisection and Newton agree to
// 1e-11. Every value [own]; inputs in network_test_support.h.
#include <gtest/gtest.h>

#include "oil/network_test_support.h"

namespace tautmark::oil {
namespace {

using namespace test;

struct Row {
  const char* name;
  double left, right;  // front journals, radial, µm
  double at[8];        // Pa, by CaseNode
  double slip, mains, rods, head_left, head_right, across_left, edge_left;  // m³/s
};

// oil-checks.yaml, network-H, -45, -60, -W, -both.
constexpr Row kRows[] = {
    {"H",
     30,
     30,
     {184834.711533, 180954.537884, 158865.912077, 158461.026362, 150.886383802, 158865.912077,
      158461.026362, 150.886383802},
     0.000107462041589,
     4.52163478349e-05,
     5.55581470283e-05,
     9.19801622754e-06,
     9.19801622754e-06,
     1.80605985219e-06,
     1.80778121912e-06},
    {"45",
     45,
     30,
     {180998.351867, 176984.878446, 126190.155865, 123945.183009, 609.997216494, 155752.552866,
      155362.477518, 146.414481325},
     0.000105231599923,
     4.42244218846e-05,
     5.43393496149e-05,
     1.3948288554e-05,
     9.01796243426e-06,
     4.74880323619e-06,
     4.77229010035e-06},
    {"60",
     60,
     30,
     {177661.785891, 173530.544902, 88161.174949, 82865.4491307, 1314.45687071, 153032.519662,
      152655.124613, 142.580437512},
     0.000103291735983,
     4.33612639397e-05,
     5.32787717861e-05,
     1.80826858262e-05,
     8.8606478247e-06,
     7.44290785401e-06,
     7.56287428355e-06},
    {"W",
     90,
     30,
     {174502.774682, 170258.460897, 43898.8427925, 34279.0772543, 2016.11701664, 150446.583323,
      150081.018992, 138.997651474},
     0.00010145510156,
     4.25436459331e-05,
     5.22741497059e-05,
     2.19996682598e-05,
     8.71108194948e-06,
     9.93782586864e-06,
     1.05588420338e-05},
    {"both",
     90,
     90,
     {164623.549742, 160015.75316, 42091.2229761, 33104.4908637, 1894.17525994, 42091.2229761,
      33104.4908637, 1894.17525994},
     9.57113661289e-05,
     3.99842305064e-05,
     4.91293495309e-05,
     2.12526968241e-05,
     2.12526968241e-05,
     9.61358410668e-06,
     1.01970390581e-05},
};

double flow_of(const Network& net, const NetworkSolution& found, const char* name) {
  return found.through[element_named(net, name)].si();
}

TEST(NetworkCase, HasThePressuresAndFlowsOfTheTable) {
  for (const Row& row : kRows) {
    SCOPED_TRACE(row.name);
    const Network net = worked_case(row.left, row.right);
    const auto found = solve(net, kHotIdle);
    ASSERT_TRUE(found) << found.error().why;
    EXPECT_LE(found->steps, 20);
    for (int i = 0; i < 8; ++i) EXPECT_NEAR(found->at[i].si() / row.at[i], 1, 1e-6) << net.nodes[i];
    const double brought = 22e-6 * 650 / 60;
    EXPECT_NEAR((brought - flow_of(net, *found, "pump")) / row.slip, 1, 1e-6);
    EXPECT_NEAR(flow_of(net, *found, "mains") / row.mains, 1, 1e-6);
    EXPECT_NEAR(flow_of(net, *found, "rods") / row.rods, 1, 1e-6);
    EXPECT_NEAR(flow_of(net, *found, "L.head") / row.head_left, 1, 1e-6);
    EXPECT_NEAR(flow_of(net, *found, "R.head") / row.head_right, 1, 1e-6);
    EXPECT_NEAR(flow_of(net, *found, "L.A-R") / row.across_left, 1, 1e-6);
    EXPECT_NEAR(flow_of(net, *found, "L.A-edge") / row.edge_left, 1, 1e-6);
  }
}

TEST(NetworkCase, HasTheChangesOfTheTable) {
  const auto healthy = *solve(worked_case(30, 30), kHotIdle);
  const double gallery = healthy.at[kGallery].si();
  const double across = (healthy.at[kAdvanceL] - healthy.at[kRetardL]).si();
  struct Change {
    double left, right, gallery, across, other;
  };
  constexpr Change kChanges[] = {{45, 30, -2.194, -22.09, 155216.06},
                                 {60, 30, -4.103, -48.49, 152512.54},
                                 {90, 30, -5.911, -79.62, 149942.02},
                                 {90, 90, -11.571, -80.29, 31210.316}};
  for (const Change& one : kChanges) {
    const auto found = *solve(worked_case(one.left, one.right), kHotIdle);
    EXPECT_NEAR(100 * (found.at[kGallery].si() / gallery - 1), one.gallery, 5e-4);
    EXPECT_NEAR(100 * ((found.at[kAdvanceL] - found.at[kRetardL]).si() / across - 1), one.across,
                5e-3);
    EXPECT_NEAR((found.at[kAdvanceR] - found.at[kRetardR]).si() / one.other, 1, 1e-6);
  }
}

TEST(NetworkCase, HasTheFlowsOfTheTable) {
  struct Flows {
    double left;
    double values[13];  // L/min, in the order of kNames
  };
  constexpr const char* kNames[] = {"mains",       "rods",     "jet",      "L.head", "L.cams",
                                    "L.tensioner", "L.supply", "L.A-edge", "L.A-R",  "L.R-edge",
                                    "L.internal",  "L.return", "R.head"};
  constexpr Flows kFlows[] = {
      {30,
       {2.712981, 3.333489, 0.702046, 0.551881, 0.300291, 0.001625, 0.249965, 0.108467, 0.108364,
        0.000103, 0.033135, 0.141395, 0.551881}},
      {90,
       {2.552619, 3.136449, 0.680981, 1.319980, 0.082978, 0.000449, 1.236553, 0.633531, 0.596270,
        0.037261, 0.006753, 0.565761, 0.522665}}};
  for (const Flows& row : kFlows) {
    const Network net = worked_case(row.left, 30);
    const auto found = *solve(net, kHotIdle);
    for (std::size_t i = 0; i < std::size(kNames); ++i)
      EXPECT_NEAR(flow_of(net, found, kNames[i]) * 60e3, row.values[i], 6e-7) << kNames[i];
    EXPECT_LT(flow_of(net, found, "relief"), 1e-12);
  }
  EXPECT_NEAR(flow_of(worked_case(30, 30), *solve(worked_case(30, 30), kHotIdle), "pump") * 60e3,
              14.3 - 6.447722, 6e-7);
  EXPECT_NEAR(flow_of(worked_case(90, 30), *solve(worked_case(90, 30), kHotIdle), "pump") * 60e3,
              14.3 - 6.087306, 6e-7);
}

// The conductances of the table of inputs.
TEST(NetworkCase, IsBuiltFromTheInputsOfTheTable) {
  const Network net = worked_case(30, 30);
  const auto gap = [&net](const char* name) {
    return std::get<Laminar>(net.elements[element_named(net, name)].law).conductance;
  };
  EXPECT_NEAR(gap("mains") / 5 / 2.57872897e-13, 1, 1e-8);
  EXPECT_NEAR(gap("rods") / 8 / 1.98033192e-13, 1, 1e-8);
  EXPECT_NEAR(gap("L.cams") / 4 / 6.77327376e-14, 1, 1e-8);
  EXPECT_NEAR(gap("L.tensioner") / 1.46607657e-15, 1, 1e-8);
  EXPECT_NEAR(gap("L.A-R") / 9.81119386e-14, 1, 1e-8);
  const auto hole = [&net](const char* name) {
    return std::get<Orifice>(net.elements[element_named(net, name)].law).area;
  };
  EXPECT_NEAR(hole("jet") / 5.49778714e-7, 1, 1e-8);
  EXPECT_NEAR(hole("R.head") / 1.23700211e-6, 1, 1e-8);
}

// oil.md 3.4, "Where the symptom appears": bar, 1e-4.
TEST(NetworkCase, ShowsHotWhatIsInvisibleCold) {
  struct Condition {
    Running running;
    double gallery, gallery_worn, across, across_worn, change;
  };
  constexpr Condition kConditions[] = {
      {running(8.60e-3, 799, 650), 1.8095, 1.7026, 1.5831, 0.3226, -79.6},
      {running(5.77e-3, 786, 650), 1.2245, 1.1680, 1.0190, 0.1827, -82.1},
      {running(8.60e-3, 799, 2000), 4.5197, 4.4513, 3.4447, 0.5308, -84.6},
      {running(0.1352, 850, 1000), 5.5099, 5.4284, 5.4977, 4.4064, -19.8},
  };
  for (const Condition& one : kConditions) {
    const auto healthy = *solve(worked_case(30, 30), one.running);
    const auto worn = *solve(worked_case(90, 30), one.running);
    const auto across = [](const NetworkSolution& s) {
      return (s.at[kAdvanceL] - s.at[kRetardL]).si() / 1e5;
    };
    EXPECT_NEAR(healthy.at[kGallery].si() / 1e5, one.gallery, 1e-4);
    EXPECT_NEAR(worn.at[kGallery].si() / 1e5, one.gallery_worn, 1e-4);
    EXPECT_NEAR(across(healthy), one.across, 1e-4);
    EXPECT_NEAR(across(worn), one.across_worn, 1e-4);
    // The last is -19.851 by the pressures of its own row.
    EXPECT_NEAR(100 * (across(worn) / across(healthy) - 1), one.change, 0.051);
  }
}

// oil.md 3.4: Δp_c of 1 or 1000 Pa moves the difference of case W by +0.004 % and -0.32 %.
TEST(NetworkCase, FeelsTheSmoothingAsStated) {
  const auto across = [](double smoothing) {
    Network net = worked_case(90, 30);
    net.smoothing = Pressure::from_si(smoothing);
    const auto found = *solve(net, kHotIdle);
    return (found.at[kAdvanceL] - found.at[kRetardL]).si();
  };
  EXPECT_NEAR(100 * (across(1) / across(100) - 1), 0.004, 5e-4);
  EXPECT_NEAR(100 * (across(1000) / across(100) - 1), -0.32, 5e-3);
}

// oil.md 3.4, "Why": what the worn head takes more, and what the change of the gallery is worth in
// degrees of oil temperature.
TEST(NetworkCase, ChangesTheGalleryByThreeKelvin) {
  const Network healthy = worked_case(30, 30), worn = worked_case(90, 30);
  const auto before = *solve(healthy, kHotIdle), after = *solve(worn, kHotIdle);
  EXPECT_NEAR((flow_of(worn, after, "L.head") - flow_of(healthy, before, "L.head")) * 60e3, 0.77,
              5e-3);
  const double ratio = std::log(after.at[kGallery] / before.at[kGallery]);
  EXPECT_NEAR(ratio / (0.9746820 * -0.0211), 3.0, 0.05);
  EXPECT_NEAR(100 * (after.at[kHeadL] / before.at[kHeadL] - 1), -72, 0.5);
}

// oil.md 5.3 (b), 1e-5: a phaser that moves, with the turning speed at which the difference is
// 2.5 N·m / 3.84e-5 m³. At 90 µm it runs backwards, and R is below zero.
TEST(NetworkCase, FeedsAMovingPhaser) {
  struct Slew {
    double left, omega, head;
  };
  constexpr Slew kSlews[] = {{30, 0.388382054781, 77082.6},
                             {45, 0.297400950683, 75950.3},
                             {60, 0.122315749148, 74244.1},
                             {90, -0.597211696838, 71744.5}};
  for (const Slew& one : kSlews) {
    Network net = worked_case(one.left, 30);
    net.elements.push_back(
        {"travel", kAdvanceL, kRetardL, FixedFlow{Flow::from_si(3.84e-5 * one.omega)}});
    const auto found = *solve(net, kHotIdle);
    EXPECT_NEAR((found.at[kAdvanceL] - found.at[kRetardL]).si() / (2.5 / 3.84e-5), 1, 1e-5);
    EXPECT_NEAR(found.at[kHeadL].si(), one.head, 0.1);
    for (const Flow air : found.air) EXPECT_EQ(air.si(), 0);
    if (one.left == 90) {
      EXPECT_NEAR(found.at[kRetardL].si(), -176, 0.5);
    }
  }
}

}  // namespace
}  // namespace tautmark::oil
