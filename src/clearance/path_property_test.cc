// SPDX-License-Identifier: Apache-2.0
// Random states of random engines: whatever way comes back, another program's dense look along it
// finds nothing nearer than the margin. The look knows nothing of the map, of lift curves or of
// gap(): the lobe and the slider-crank are written once more here (geometry.md 5.1, 6.1, 7.1).
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "clearance/path_search.h"
#include "clearance/test_engine.h"
#include "support/long_tests.h"

namespace tautmark::clearance {
namespace {

constexpr double kDegree = 3.14159265358979323846 / 180;

struct PlainValve {
  double h, half, center, top, gamma, c0, room, ex, ey, wall;
};

// mm and degrees; the slider of the note.
double plain_clearance(const PlainValve& v, double crank, double cam) {
  const double r = 43, l = 143, d = 0.8;
  const double t = (crank - v.top) * kDegree - std::asin(d / (l + r));
  const double side = r * std::sin(t) + d;
  const double s =
      std::sqrt((l + r) * (l + r) - d * d) - r * std::cos(t) - std::sqrt(l * l - side * side);
  const double x = std::remainder(2 * cam - v.top - v.center, 720.0);
  const double u = 1 - std::abs(x) / v.half;
  const double open =
      u <= 0 ? 0 : v.h * u * u * u * u * (35 - 84 * u + 70 * u * u - 20 * u * u * u);
  const double axial = v.c0 + s * std::cos(v.gamma * kDegree) - open;
  const double radial = v.room - std::hypot(v.ex - s * std::sin(v.gamma * kDegree), v.ey);
  return std::min(axial, std::max(radial, axial - v.wall));
}

EngineValve engine_valve_of(const PlainValve& v) {
  return {.name = "a valve",
          .site = {.inclination = deg(v.gamma),
                   .gap_shut = mm(v.c0),
                   .wall_height = mm(v.wall),
                   .sides = PocketSides{mm(15), mm(15 + v.room), mm(v.ex), mm(v.ey)}},
          .slider = note_slider(),
          .top = crank_deg(v.top),
          .lift = std::make_shared<const LiftCurve>(lift_curve(
              LawLobe{LiftLaw::polynomial_4567, mm(v.h), crank_deg(v.half), crank_deg(v.center)}))};
}

struct RandomEngine {
  PathEngine engine{};
  std::vector<std::vector<PlainValve>> plain{};

  double clearance(double crank, const std::vector<double>& cams) const {
    double least = 1e9;
    for (std::size_t k = 0; k < plain.size(); ++k)
      for (const PlainValve& v : plain[k])
        least = std::min(least, plain_clearance(v, crank, cams[k]));
    return least;
  }
};

using Random = std::mt19937;
double pick(Random& random, double from, double to) {
  return std::uniform_real_distribution<double>(from, to)(random);
}
int whole(Random& random, int from, int to) {
  return std::uniform_int_distribution<int>(from, to)(random);
}

RandomEngine random_engine(Random& random) {
  const std::vector<std::vector<double>> layouts[] = {
      {{0}},
      {{0, 180, 360, 540}},
      {{0, 180, 360, 540}, {0, 180, 360, 540}},
      {{0, 240, 480}, {120, 360, 600}},
      {{0, 270, 450, 540}, {90, 180, 360, 630}},
      {{0, 240, 480}, {0, 240, 480}, {150, 390, 630}, {150, 390, 630}}};
  RandomEngine made;
  for (const auto& tops : layouts[whole(random, 0, 5)]) {
    const int kind = whole(random, 0, 2);  // intake, exhaust, both
    const bool walls = whole(random, 0, 1) == 1;
    PlainValve in{pick(random, 7, 10),    pick(random, 120, 155),
                  pick(random, 455, 480), 0,
                  pick(random, 5, 24),    pick(random, 2, 6),
                  pick(random, 1.2, 2.5), pick(random, -0.3, 0.4),
                  pick(random, 0, 0.2),   walls ? pick(random, 1, 4) : 0};
    PlainValve ex = in;
    ex.center = 720 - in.center;
    Camshaft camshaft{.name = "camshaft"};
    std::vector<PlainValve> plain;
    for (const double top : tops)
      for (PlainValve v : {in, ex}) {
        if ((kind == 0 && v.center < 360) || (kind == 1 && v.center > 360)) continue;
        v.top = top;
        plain.push_back(v);
        camshaft.valves.push_back(engine_valve_of(v));
      }
    made.plain.push_back(plain);
    made.engine.camshafts.push_back(camshaft);
  }
  return made;
}

EngineState random_state(Random& random, std::size_t camshafts) {
  EngineState state{.crank = crank_deg(pick(random, 0, 360))};
  for (std::size_t k = 0; k < camshafts; ++k) state.cams.push_back(cam_deg(pick(random, 0, 360)));
  return state;
}

// Looks every 0.1 deg, the angles off by as much as they may be.
void look_along(const RandomEngine& made, const PathQuery& query, const SafeWay& way,
                Random& random) {
  EngineState now = query.from;
  for (const Move& move : way.moves) {
    ASSERT_GE(in_mm(move.least), in_mm(query.margin) - 1e-9);
    ASSERT_TRUE(move.turns != Turns::together || move.crank_by.si() > 0);
    const double longest =
        std::max(std::abs(in_crank_deg(move.crank_by)), 2 * std::abs(in_cam_deg(move.cam_by)));
    const int looks = static_cast<int>(longest / 0.1) + 1;
    const double off = pick(random, -1, 1) * in_crank_deg(query.crank_within);
    for (int i = 0; i <= looks; ++i) {
      Move part = move;
      part.crank_by = move.crank_by * (1.0 * i / looks);
      part.cam_by = move.cam_by * (1.0 * i / looks);
      const EngineState there = after(now, part);
      std::vector<double> cams;
      for (const CamAngle cam : there.cams)
        cams.push_back(in_cam_deg(cam) + pick(random, -1, 1) * in_cam_deg(query.cam_within));
      // Of what the move says: its own camshafts alone; of the margin: all of them.
      ASSERT_GE(made.clearance(in_crank_deg(there.crank) + off, cams), in_mm(query.margin) - 2e-5)
          << in_crank_deg(there.crank) << " of move " << &move - way.moves.data();
    }
    now = after(now, move);
  }
  constexpr double kRound = 1e-9;
  ASSERT_NEAR(std::remainder((now.crank - query.to.crank).si(), 360 * kDegree), 0, kRound);
  for (std::size_t k = 0; k < now.cams.size(); ++k)
    ASSERT_NEAR(std::remainder((now.cams[k] - query.to.cams[k]).si(), 360 * kDegree), 0, kRound);
}

TEST(FindWay, NeverComesNearerThanTheMargin) {
  const int states = test::are_long() ? 10000 : 60;
  Random random(80);
  int found = 0, with_camshafts = 0;
  for (int n = 0; n < states; ++n) {
    const RandomEngine made = random_engine(random);
    const std::size_t k = made.plain.size();
    PathQuery query{.from = random_state(random, k),
                    .to = random_state(random, k),
                    .margin = mm(pick(random, 0, 1)),
                    .chain = whole(random, 0, 2) == 0 ? Chain::on_then_off : Chain::off};
    // States as they are met: half of them free, and many with the camshafts near their places.
    for (EngineState* state : {&query.from, &query.to})
      if (whole(random, 0, 3) != 0)
        for (CamAngle& cam : state->cams)
          cam = to_cam(state->crank) + cam_deg(pick(random, -15, 15));
    if (whole(random, 0, 1) == 1) {
      query.crank_within = crank_deg(pick(random, 0, 2));
      query.cam_within = cam_deg(pick(random, 0, 1));
    }
    const auto way = find_way(made.engine, query);
    if (!way) continue;
    ++found;
    with_camshafts += k > 1;
    look_along(made, query, *way, random);
    if (HasFatalFailure()) FAIL() << "state " << n;
  }
  EXPECT_GT(found, states / 8);
  EXPECT_GT(with_camshafts, states / 16);
}

}  // namespace
}  // namespace tautmark::clearance
