// SPDX-License-Identifier: Apache-2.0
// The marks of the shipped drives were computed apart from this program (scipy root finding over
// the same circles, geometry.md 3.2); here they must come out of the link counts.
#include "draw/figure_of_drive.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "drive/load.h"

namespace tautmark {
namespace {

constexpr double kTurn = 360;

Drive shipped(const std::string& name) {
  const auto loaded = load_drive(name, {{std::string(TAUTMARK_SOURCE_DIR) + "/drives"}});
  EXPECT_TRUE(loaded) << name;
  return loaded ? loaded->drive : Drive{};
}

Figure figure(const std::string& name, const FigureState& state = {}) {
  const auto made = figure_of(shipped(name), state);
  EXPECT_TRUE(made) << name << ": " << (made ? "" : made.error().why);
  return made ? *made : Figure{};
}

double apart(Angle a, Angle b) { return std::remainder(in_deg(a - b), kTurn); }

Angle mark_clock(const FigureWheel& wheel) {
  return wheel.tooth_zero + deg(kTurn / wheel.teeth * (wheel.mark ? wheel.mark->tooth : 0));
}

class ShippedDrive : public testing::TestWithParam<const char*> {};

TEST_P(ShippedDrive, EveryMarkStandsAtItsPointerWhenTheCrankStandsAtItsMark) {
  for (const FigureWheel& wheel : figure(GetParam()).wheels) {
    if (!wheel.casting_mark) continue;
    ASSERT_TRUE(wheel.mark) << wheel.name;
    EXPECT_NEAR(apart(mark_clock(wheel), *wheel.casting_mark), 0, 0.06) << wheel.name;
  }
}

TEST_P(ShippedDrive, EveryMarkStandsAtItsPointerAgainAfterTwoTurns) {
  for (const FigureWheel& wheel : figure(GetParam(), {.crank = crank_deg(720)}).wheels) {
    if (!wheel.casting_mark || wheel.kind == WheelKind::idler || !wheel.mark) continue;
    EXPECT_NEAR(apart(mark_clock(wheel), *wheel.casting_mark), 0, 0.06) << wheel.name;
  }
}

// A marked link has its middle on the marked tooth, or two of them have it between them.
TEST_P(ShippedDrive, MarkedLinksLieOnTheMarks) {
  const Figure made = figure(GetParam());
  for (const FigureChain& chain : made.chains) {
    for (const FigureLinkMark& mark : chain.marked) {
      const Point& a = chain.pins[mark.link];
      const Point& b = chain.pins[(mark.link + 1) % chain.pins.size()];
      const double x = (a.x + b.x).si() / 2, y = (a.y + b.y).si() / 2;
      const bool on_a_mark =
          std::any_of(made.wheels.begin(), made.wheels.end(), [&](const FigureWheel& wheel) {
            if (!wheel.mark) return false;
            const double clock = mark_clock(wheel).si(), r = wheel.pitch_radius.si();
            return std::hypot(wheel.center.x.si() + r * std::sin(clock) - x,
                              wheel.center.y.si() + r * std::cos(clock) - y) <
                   0.52 * chain.pitch.si();
          });
      EXPECT_TRUE(on_a_mark) << GetParam() << " " << chain.name << " link " << mark.link;
    }
  }
}

TEST_P(ShippedDrive, PinsAreOnePitchApartAndAsManyAsLinks) {
  const Figure made = figure(GetParam());
  const Drive drive = shipped(GetParam());
  for (std::size_t c = 0; c < made.chains.size(); ++c) {
    const FigureChain& chain = made.chains[c];
    for (std::size_t i = 0; i < chain.pins.size(); ++i) {
      const Point& a = chain.pins[i];
      const Point& b = chain.pins[(i + 1) % chain.pins.size()];
      const double apart_mm = std::hypot(in_mm(a.x - b.x), in_mm(a.y - b.y));
      // Chords of arcs are a little shorter than the pitch counted along them.
      EXPECT_NEAR(apart_mm, in_mm(chain.pitch), 0.012 * in_mm(chain.pitch)) << chain.name << i;
    }
  }
}

INSTANTIATE_TEST_SUITE_P(All, ShippedDrive,
                         testing::Values("vessgarth-v6-12", "vessgarth-v6-12-tall",
                                         "quellmere-i4-16", "skarnmoor-i4-16", "wendlebrook-i4-8"));

TEST(Figure, OfTwentyLinesIsASchematicThatSaysSo) {
  const Figure made = figure("thin");
  EXPECT_FALSE(made.to_scale);
  ASSERT_EQ(made.chains.size(), 1U);
  EXPECT_EQ(made.chains[0].pins.size(), 116U);
  EXPECT_EQ(made.wheels.size(), 2U);
}

TEST(Figure, AWheelOneToothLateStandsOneToothBehindAndSaysSo) {
  const Figure made =
      figure("quellmere-i4-16", {.teeth_early = {{"bank 1 / intake camshaft", -1}}});
  const auto wheel = std::find_if(made.wheels.begin(), made.wheels.end(), [](const auto& w) {
    return w.name == "bank 1 / intake camshaft";
  });
  ASSERT_NE(wheel, made.wheels.end());
  EXPECT_EQ(wheel->error, "1 tooth late: 9.5° cam, 18.9° crank");  // trade.md 6.B
  EXPECT_NEAR(apart(mark_clock(*wheel), *wheel->casting_mark), -kTurn / 38, 0.06);
}

// trade.md 6.B, teardown: 61, 60 and 17, sum 138.
TEST(Figure, TheCountsAreThoseOfTheWheelsAsTheyStand) {
  const Figure made =
      figure("quellmere-i4-16", {.teeth_early = {{"bank 1 / intake camshaft", -1}}});
  std::vector<int> counts;
  for (const FigureStrand& strand : made.chains[0].strands) counts.push_back(*strand.count);
  EXPECT_THAT(counts, testing::ElementsAre(60, 17, 61));
}

// The drawing counts pitches, however the file counted: geometry/counts.h, both marks is one more.
TEST(Figure, CountsArePitchesWhateverTheFileCounted) {
  Drive drive = shipped("quellmere-i4-16");
  drive.chains[0].counted = LinkCounting::both_marks;
  for (Strand& strand : drive.chains[0].strands) ++strand.links;
  const auto made = figure_of(drive);
  ASSERT_TRUE(made);
  std::vector<int> counts;
  for (const FigureStrand& strand : made->chains[0].strands) counts.push_back(*strand.count);
  EXPECT_THAT(counts, testing::ElementsAre(61, 16, 61));
}

// geometry.md 3.3: one tooth of 30 behind a crank sprocket of 20 is 18 crank degrees, whatever
// comes after it.
TEST(Figure, WhatAnIdlerIsOffItsCamshaftsAreOffInCrankDegrees) {
  const Figure made = figure("skarnmoor-i4-16", {.teeth_early = {{"idler", -1}}});
  for (const FigureWheel& wheel : made.wheels) {
    if (wheel.name == "idler" && wheel.teeth == 30) {
      EXPECT_EQ(wheel.error, "1 tooth late: 12.0° of its own, 18.0° crank");
    }
    if (wheel.kind != WheelKind::camshaft || wheel.teeth == 24) continue;
    EXPECT_EQ(wheel.error, "late with idler: 9.0° cam, 18.0° crank");
    EXPECT_NEAR(apart(mark_clock(wheel), *wheel.casting_mark), -9, 0.06);
  }
  for (const FigureStrand& strand : made.chains[1].strands)
    EXPECT_THAT(*strand.count, testing::AnyOf(39, 35));  // the idler takes its chain along
}

// Neither a second chain without coordinates nor a wheel that only a path names is lost.
TEST(Figure, AWheelThatOnlyAPathNamesIsDrawnInTheSchematicToo) {
  const auto loaded = load_drive_text(
      make_text_file(
          "b.drive.yaml",
          "tautmark: drive/1\nname: b\ncrankshaft: {rotation: clockwise, seen_from: front, "
          "sprockets: [{teeth: 20}]}\nchains:\n"
          "  - {name: main, pitch: 8 mm, links: 106, strands: [{from: crank, to: bank 1 / cam, "
          "links: 54}, {from: bank 1 / cam, to: crank, links: 52}]}\n"
          "  - {name: balance, pitch: 8 mm, links: 60, path: [{name: crank, kind: sprocket, x: "
          "0 mm, y: 0 mm}, {name: shaft, kind: sprocket, x: 0 mm, y: -150 mm, teeth: 19}]}\n"
          "banks: [{number: 1, camshafts: [{name: cam, chain: main, sprocket_teeth: 40}]}]\n"),
      {});
  ASSERT_TRUE(loaded);
  const auto made = figure_of(loaded->drive);
  ASSERT_TRUE(made);
  EXPECT_FALSE(made->to_scale);
  EXPECT_EQ(made->chains.size(), 2U);
  EXPECT_TRUE(std::any_of(made->wheels.begin(), made->wheels.end(), [](const FigureWheel& wheel) {
    return wheel.name == "shaft" && wheel.teeth == 19;
  }));
}

// The driven gear turns against its driver, and its teeth lie in the other's gaps.
TEST(Figure, GearsMeshAndTurnAgainstEachOther) {
  Drive drive;
  drive.gears = {{"crank", 32, "bank 1 / camshaft", 64, {}, {}}};
  for (const double crank : {0.0, 17.0, 200.0}) {
    const auto made = figure_of(drive, {.crank = crank_deg(crank)});
    ASSERT_TRUE(made);
    ASSERT_EQ(made->wheels.size(), 2U);
    const FigureWheel& a = made->wheels[0];
    const FigureWheel& b = made->wheels[1];
    EXPECT_NE(a.clockwise, b.clockwise);
    // At the pitch point, up from the crank: a's nearest tooth and b's nearest gap lie together.
    const double up =
        std::remainder(in_deg(-a.tooth_zero), kTurn / 32) * (kTurn / 64) / (kTurn / 32);
    const double gap = std::remainder(180 - in_deg(b.tooth_zero) - kTurn / 128, kTurn / 64);
    EXPECT_NEAR(std::remainder(up + gap, kTurn / 64), 0, 1e-6) << crank;
  }
}

TEST(Figure, HalfACrankTurnMovesTheChainByHalfTheTeethAndTheCamByAQuarter) {
  const Figure before = figure("wendlebrook-i4-8");
  const Figure after = figure("wendlebrook-i4-8", {.crank = crank_deg(180)});
  const auto cam = [](const Figure& f) {
    return std::find_if(f.wheels.begin(), f.wheels.end(),
                        [](const auto& w) { return w.kind == WheelKind::camshaft; });
  };
  EXPECT_NEAR(apart(mark_clock(*cam(after)), mark_clock(*cam(before))), 90, 1e-6);
  const auto& pins = before.chains[0].pins;
  const auto& moved = after.chains[0].pins;
  EXPECT_NEAR(in_mm(moved[0].x - pins[10].x), 0, 1e-6);
  EXPECT_NEAR(in_mm(moved[0].y - pins[10].y), 0, 1e-6);
}

// trade.md 6.A: extensions in place 6.0 and 9.5 mm, chains 0.059 % and 0.281 % longer, 0.6 mm
// groove in the arm of bank 2.
TEST(Figure, VessgarthTensionersStandOutAsFar) {
  FigureState state;
  state.wear["bank 1 chain"].elongation = Ratio::from_si(0.00059);
  state.wear["bank 2 chain"] = {Ratio::from_si(0.00281), {{"tensioner arm", mm(0.6)}}};
  const Figure made = figure("vessgarth-v6-12", state);
  ASSERT_EQ(made.tensioners.size(), 2U);
  EXPECT_NEAR(in_mm(*made.tensioners[0].extension), 6.0, 0.5);
  EXPECT_NEAR(in_mm(*made.tensioners[1].extension), 9.5, 0.5);
}

}  // namespace
}  // namespace tautmark
