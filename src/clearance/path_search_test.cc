// SPDX-License-Identifier: Apache-2.0
#include "clearance/path_search.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "clearance/test_engine.h"

namespace tautmark::clearance {
namespace {

using ::testing::EndsWith;
using ::testing::HasSubstr;

PathEngine one_cylinder(Length wall = {}) {
  return {.camshafts = {{"camshaft", note_engine({0}, wall)}}};
}

EngineState state(double crank, std::vector<double> cams) {
  EngineState s{.crank = crank_deg(crank)};
  for (const double cam : cams) s.cams.push_back(cam_deg(cam));
  return s;
}

PathQuery between(const EngineState& from, const EngineState& to, double margin) {
  return {.from = from, .to = to, .margin = mm(margin)};
}

PathQuery at_nodes(double crank, double cam, double to_crank, double to_cam) {
  PathQuery query = between(state(crank, {cam}), state(to_crank, {to_cam}), 0.5);
  query.nodes_only = true;
  return query;
}

// Source: geometry.md 7.4, margin 0.5 mm, floor only, tested at the nodes.
TEST(FindWay, CostsOfTheNote) {
  const auto cost = [](double crank, double cam, double to_cam) {
    return find_way(one_cylinder(), at_nodes(crank, cam, 0, to_cam)).value().turned;
  };
  EXPECT_NEAR(cost(0, 0, 180), 236, 1e-6);
  EXPECT_NEAR(cost(90, 117.5, 0), 207.5, 1e-6);
  EXPECT_NEAR(cost(60, 117.5, 0), 177.5, 1e-6);
}

// The first of them by hand: out to 28, the camshaft by 180, and back.
TEST(FindWay, GoesToTheWindowTurnsTheCamshaftAndGoesBack) {
  const SafeWay way = find_way(one_cylinder(), at_nodes(0, 0, 0, 180)).value();
  ASSERT_EQ(way.moves.size(), 3U);
  EXPECT_EQ(way.moves[0].turns, Turns::crank);
  EXPECT_NEAR(std::abs(in_crank_deg(way.moves[0].crank_by)), 28, 1e-9);
  EXPECT_EQ(way.moves[1].turns, Turns::camshaft);
  EXPECT_NEAR(std::abs(in_cam_deg(way.moves[1].cam_by)), 180, 1e-9);
  EXPECT_NEAR((way.moves[0].crank_by + way.moves[2].crank_by).si(), 0, 1e-9);
  // At 28 the camshaft passes both noses: geometry.md 5.1 and 7.1, gap at full lift.
  const EngineValve intake = note_intake(), exhaust = note_exhaust();
  const Length s = drop(intake.slider, way.moves[0].crank_by);
  EXPECT_NEAR(
      in_mm(way.moves[1].least),
      std::min(in_mm(gap(intake.site, s, mm(9.5)).least), in_mm(gap(exhaust.site, s, mm(9)).least)),
      1e-4);
}

// Source: geometry.md 7.4: start (0, 90) has an exhaust gap of -1.372.
TEST(FindWay, RefusesAStateInContactAndOneTooNear) {
  const auto why = [](const PathQuery& query) {
    const auto way = find_way(one_cylinder(), query);
    return way ? std::string{"a way"} : way.error().why;
  };
  EXPECT_THAT(why(at_nodes(0, 90, 0, 0)), HasSubstr("already in contact, by 1.372 mm"));
  EXPECT_THAT(why(between(state(0, {90}), state(0, {0}), 0.5)), HasSubstr("in the state as found"));
  EXPECT_THAT(why(between(state(0, {0}), state(0, {90}), 0.5)), HasSubstr("in the state wanted"));
  EXPECT_THAT(why(between(state(5, {182.5}), state(0, {0}), 2.95)),
              HasSubstr("less than the 2.950"));
  EXPECT_THAT(why(between(state(std::nan(""), {0}), state(0, {0}), 1)), HasSubstr("not known"));
  EXPECT_THAT(why(between(state(0, {0, 0}), state(0, {0}), 1)), HasSubstr("not known"));
  PathQuery unsure = between(state(0, {0}), state(0, {180}), 1);
  unsure.cam_within = CamAngle::from_si(std::nan(""));
  EXPECT_THAT(why(unsure), HasSubstr("uncertain"));
  // Clear where it is said to stand; how deep it may be, nobody knows.
  unsure.cam_within = cam_deg(90);
  EXPECT_THAT(why(unsure), EndsWith("may be in contact within the uncertainty"));
}

// Nodes that a flood from one of them reaches through gap() alone, crank and camshaft one node at a
// time: an answer of its own to whether there is a way.
std::vector<bool> flooded(const std::vector<EngineValve>& valves, Length margin, int start) {
  std::vector<bool> free(360 * 720), seen(free.size());
  for (int node = 0; node < 360 * 720; ++node) {
    bool clear = true;
    for (const EngineValve& v : valves)
      clear = clear && gap(v.site, drop(v.slider, crank_deg(node / 720) - v.top),
                           lift(*v.lift, crank_deg(node % 720) - v.top))
                               .least >= margin;
    free[static_cast<std::size_t>(node)] = clear;
  }
  std::vector<int> open{start};
  seen[static_cast<std::size_t>(start)] = true;
  while (!open.empty()) {
    const int row = open.back() / 720, column = open.back() % 720;
    open.pop_back();
    for (const int next : {(row + 1) % 360 * 720 + column, (row + 359) % 360 * 720 + column,
                           row * 720 + (column + 1) % 720, row * 720 + (column + 719) % 720}) {
      const auto n = static_cast<std::size_t>(next);
      if (!free[n] || seen[n]) continue;
      seen[n] = true;
      open.push_back(next);
    }
  }
  for (std::size_t n = 0; n < free.size(); ++n)
    if (!free[n]) seen[n] = true;  // what is left unseen is free and out of reach
  return seen;
}

// Six tops every 60 deg, shallow pockets with high walls: islands of free states. What the flood
// does not reach has no way, what it reaches has one, if only a creeping one.
TEST(FindWay, FindsNoneExactlyWhereThereIsNone) {
  PathEngine six{.camshafts = {{"camshaft", note_engine({0, 420, 120, 540, 240, 660}, mm(4))}}};
  for (EngineValve& valve : six.camshafts[0].valves) valve.site.gap_shut = mm(2);
  const auto& valves = six.camshafts[0].valves;
  EXPECT_EQ(rows_with_free_cam(clearance_map(valves), mm(1)).size(), 0U);
  const std::vector<bool> seen = flooded(valves, mm(1), 0);
  const ClearanceMap map = clearance_map(valves);
  int out_of_reach = 0, in_reach = 0;
  for (int node = 0; node < 360 * 720; node += 1511) {
    if (!(map.at(node / 720, node % 720) >= 1e-3F)) continue;
    PathQuery query = between(state(0, {0}), state(node / 720, {node % 720 / 2.0}), 1);
    query.nodes_only = true;
    const auto way = find_way(six, query);
    const bool none = !way && way.error().why.find("no way was found") != std::string::npos;
    EXPECT_EQ(none, !seen[static_cast<std::size_t>(node)]) << node;
    (none ? out_of_reach : in_reach) += 1;
  }
  EXPECT_GT(in_reach, 5);
  EXPECT_GT(out_of_reach, 5);
}

TEST(FindWay, RefusesAPocketWallNotComputed) {
  PathEngine engine = one_cylinder(mm(3));
  engine.camshafts[0].valves[1].site.sides.reset();
  EXPECT_THAT(find_way(engine, between(state(0, {0}), state(0, {180}), 0.5)).error().why,
              HasSubstr("exhaust: the pocket wall"));
}

TEST(FindWay, WithTheChainOnTurnsOnlyOnAndTogether) {
  PathQuery query = between(state(100, {50}), state(40, {200}), 0.5);  // 300 deg on
  query.chain = Chain::on;
  const SafeWay way = find_way(one_cylinder(), query).value();
  ASSERT_EQ(way.moves.size(), 1U);
  EXPECT_EQ(way.moves[0].turns, Turns::together);
  EXPECT_NEAR(in_crank_deg(way.moves[0].crank_by), 300, 1e-9);
  // The least gap of the cycle as timed, exhaust at 354.8 deg: geometry.md 7.2, within half a
  // degree's steps.
  EXPECT_NEAR(in_mm(way.least), 2.852464, 0.08);
  EXPECT_LE(in_mm(way.least), 2.852464);
  query.to = state(40, {20});  // back by 60, or a whole turn of the crank on
  EXPECT_NEAR(in_crank_deg(find_way(one_cylinder(), query).value().moves[0].crank_by), 660, 1e-9);
  query.to = state(40, {190});
  EXPECT_THAT(find_way(one_cylinder(), query).error().why, HasSubstr("chain must come off"));
  // 40 deg early: contact on the way (7.2: -1.5 mm at 36).
  query = between(state(100, {70}), state(40, {220}), 0.5);
  query.chain = Chain::on;
  EXPECT_THAT(find_way(one_cylinder(), query).error().why, HasSubstr("less than the 0.500"));
}

TEST(FindWay, ParksWithTheChainOnBeforeItComesOff) {
  PathQuery query = between(state(0, {0}), state(0, {18}), 0.5);
  query.chain = Chain::on_then_off;
  const SafeWay way = find_way(one_cylinder(), query).value();
  ASSERT_GE(way.moves.size(), 3U);
  EXPECT_EQ(way.moves[0].turns, Turns::together);
  EXPECT_NEAR(in_crank_deg(way.moves[0].crank_by), 180, 1);
  for (std::size_t i = 1; i < way.moves.size(); ++i) EXPECT_NE(way.moves[i].turns, Turns::together);
  EngineState now = query.from;
  for (const Move& move : way.moves) now = after(now, move);
  EXPECT_NEAR(std::remainder(in_crank_deg(now.crank), 360), 0, 1e-9);
  EXPECT_NEAR(std::remainder(in_cam_deg(now.cams[0]), 360), 18, 1e-9);
}

TEST(FindWay, UncertainAnglesNarrowIt) {
  PathQuery query = between(state(0, {0}), state(0, {180}), 0.5);
  const double sharp = find_way(one_cylinder(), query).value().turned;
  query.crank_within = crank_deg(4);
  const SafeWay way = find_way(one_cylinder(), query).value();
  EXPECT_NEAR(way.turned, sharp + 8, 2.01);  // 4 deg further out, and back
  EXPECT_GE(way.least, mm(0.5));
}

PathEngine twin_cams(double apart, bool crossing) {
  PathEngine engine;
  for (const bool intake : {true, false}) {
    Camshaft camshaft{.name = intake ? "intake" : "exhaust"};
    for (const double top : {0.0, 540.0, 180.0, 360.0})
      camshaft.valves.push_back(intake ? note_intake(crank_deg(top))
                                       : note_exhaust(crank_deg(top)));
    engine.camshafts.push_back(camshaft);
  }
  for (std::size_t i = 0; crossing && i < 4; ++i)
    engine.crossing.push_back(
        {.cam_a = 0,
         .valve_a = i,
         .cam_b = 1,
         .valve_b = i,
         .heads = {.a = {mm(18), mm(0), mm(0), deg(20), mm(16.5), mm(1.5)},
                   .b = {mm(18 - apart), mm(0), mm(0.5), deg(-22), mm(14), mm(1.2)}}});
  return engine;
}

void expect_end(const SafeWay& way, const PathQuery& query) {
  EngineState now = query.from;
  for (const Move& move : way.moves) now = after(now, move);
  EXPECT_NEAR(std::remainder((now.crank - query.to.crank).si(), 2 * std::acos(-1)), 0, 1e-9);
  for (std::size_t k = 0; k < now.cams.size(); ++k)
    EXPECT_NEAR(std::remainder((now.cams[k] - query.to.cams[k]).si(), 2 * std::acos(-1)), 0, 1e-9);
}

// Intake 27 crank deg early, exhaust 20 late, an inline four at top dead center.
TEST(FindWay, SetsTwoCamshaftsRight) {
  const PathQuery query = between(state(60, {43.5, 20}), state(0, {0, 0}), 0.5);
  const SafeWay way = find_way(twin_cams(34, false), query).value();
  expect_end(way, query);
  EXPECT_GE(way.least, mm(0.5));
}

// Heads that touch when both are half open (scipy: 2.65 mm apart at 4 and 4 mm of lift for centers
// 34 mm apart): the order of the camshafts matters, and every move keeps them apart.
TEST(FindWay, TurnsCamshaftsThatCrossInAnOrderThatKeepsThemApart) {
  const PathEngine engine = twin_cams(34, true);
  int found = 0, refused = 0;
  for (double a = 0; a < 360; a += 45)
    for (double b = 20; b < 360; b += 85) {
      const PathQuery query = between(state(90, {a, b}), state(90, {45, 45}), 0.8);
      const auto way = find_way(engine, query);
      if (!way) {
        ++refused;
        continue;
      }
      ++found;
      expect_end(*way, query);
      EngineState now = query.from;
      for (const Move& move : way->moves) {
        EXPECT_EQ(move.turns, Turns::camshaft);
        for (double share = 0; share <= 1; share += 0.02) {
          Move part = move;
          part.cam_by = move.cam_by * share;
          const EngineState there = after(now, part);
          for (std::size_t i = 0; i < 4; ++i) {
            const EngineValve& in = engine.camshafts[0].valves[i];
            const EngineValve& ex = engine.camshafts[1].valves[i];
            const Length la = lift(*in.lift, to_crank(there.cams[0]) - in.top);
            const Length lb = lift(*ex.lift, to_crank(there.cams[1]) - ex.top);
            EXPECT_GE(head_distance(engine.crossing[i].heads.a, la, engine.crossing[i].heads.b, lb),
                      mm(0.8));
          }
        }
        now = after(now, move);
      }
    }
  EXPECT_GT(found, 5);
  RecordProperty("refused", refused);
}

}  // namespace
}  // namespace tautmark::clearance
