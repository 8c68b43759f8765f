// SPDX-License-Identifier: Apache-2.0
// What turns by the motion must stand where a figure made at that crank angle has it: the figure
// lays every chain anew, the motion only says how fast things go.
#include "draw/motion.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "draw/figure_of_drive.h"
#include "drive/load.h"

namespace tautmark {
namespace {

constexpr double kRadians = std::numbers::pi / 180;

Drive shipped(const std::string& name) {
  const auto loaded = load_drive(name, {{std::string(TAUTMARK_SOURCE_DIR) + "/drives"}});
  EXPECT_TRUE(loaded) << name;
  return loaded ? loaded->drive : Drive{};
}

Motion motion(const Drive& drive, const FigureState& state = {}) {
  const auto figure = figure_of(drive, state);
  EXPECT_TRUE(figure);
  return figure ? motion_of(drive, *figure) : Motion{};
}

struct Spot {
  double x = 0, y = 0;
};

Spot along(const MotionChain& chain, double at) {
  at -= chain.links * std::floor(at / chain.links);
  for (const MotionPiece& piece : chain.way) {
    if (at > piece.pitches) {
      at -= piece.pitches;
      continue;
    }
    const double part = piece.pitches > 0 ? at / piece.pitches : 0;
    if (piece.radius_mm == 0)
      return {piece.x1_mm + (piece.x2_mm - piece.x1_mm) * part,
              piece.y1_mm + (piece.y2_mm - piece.y1_mm) * part};
    const double clock =
        std::atan2(piece.x1_mm - piece.center_x_mm, piece.y1_mm - piece.center_y_mm) +
        piece.clockwise_deg * part * kRadians;
    return {piece.center_x_mm + piece.radius_mm * std::sin(clock),
            piece.center_y_mm + piece.radius_mm * std::cos(clock)};
  }
  return {chain.way.front().x1_mm, chain.way.front().y1_mm};
}

class MovingDrive : public testing::TestWithParam<const char*> {};

TEST_P(MovingDrive, StandsWhereAFigureOfThatCrankAngleHasIt) {
  const Drive drive = shipped(GetParam());
  const Motion moved = motion(drive);
  ASSERT_FALSE(moved.wheels.empty());
  for (const double turns : {0.0, 0.013, 0.5, 1.0, 2.0, 7.77, -0.4}) {
    const auto figure = figure_of(drive, {.crank = crank_deg(360 * turns)});
    ASSERT_TRUE(figure);
    ASSERT_EQ(figure->chains.size(), moved.chains.size());
    for (std::size_t c = 0; c < moved.chains.size(); ++c) {
      const MotionChain& chain = moved.chains[c];
      for (std::size_t pin = 0; pin < figure->chains[c].pins.size(); ++pin) {
        const double at = chain.first_pin + static_cast<double>(pin);
        const Spot spot = along(chain, at + chain.pitches_per_turn * turns);
        EXPECT_NEAR(spot.x, in_mm(figure->chains[c].pins[pin].x), 1e-6) << pin << " " << turns;
        EXPECT_NEAR(spot.y, in_mm(figure->chains[c].pins[pin].y), 1e-6) << pin << " " << turns;
      }
    }
    for (std::size_t w = 0; w < moved.wheels.size(); ++w) {
      const FigureWheel& wheel = figure->wheels[w];
      if (wheel.teeth == 0) continue;
      const double clock =
          moved.wheels[w].tooth_deg + 360 * moved.wheels[w].clockwise_turns * turns;
      // Any tooth is as good as any other, unless one is marked.
      const double step = wheel.mark ? 360 : 360.0 / wheel.teeth;
      EXPECT_NEAR(std::remainder(clock - in_deg(wheel.tooth_zero), step), 0, 1e-6)
          << wheel.name << " " << turns;
    }
  }
}

TEST_P(MovingDrive, MarkedLinksReturnWhenItSaysAndNotBefore) {
  for (const MotionChain& chain : motion(shipped(GetParam())).chains) {
    if (!chain.links_return || *chain.links_return > 3000) continue;
    for (int turns = 1; turns <= *chain.links_return; ++turns) {
      const double off = std::remainder(chain.pitches_per_turn * turns, chain.links);
      EXPECT_EQ(std::abs(off) < 1e-6, turns == *chain.links_return) << chain.name << " " << turns;
    }
  }
}

TEST_P(MovingDrive, TheWayClosesAndHasEveryLink) {
  for (const MotionChain& chain : motion(shipped(GetParam())).chains) {
    double pitches = 0;
    for (std::size_t i = 0; i < chain.way.size(); ++i) {
      const MotionPiece& piece = chain.way[i];
      const MotionPiece& next = chain.way[(i + 1) % chain.way.size()];
      EXPECT_NEAR(std::hypot(piece.x2_mm - next.x1_mm, piece.y2_mm - next.y1_mm), 0, 1e-6);
      pitches += piece.pitches;
    }
    EXPECT_NEAR(pitches, chain.links, 1e-6) << chain.name;
  }
}

INSTANTIATE_TEST_SUITE_P(Shipped, MovingDrive,
                         testing::Values("vessgarth-v6-12", "vessgarth-v6-12-tall",
                                         "quellmere-i4-16", "skarnmoor-i4-16", "wendlebrook-i4-8",
                                         "thin"));

TEST(Motion, SaysWhatStandsOffAndNeverBackwards) {
  const Drive drive = shipped("vessgarth-v6-12");
  const Motion right = motion(drive);
  EXPECT_THAT(right.backwards, testing::HasSubstr("Never backwards"));
  EXPECT_THAT(right.marks_return, testing::HasSubstr("every 2 crank turns"));
  for (const MotionWheel& wheel : right.wheels) EXPECT_EQ(wheel.error, "") << wheel.name;
  const auto driven = std::find_if(right.wheels.begin(), right.wheels.end(),
                                   [](const auto& wheel) { return wheel.kind == "camshaft"; });
  ASSERT_NE(driven, right.wheels.end());
  const Motion off = motion(drive, {.teeth_early = {{driven->name, -1}}});
  for (const MotionWheel& wheel : off.wheels) {
    EXPECT_EQ(wheel.teeth_early, wheel.name == driven->name ? -1 : 0) << wheel.name;
    if (wheel.name != driven->name) continue;
    EXPECT_THAT(wheel.error, testing::StartsWith("1 tooth late"));
    ASSERT_TRUE(wheel.mark && wheel.should_be_deg);
    EXPECT_NEAR(std::abs(std::remainder(wheel.mark->clock_deg - *wheel.should_be_deg, 360)),
                360.0 / wheel.teeth, 1e-6);
  }
}

}  // namespace
}  // namespace tautmark
