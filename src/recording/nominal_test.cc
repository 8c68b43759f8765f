// SPDX-License-Identifier: Apache-2.0
// Recordings with known truth (synthesise.h) against the edges of an engine that is right.
#include "recording/nominal.h"

#include <gtest/gtest.h>

#include <cmath>

#include "recording/synthesise.h"

namespace tautmark {
namespace {

// Two banks with four even teeth and one more, whose place tells the turns of the cycle apart.
Synthesis two_banks() {
  Synthesis in;
  in.seed = 7;
  in.crank_teeth = slotted_teeth(36, {35});
  in.speed = {{6, 240, 240, 0.05, 3, 0.3}};
  in.sample_rate = 1e6;
  in.crank_jitter = 0.02;
  in.cams.resize(2);
  in.cams[0].targets = {52, 97, 232, 412, 592};
  in.cams[1].targets = {52, 232, 412, 457, 592};
  for (SynthCam& cam : in.cams) {
    cam.jitter = 0.05;
    cam.teeth = 42;
  }
  return in;
}

Nominals nominals_of(const Synthesis& in, bool all_edges = true) {
  Nominals out;
  out.crank_polarity = 1;
  out.crank_wheel = "36-1";
  for (std::size_t i = 0; i < in.cams.size(); ++i) {
    NominalCam cam{"bank " + std::to_string(i + 1), static_cast<int>(i) + 2, {}};
    for (const double target : in.cams[i].targets)
      if (all_edges || cam.edges.empty()) cam.edges.push_back({target, 1});
    out.cams.push_back(std::move(cam));
  }
  return out;
}

Decoded decoded_of(const Synthesis& in, const Nominals& nominals) {
  return decode_recording(synthesise(in).value().trains, decode_options(nominals)).value();
}

TEST(nominal, an_engine_that_is_right) {
  const Synthesis in = two_banks();
  const Nominals nominals = nominals_of(in);
  const auto found = against_nominals(decoded_of(in, nominals), nominals);
  ASSERT_TRUE(found) << found.error().why;
  ASSERT_EQ(found->cams.size(), 2u);
  EXPECT_TRUE(found->contradictions.empty());
  for (const CamAgainstNominal& cam : found->cams) {
    EXPECT_NEAR(cam.phase, 0, 0.1) << cam.cam;
    EXPECT_GE(cam.cycles, 8);
    EXPECT_NEAR(cam.first_edge, 52, 0.1) << cam.cam;
  }
}

TEST(nominal, every_whole_tooth_both_ways_on_one_bank) {
  for (int teeth = -3; teeth <= 3; ++teeth) {
    Synthesis in = two_banks();
    in.cams[1].jumps = {{0, teeth}};
    in.cams[0].elongation = 0.5;
    const Nominals nominals = nominals_of(in);
    const auto found = against_nominals(decoded_of(in, nominals), nominals);
    ASSERT_TRUE(found) << found.error().why;
    EXPECT_NEAR(found->cams[0].phase, -0.5, 0.1);
    EXPECT_NEAR(found->cams[1].phase, teeth * 720.0 / 42, 0.1) << teeth;
  }
}

TEST(nominal, one_named_edge_is_the_nearest_tooth_and_says_what_else_it_could_be) {
  Synthesis in = two_banks();
  in.cams[0].targets = {52, 97, 300};
  in.cams[1].targets = {132, 372, 552};
  in.cams[0].jumps = {{0, -1}};
  Nominals nominals = nominals_of(in, false);
  nominals.cams[1].edges = {{132, 1}, {372, 1}, {552, 1}};  // tells the turns apart
  const auto found = against_nominals(decoded_of(in, nominals), nominals);
  ASSERT_TRUE(found) << found.error().why;
  EXPECT_NEAR(found->cams[0].phase, -720.0 / 42, 0.1);
  EXPECT_NEAR(found->cams[0].other_places, -720.0 / 42 - 45, 0.1);  // the next tooth, 45 later
}

TEST(nominal, channels_are_found_by_their_edges_or_asked_for) {
  Synthesis in = two_banks();
  Nominals nominals = nominals_of(in);
  nominals.cams[0].channel = nominals.cams[1].channel = 0;
  // One turn on, bank 1's wheel looks like bank 2's: the cycle has no name of its own.
  const auto asked = against_nominals(decoded_of(in, nominals), nominals);
  ASSERT_FALSE(asked);
  EXPECT_NE(asked.error().why.find("cannot be told"), std::string::npos) << asked.error().why;

  in.cams[1].targets = {132, 372, 552};
  nominals = nominals_of(in);
  nominals.cams[0].channel = nominals.cams[1].channel = 0;
  std::swap(nominals.cams[0], nominals.cams[1]);
  const auto found = against_nominals(decoded_of(in, nominals), nominals);
  ASSERT_TRUE(found) << found.error().why;
  EXPECT_EQ(found->cams[0].cam, "bank 2");
  EXPECT_EQ(found->cams[0].channel, 3);
  EXPECT_EQ(found->notes.size(), 1u);
}

// Degrees from cycle to cycle are no reason to take an uneven wheel for a coil.
TEST(nominal, an_unstable_cam_is_still_a_cam) {
  Synthesis in = two_banks();
  in.speed = {{10, 650, 650, 0.03, 3, 0.3}};
  in.cams[1].hunting = 6;
  in.cams[1].hunting_frequency = 2.3;
  in.cams[1].chatter = 4;
  in.cams[1].chatter_chance = 0.5;
  const Nominals nominals = nominals_of(in);
  for (const bool told : {true, false}) {
    DecodeOptions options = decode_options(nominals);
    if (!told) options.cam_channels.clear();
    const auto decoded = decode_recording(synthesise(in).value().trains, options);
    ASSERT_TRUE(decoded);
    const auto found = against_nominals(*decoded, nominals);
    ASSERT_TRUE(found) << found.error().why;
    ASSERT_EQ(found->cams.size(), 2u) << told;
    EXPECT_GT(found->cams[1].jitter, 3) << told;
  }
}

bool contradicts(const AgainstNominals& found, std::string_view words) {
  for (const std::string& contradiction : found.contradictions)
    if (contradiction.find(words) != std::string::npos) return true;
  return false;
}

TEST(nominal, another_wheel_contradicts_though_its_mean_is_right) {
  Synthesis in = two_banks();
  const Nominals nominals = nominals_of(in);
  in.cams[0].targets = {62, 97, 232, 402, 592};
  auto found = against_nominals(decoded_of(in, nominals), nominals);
  ASSERT_TRUE(found);
  EXPECT_TRUE(contradicts(*found, "lies 10.0° later"));
  in.cams[0].targets = {52, 97, 160, 232, 412, 592};
  found = against_nominals(decoded_of(in, nominals), nominals);
  ASSERT_TRUE(found);
  EXPECT_TRUE(contradicts(*found, "5 rising edges a cycle in the definition, 6"));
}

TEST(nominal, an_inverted_crank_signal_contradicts) {
  Synthesis in = two_banks();
  in.crank_width = 5;
  Nominals nominals = nominals_of(in);
  nominals.crank_gap = -1;
  Decoded decoded = decoded_of(in, nominals);
  EXPECT_EQ(decoded.crank.gap_level, -1);
  EXPECT_TRUE(against_nominals(decoded, nominals)->contradictions.empty());
  in.faults.inverted = true;
  decoded = decoded_of(in, nominals);
  EXPECT_EQ(decoded.crank.gap_level, 1);
  EXPECT_TRUE(contradicts(*against_nominals(decoded, nominals), "inverted"));
}

TEST(nominal, after_a_jump_inside_the_recording_the_state_after_it_counts) {
  Synthesis in = two_banks();
  in.speed = {{10, 650, 650, 0.03, 3, 0.3}};
  in.cams[1].jumps = {{5, -1}};
  const Nominals nominals = nominals_of(in);
  const auto found = against_nominals(decoded_of(in, nominals), nominals);
  ASSERT_TRUE(found);
  EXPECT_NEAR(found->cams[1].phase, -720.0 / 42, 0.2);
  EXPECT_NEAR(found->cams[1].change, -720.0 / 42, 0.2);
  EXPECT_NEAR(found->cams[1].change_time, 5, 0.3);
  EXPECT_EQ(found->cams[0].change, 0);
}

TEST(nominal, what_does_not_belong_is_said) {
  const Synthesis in = two_banks();
  Nominals nominals = nominals_of(in);
  nominals.crank_wheel = "60-2";
  nominals.cams[1].channel = 9;
  const auto found = against_nominals(decoded_of(in, nominals), nominals);
  ASSERT_TRUE(found) << found.error().why;
  EXPECT_EQ(found->cams.size(), 1u);
  EXPECT_EQ(found->missing, std::vector<std::string>{"bank 2"});
  EXPECT_EQ(found->contradictions.size(), 1u);
  nominals.cams[0].edges.assign(9, NominalEdge{10, 1});
  EXPECT_FALSE(against_nominals(decoded_of(in, nominals), nominals));
}

}  // namespace
}  // namespace tautmark
