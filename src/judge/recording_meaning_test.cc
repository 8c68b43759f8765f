// SPDX-License-Identifier: Apache-2.0
// Synthesised recordings (known truth) of the shipped drives: trade.md 6.A and 6.B, and everything
// that must keep a window open.
#include "judge/recording_meaning.h"

#include <gtest/gtest.h>

#include "judge/judge_test_support.h"
#include "recording/synthesise.h"

namespace tautmark {
namespace {

LoadedDrive shipped(const std::string& name) {
  return load_drive(name, {{std::string(TAUTMARK_SOURCE_DIR) + "/drives"}}).value();
}

// `off`: of every camshaft, advance positive.
Synthesis recorded(const LoadedDrive& drive, const std::vector<double>& off) {
  Synthesis in;
  in.seed = 11;
  in.crank_teeth = nominals_of(drive.drive).crank_wheel == "60-2" ? slotted_teeth(60, {58, 59})
                                                                  : slotted_teeth(36, {35});
  in.speed = {{5, 645, 655, 0.02, 3, 0.3}};
  in.sample_rate = 1e6;
  in.crank_jitter = 0.02;
  const Nominals nominals = nominals_of(drive.drive);
  for (std::size_t i = 0; i < nominals.cams.size(); ++i) {
    SynthCam cam;
    for (const NominalEdge& edge : nominals.cams[i].edges) cam.targets.push_back(edge.angle);
    cam.offset = off[i];
    cam.jitter = 0.05;
    in.cams.push_back(std::move(cam));
  }
  return in;
}

// Channel 1 is the crank, then the camshafts in the drive's order.
std::vector<ChannelHint> in_order(const LoadedDrive& drive) {
  std::vector<ChannelHint> hints;
  for (const NominalCam& cam : nominals_of(drive.drive).cams)
    hints.push_back({static_cast<int>(hints.size()) + 2, cam.cam});
  return hints;
}

RecordingMeaning meaning_with(const LoadedDrive& drive, const Synthesis& in,
                              std::span<const ChannelHint> hints,
                              PhasersAt phasers = PhasersAt::base) {
  const Nominals nominals = nominals_of(drive.drive, hints);
  const auto decoded = decode_by_drive(synthesise(in).value().trains, nominals);
  return meaning_of(drive, decoded.value(), nominals, phasers);
}
RecordingMeaning meaning(const LoadedDrive& drive, const Synthesis& in,
                         PhasersAt phasers = PhasersAt::base) {
  return meaning_with(drive, in, in_order(drive), phasers);
}

// trade.md 6.A: inside the window, and still a worn chain.
TEST(recording_meaning, bank_2_passes_its_window_and_names_elongation) {
  const LoadedDrive drive = shipped("vessgarth-v6-12");
  const RecordingMeaning means = meaning(drive, recorded(drive, {-0.5, -2.2}));
  ASSERT_TRUE(means.refused.empty()) << means.refused;
  ASSERT_EQ(means.cams.size(), 2u);
  EXPECT_EQ(means.cams[1].says, "2.2° late (crank), 1.1° cam: inside ± 3.0° of the definition");
  EXPECT_EQ(means.cams[1].verdict, Verdict::pass) << means.cams[1].open_because;
  EXPECT_TRUE(means.cams[1].open_because.empty());
  EXPECT_EQ(verdict_of(means), Verdict::pass);
  ASSERT_TRUE(means.hypotheses);
  EXPECT_EQ(means.hypotheses->answers.front().meaning, Meaning::elongation);
}

// trade.md 6.B.
TEST(recording_meaning, one_tooth_late_and_wear) {
  const LoadedDrive drive = shipped("quellmere-i4-16");
  const RecordingMeaning means = meaning(drive, recorded(drive, {-21.4, -1.8}));
  ASSERT_TRUE(means.refused.empty()) << means.refused;
  EXPECT_EQ(means.cams[0].verdict, Verdict::fail) << means.cams[0].open_because;
  EXPECT_EQ(means.cams[1].verdict, Verdict::pass) << means.cams[1].open_because;
  EXPECT_EQ(verdict_of(means), Verdict::fail);
  ASSERT_TRUE(means.hypotheses);
  EXPECT_EQ(means.hypotheses->answers.front().meaning, Meaning::jump_and_elongation);
  EXPECT_EQ(means.hypotheses->answers.front().jump, (std::vector<int>{-1, 0}));
}

TEST(recording_meaning, a_jump_is_never_passed_whatever_the_phasers) {
  const LoadedDrive drive = shipped("vessgarth-v6-12");
  for (const int teeth : {-2, -1, 1, 2})
    for (const PhasersAt phasers : {PhasersAt::base, PhasersAt::commanded, PhasersAt::unknown}) {
      const RecordingMeaning means =
          meaning(drive, recorded(drive, {0, teeth * 720 / 42.0}), phasers);
      for (const CamMeaning& cam : means.cams)
        EXPECT_TRUE(cam.cam == "bank 1 / camshaft" || cam.verdict != Verdict::pass) << teeth;
      EXPECT_NE(verdict_of(means), Verdict::pass);
    }
}

TEST(recording_meaning, phasers_that_nobody_saw_keep_it_open) {
  const LoadedDrive drive = shipped("quellmere-i4-16");
  const RecordingMeaning unknown =
      meaning(drive, recorded(drive, {-21.4, -1.8}), PhasersAt::unknown);
  // Its intake phaser locks at full retard: later than that it cannot make.
  EXPECT_EQ(unknown.cams[0].verdict, Verdict::fail);
  EXPECT_EQ(unknown.cams[1].verdict, Verdict::open);
  ASSERT_TRUE(unknown.hypotheses);

  const RecordingMeaning commanded = meaning(drive, recorded(drive, {0, 0}), PhasersAt::commanded);
  EXPECT_EQ(verdict_of(commanded), Verdict::open);
  EXPECT_FALSE(commanded.hypotheses);
}

TEST(recording_meaning, a_drive_that_names_no_phaser_may_have_left_it_out) {
  LoadedDrive drive = shipped("vessgarth-v6-12");
  for (Bank& bank : drive.drive.banks) bank.camshafts[0].phaser.reset();
  const Synthesis in = recorded(drive, {0, 0});
  const RecordingMeaning unknown = meaning(drive, in, PhasersAt::unknown);
  EXPECT_EQ(verdict_of(unknown), Verdict::open);
  EXPECT_NE(unknown.cams[0].open_because.find("or that it has none"), std::string::npos);
  EXPECT_EQ(verdict_of(meaning(drive, in)), Verdict::pass);
}

TEST(recording_meaning, few_cycles_unrest_and_contradictions_keep_it_open) {
  const LoadedDrive drive = shipped("vessgarth-v6-12");
  Synthesis brief = recorded(drive, {0, 0});
  brief.speed[0].duration = 1.1;
  EXPECT_NE(meaning(drive, brief).cams[0].open_because.find("cycles"), std::string::npos);

  Synthesis restless = recorded(drive, {0, 0});
  restless.cams[1].hunting = 2.5;
  const RecordingMeaning unsteady = meaning(drive, restless);
  EXPECT_EQ(unsteady.cams[1].verdict, Verdict::open);
  EXPECT_NE(unsteady.cams[1].open_because.find("hold still"), std::string::npos);
  EXPECT_EQ(unsteady.cams[0].verdict, Verdict::pass);

  Synthesis other = recorded(drive, {0, 0});
  other.crank_teeth = slotted_teeth(60, {58, 59});
  const RecordingMeaning wheel = meaning(drive, other);
  EXPECT_EQ(verdict_of(wheel), Verdict::open);
  ASSERT_FALSE(wheel.contradictions.empty() && wheel.refused.empty());
  EXPECT_FALSE(wheel.hypotheses);
}

// 24 even teeth repeat every 15 degrees: one tooth late on every cam, 17.1, would look like 2.1.
TEST(recording_meaning, a_wheel_without_a_gap_never_passes) {
  LoadedDrive drive = shipped("vessgarth-v6-12");
  drive.drive.crankshaft->sensor->wheel = "24";
  for (const double late : {0.0, 720 / 42.0}) {
    Synthesis in = recorded(drive, {-late, -late});
    in.crank_teeth = slotted_teeth(24, {});
    const RecordingMeaning means = meaning(drive, in);
    ASSERT_TRUE(means.refused.empty()) << means.refused;
    EXPECT_NE(verdict_of(means), Verdict::pass);
    for (const CamMeaning& cam : means.cams) EXPECT_EQ(cam.verdict, Verdict::open) << cam.says;
  }
}

TEST(recording_meaning, an_inverted_channel_is_thought_of) {
  const LoadedDrive drive = shipped("vessgarth-v6-12");
  Synthesis in = recorded(drive, {0, 0});
  auto made = synthesise(in).value();
  for (auto& edge : made.trains.channels[2].edges)
    edge.polarity = static_cast<std::int8_t>(-edge.polarity);
  const Nominals nominals = nominals_of(drive.drive, in_order(drive));
  const RecordingMeaning means =
      meaning_of(drive, decode_by_drive(made.trains, nominals).value(), nominals, PhasersAt::base);
  EXPECT_EQ(means.cams[1].verdict, Verdict::fail);
  const std::string last = means.notes.empty() ? "" : means.notes.front();
  EXPECT_NE(last.find("if channel 3 is inverted, bank 2 / camshaft would be on time"),
            std::string::npos)
      << last;
}

TEST(recording_meaning, a_window_without_document_or_unconfirmed_cannot_pass) {
  LoadedDrive drive = shipped("vessgarth-v6-12");
  const Synthesis in = recorded(drive, {0, 0});
  drive.drive.source.reset();
  EXPECT_EQ(verdict_of(meaning(drive, in)), Verdict::open);
  drive = shipped("vessgarth-v6-12");
  drive.unconfirmed.emplace(std::string(topic::kSensorEdges), "banks");
  EXPECT_EQ(verdict_of(meaning(drive, in)), Verdict::open);
  drive = shipped("vessgarth-v6-12");
  drive.drive.banks[0].camshafts[0].sensor->window.reset();
  EXPECT_EQ(verdict_of(meaning(drive, in)), Verdict::open);
}

// The wheels of the two banks are one wheel turned by a crank turn, which the crank cannot tell.
TEST(recording_meaning, channels_asked_for_and_channels_that_cannot_be_told) {
  const LoadedDrive drive = shipped("vessgarth-v6-12");
  const Synthesis in = recorded(drive, {0, -0.5});
  const RecordingMeaning refused = meaning_with(drive, in, {});
  EXPECT_NE(refused.refused.find("Say it for one of them"), std::string::npos) << refused.refused;
  EXPECT_EQ(verdict_of(refused), Verdict::open);
  const std::vector<ChannelHint> one = {{2, "bank 1 / camshaft"}};
  const RecordingMeaning told = meaning_with(drive, in, one);
  EXPECT_TRUE(told.refused.empty()) << told.refused;
  EXPECT_EQ(verdict_of(told), Verdict::pass);
  const std::vector<ChannelHint> none = {{2, "bank 1 / camshaft"}, {9, "bank 2 / camshaft"}};
  const RecordingMeaning missing = meaning_with(drive, in, none);
  EXPECT_EQ(verdict_of(missing), Verdict::open);
  ASSERT_EQ(missing.cams.size(), 2u) << missing.refused;
  EXPECT_NE(missing.cams[1].open_because.find("channel 9"), std::string::npos);
}

TEST(recording_meaning, without_edges_in_the_drive_only_the_cams_are_compared) {
  LoadedDrive drive = shipped("vessgarth-v6-12");
  const Synthesis in = recorded(drive, {-1.0, -3.4});  // the banks' wheels are a crank turn apart
  for (Bank& bank : drive.drive.banks) bank.camshafts[0].sensor.reset();
  const RecordingMeaning means = meaning(drive, in);
  EXPECT_NE(means.refused.find("an error equal on both is invisible"), std::string::npos);
  EXPECT_EQ(verdict_of(means), Verdict::open);
  EXPECT_FALSE(means.hypotheses);
  ASSERT_EQ(means.notes.size(), 1u);
  // 362.4 after is 357.6 before.
  EXPECT_NE(
      means.notes[0].find("channel 3 come 357.6° (crank), 178.8° cam before those of channel 2"),
      std::string::npos)
      << means.notes[0];
}

TEST(recording_meaning, wrong_hints_are_said) {
  const Drive drive = shipped("vessgarth-v6-12").drive;
  const auto wrong = [&](std::vector<ChannelHint> hints) { return wrong_hints(drive, hints); };
  EXPECT_EQ(wrong({{1, "crank"}, {2, "bank 1 / camshaft"}, {4, "not used"}}), "");
  EXPECT_NE(wrong({{2, "bank 3 / camshaft"}}).find("there are: crank, bank 1"), std::string::npos);
  EXPECT_NE(wrong({{2, "crank"}, {2, "not used"}}), "");
  EXPECT_NE(wrong({{2, "crank"}, {3, "crank"}}), "");
}

}  // namespace
}  // namespace tautmark
