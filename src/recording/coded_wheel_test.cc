// SPDX-License-Identifier: Apache-2.0
// Wide and narrow teeth: trains written down here, their zero worked out by hand.
#include "recording/coded_wheel.h"

#include <gtest/gtest.h>

#include <cmath>

#include "recording/cam_phase.h"
#include "recording/decode.h"
#include "recording/synthesise.h"

namespace tautmark {
namespace {

// 12 teeth, 30 degrees apart: W n n W W n W n n n W n (tooth 0 to 11), 20 and 10 degrees wide.
// The zero comes after a run of wide teeth that, read backwards, is largest. Runs of W: tooth 0;
// 3, 4; 6; 10. The longest ends at tooth 4, so the zero is tooth 5, at 150 degrees, and the code
// from there is n W n n n W n W n n W W.
constexpr const char* kTwelve = "WnnWWnWnnnWn";
constexpr const char* kFromItsZero = "nWnnnWnWnnWW";

Synthesis twelve(double offset) {
  Synthesis in;
  in.seed = 3;
  in.crank_teeth = slotted_teeth(12, {});
  for (const char* c = kTwelve; *c != 0; ++c) in.crank_widths.push_back(*c == 'W' ? 20 : 10);
  in.speed = {{4, 700, 760, 0.05, 2, 0}};
  in.cams.resize(1);
  in.cams[0].targets = {170, 400, 480};
  in.cams[0].offset = offset;
  return in;
}

std::string text(const std::vector<bool>& wide) {
  std::string code;
  for (const bool w : wide) code += w ? 'W' : 'n';
  return code;
}

TEST(CodedWheel, CodeAndZeroByHand) {
  // Even speed, no generator: tooth k of turn n rises at 30 (12 n + k) ms, falls 20 or 10 later.
  SignalTrain train;
  for (int n = 0; n < 5; ++n) {
    for (int k = 0; k < 12; ++k) {
      const double rise = 0.030 * (12 * n + k);
      train.edges.push_back({rise, 1});
      train.edges.push_back({rise + (kTwelve[k] == 'W' ? 0.020 : 0.010), -1});
    }
  }
  const auto code = find_coded_teeth(train, 0);
  ASSERT_TRUE(code);
  EXPECT_EQ(code->polarity, 1);
  EXPECT_EQ(text(code->wide), kFromItsZero);
  EXPECT_NEAR(code->wide_part, 20.0 / 30, 1e-9);
  EXPECT_NEAR(code->narrow_part, 10.0 / 30, 1e-9);
  EXPECT_FALSE(find_coded_teeth(train, -1));  // the other polarity is not even
  // The falling edge leads: the same wheel, recorded upside down.
  for (SignalEdge& edge : train.edges) edge.polarity = static_cast<std::int8_t>(-edge.polarity);
  ASSERT_TRUE(find_coded_teeth(train, 0));
  EXPECT_EQ(find_coded_teeth(train, 0)->polarity, -1);
}

TEST(CodedWheel, TheZeroComesFromTheWidthsNotFromACam) {
  for (const double offset : {0.0, -40.0, 33.0}) {  // whatever the cam does
    const auto decoded = decode_recording(synthesise(twelve(offset))->trains);
    ASSERT_TRUE(decoded) << decoded.error().why;
    const Wheel& wheel = decoded->crank.wheel;
    EXPECT_EQ(wheel.name, "12 teeth, wide and narrow");
    EXPECT_EQ(wheel.symmetry, 1);
    ASSERT_EQ(wheel.widths.size(), 12u);
    for (std::size_t tooth = 0; tooth < 12; ++tooth)
      EXPECT_NEAR(wheel.widths[tooth], kFromItsZero[tooth] == 'W' ? 20 : 10, 0.5);
    EXPECT_TRUE(decoded->cycle_resolved);
    ASSERT_EQ(decoded->cams.size(), 2u);
    const CamPhase phase = cam_phase(*decoded, decoded->cams.front()).value();
    // Targets 170, 400, 480 stand 20, 250 and 330 behind the zero at 150.
    std::vector<double> found, expected;
    for (const PlaceSummary& place : phase.places)
      found.push_back(std::fmod(place.angle + 720, 360));
    for (const double target : {170.0, 400.0, 480.0})
      expected.push_back(std::fmod(target - 150 - offset + 720, 360));
    std::sort(found.begin(), found.end());
    std::sort(expected.begin(), expected.end());
    for (std::size_t i = 0; i < 3; ++i) EXPECT_NEAR(found[i], expected[i], 0.1) << offset;
  }
}

// A turn is known without any cam; lost and extra edges are borne.
TEST(CodedWheel, AloneAndWithLostEdges) {
  Synthesis in = twelve(0);
  in.cams.clear();
  in.faults.dropped = in.faults.extra = 0.01;
  in.crank_jitter = 0.2;
  const auto decoded = decode_recording(synthesise(in)->trains);
  ASSERT_TRUE(decoded) << decoded.error().why;
  EXPECT_EQ(decoded->crank.wheel.name, "12 teeth, wide and narrow");
  EXPECT_FALSE(decoded->cycle_resolved);
  const SpeedProfile profile(in.speed);
  int wrong = 0, knots = 0;
  for (const Knots& piece : decoded->crank.pieces) {
    for (std::size_t i = 0; i < piece.time.size(); ++i, ++knots)
      wrong += std::abs(wrapped(piece.angle[i] - profile.angle_at(piece.time[i]) + 150, 360)) > 2;
  }
  EXPECT_GT(knots, 500);
  EXPECT_LT(wrong, 0.02 * knots);
}

TEST(CodedWheel, NoCodeIsInvented) {
  for (const auto& teeth : {slotted_teeth(24, {}), slotted_teeth(36, {35}), {0, 70, 180, 250}}) {
    Synthesis in;
    in.crank_teeth = teeth;
    in.crank_jitter = 0.3;
    in.speed = {{4, 230, 900, 0.1, 2, 0}};
    EXPECT_FALSE(find_coded_teeth(synthesise(in)->trains.channels[0], 0)) << teeth.size();
  }
}

}  // namespace
}  // namespace tautmark
