// SPDX-License-Identifier: Apache-2.0
// Synthesis files: what is read, what is refused and where, and that every format gives back what
// was put in.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "recording/decode.h"
#include "recording/read.h"
#include "recording/synthesis_file.h"
#include "recording/synthesis_verdict.h"

namespace tautmark {
namespace {

std::string spec(const std::string& crank, const std::string& cam, const std::string& rest = {}) {
  return fmt::format(
      "tautmark: synthesis/1\n"
      "crank: {{wheel: 60-2{}}}\n"
      "speed: [{{time: 3 s, from: 700 1/min, to: 760 1/min, ripple: 3 %}}]\n"
      "cams: [{{name: intake, targets: [57.3 deg crank, 240.5 deg crank, 310.2 deg crank],\n"
      "  widths: [20 deg crank, 35 deg crank, 50 deg crank], sprocket_teeth: 38{}}}]\n{}",
      crank, cam, rest);
}

Parsed<SynthesisPlan> read(const std::string& text, const std::string& to = "a.csv") {
  return read_synthesis(make_text_file("a.yaml", text), to);
}

std::string mistakes(const std::string& text, const std::string& to = "a.csv") {
  const auto plan = read(text, to);
  return plan ? std::string() : diagnostics_text(plan.error());
}

TEST(SynthesisFile, WheelsByNameAndByAngle) {
  const auto teeth = [](std::string_view text) { return read_wheel(text)->angles; };
  EXPECT_EQ(teeth("60-2"), slotted_teeth(60, {58, 59}));
  EXPECT_EQ(teeth("36-1"), slotted_teeth(36, {35}));
  EXPECT_EQ(teeth("36-2-1"), slotted_teeth(36, {17, 34, 35}));
  EXPECT_EQ(teeth("36-2-2-2"), slotted_teeth(36, {10, 11, 22, 23, 34, 35}));
  EXPECT_EQ(teeth("24"), slotted_teeth(24, {}));
  EXPECT_EQ(teeth("36+1").back(), 355);
  const std::vector<double> listed = teeth("0 deg crank; 70 deg crank; 180 deg crank");
  ASSERT_EQ(listed.size(), 3u);
  EXPECT_NEAR(listed[1], 70, 1e-12);
  for (const char* text : {"", "60-", "60-60", "0", "sixty", "36-2-2-2-2-2", "36+2", "9999", "-2"})
    EXPECT_FALSE(read_wheel(text)) << text;
}

TEST(SynthesisFile, MistakesAreAtTheirPlace) {
  EXPECT_EQ(mistakes(spec("", "")), "");
  EXPECT_NE(mistakes(spec(", jiter: 1 deg crank", "")).find("a.yaml:2:22"), std::string::npos);
  EXPECT_NE(mistakes(spec(", jiter: 1 deg crank", "")).find("did you mean \"jitter\""),
            std::string::npos);
  const auto says = [](const std::string& text, const char* words, const char* to = "a.csv") {
    EXPECT_NE(mistakes(text, to).find(words), std::string::npos) << words << "\n"
                                                                 << mistakes(text, to);
  };
  says(spec(", dead_teeth: [59]", ""), "no tooth 59");
  says(spec(", signal: inductive", ""), "needs a sample_rate");
  says(spec(", signal: inductive", ""), "holds edges only", "a.vcd");
  says(spec(", hall: {low: 1 V}", ""), "levels of a hall sensor");
  says(spec("", ", slip: {angle: 3 deg cam, way: late}"), "cam");
  says(spec("", ", jumps: [{teeth: 1, way: sideways}]"), "sideways");
  says(spec("",
            ", phaser: {commands: [{time: 2 s, angle: 5 deg crank}, {time: 1 s, angle: 0 deg "
            "crank}]}"),
       "order of time");
  says("tautmark: drive/1\n", "is not a synthesis file");
  says(spec("", "", "speedd: 3\n"), "did you mean \"speed\"");
}

// Every true edge is found in what was written, within the sampling.
void expect_edges(const std::string& text, const std::string& to, double tolerance) {
  const auto plan = read(text, to);
  ASSERT_TRUE(plan) << mistakes(text, to);
  const auto made = make_recording(*plan);
  ASSERT_TRUE(made) << made.error().why;
  const auto trains = read_recording_bytes(to, made->bytes);
  ASSERT_TRUE(trains) << diagnostics_text(trains.error());
  ASSERT_EQ(trains->channels.size(), plan->names.size());
  for (std::size_t c = 0; c < trains->channels.size(); ++c) {
    const bool coil = plan->signals[c].kind == SensorSignal::inductive;
    std::size_t compared = 0, near = 0;
    for (const TrueEdge& edge : made->made.truth.edges[c]) {
      // A coil's wave falls through zero at the tooth; its adaptive threshold needs a start.
      if (coil && (edge.polarity < 0 || edge.time < 0.5)) continue;
      const std::vector<SignalEdge>& edges = trains->channels[c].edges;
      auto found = std::lower_bound(edges.begin(), edges.end(), edge.time - tolerance,
                                    [](const SignalEdge& e, double time) { return e.time < time; });
      while (found != edges.end() && found->polarity != (coil ? -1 : edge.polarity)) ++found;
      ++compared;
      near += found != edges.end() && found->time <= edge.time + tolerance ? 1 : 0;
    }
    EXPECT_GT(compared, 50u) << to << c;
    // The first and the last edge of a record may have no sample before or after.
    EXPECT_GE(near + 2, compared) << to << " channel " << c + 1;
  }
  const auto decoded = decode_recording(*trains);
  ASSERT_TRUE(decoded) << decoded.error().why;
  EXPECT_EQ(decoded->crank.wheel.name, "60-2");
  EXPECT_EQ(decoded->crank.channel, 1);
  EXPECT_TRUE(decoded->cycle_resolved);
}

TEST(SynthesisFile, EveryFormatGivesTheEdgesBack) {
  const std::string jitter = ", jitter: 0.02 deg crank";
  expect_edges(spec(jitter, jitter), "a.csv", 1e-9);
  expect_edges(spec(jitter, jitter), "a.vcd", 1e-9);
  const std::string coarse = "output: {sample_rate: 1 MHz}\n";
  expect_edges(spec(jitter, jitter, coarse), "a.csv", 1.001e-6);
  expect_edges(spec(jitter, jitter, coarse), "a.vcd", 1.001e-6);
  const std::string sampled = "output: {format: sampled csv, sample_rate: 50 kHz}\n";
  expect_edges(spec(jitter, jitter, sampled), "a.csv", 1.01e-5);  // half a sample
  expect_edges(spec(jitter, jitter, "output: {sample_rate: 50 kHz}\n"), "a.wav", 1.01e-5);
  // Flanks of two samples give the crossing between samples, 16 bits or 10 µV apart.
  const std::string hall = ", signal: hall, hall: {rise_time: 100 us}";
  expect_edges(spec(hall, hall, sampled), "a.csv", 1e-6);
  expect_edges(spec(hall, hall, "output: {sample_rate: 50 kHz}\n"), "a.wav", 1e-6);
  const std::string coil = ", signal: inductive, inductive: {noise: 1 mV}";
  expect_edges(spec(coil, hall, sampled), "a.csv", 1e-5);
  expect_edges(spec(coil, hall, "output: {sample_rate: 50 kHz}\n"), "a.wav", 1e-5);
}

TEST(SynthesisFile, TheSeedAloneChoosesTheChances) {
  const std::string text = spec(", jitter: 0.05 deg crank", "", "faults: {dropped: 1 %}\n");
  auto plan = read(text);
  ASSERT_TRUE(plan);
  const std::string first = make_recording(*plan)->bytes;
  EXPECT_EQ(make_recording(*read(text))->bytes, first);
  plan->engine.seed = 2;
  EXPECT_NE(make_recording(*plan)->bytes, first);
  EXPECT_TRUE(first.starts_with("# synthesised, invented, not a real engine"));
}

TEST(SynthesisFile, ExpectedVerdict) {
  const auto verdict = [](const std::string& crank, const std::string& cam) {
    return expected_verdict(read(spec(crank, cam)).value());
  };
  EXPECT_EQ(verdict("", "").meaning, "right");
  const ExpectedVerdict late = verdict("", ", jumps: [{teeth: 1, way: late}]");
  EXPECT_EQ(late.meaning, "jump");
  ASSERT_EQ(late.faults.size(), 1u);
  EXPECT_EQ(late.faults[0].teeth, -1);
  EXPECT_EQ(late.says, "intake 1 tooth late: 18.9° late (crank), 9.5° cam");  // 720/38
  EXPECT_EQ(verdict("", ", elongation: 2 deg crank").meaning, "elongation");
  EXPECT_EQ(verdict("", ", elongation: 2 deg crank, jumps: [{teeth: 2, way: early}]").meaning,
            "jump and elongation");
  EXPECT_EQ(verdict("", ", slip: {angle: 5 deg crank, way: early}").meaning, "slipped");
  EXPECT_EQ(verdict(", slip: {angle: 5 deg crank, way: early}", "").meaning, "crank reference");
  EXPECT_EQ(verdict("", ", hunting: {amplitude: 2 deg crank, frequency: 1 Hz}").meaning, "phaser");
  EXPECT_EQ(verdict(", dead_teeth: [3]", "").meaning, "sensor");
  EXPECT_EQ(
      verdict(", slip: {angle: 5 deg crank, way: early}", ", elongation: 2 deg crank").meaning,
      "several");
  // A jump after the end did not happen.
  EXPECT_EQ(verdict("", ", jumps: [{time: 7 s, teeth: 1, way: late}]").meaning, "right");
}

// Run down, stand, rock back by 20 degrees, start again: teeth passed twice more, in order.
TEST(SynthesisFile, StopRockBackAndRestart) {
  const std::string text =
      "tautmark: synthesis/1\ncrank: {wheel: 36-1}\nspeed:\n"
      "  - {time: 2.001 s, from: 600 1/min}\n"
      "  - {time: 0.5 s, from: 600 1/min, to: 0 1/min}\n"
      "  - {time: 0.3 s, from: 0 1/min, swing_back: 20 deg crank}\n"
      "  - {time: 1 s, from: 0 1/min}\n"
      "  - {time: 1 s, from: 0 1/min, to: 600 1/min}\n";
  const auto plan = read(text);
  ASSERT_TRUE(plan) << mistakes(text);
  const SpeedProfile profile(plan->engine.speed);
  // 10 turns a second for 2.001 s, then half that on average for 0.5 s and for 1 s.
  EXPECT_NEAR(profile.last_angle(), 3600 * 2.001 + 1800 * 0.5 + 1800, 1e-6);
  const double stand = 3600 * 2.001 + 1800 * 0.5;
  EXPECT_NEAR(profile.angle_at(2.501 + 0.15), stand - 20, 1e-7);  // furthest back in the middle
  EXPECT_NEAR(profile.angle_at(3.5), stand, 1e-7);
  EXPECT_NEAR(profile.per_minute_at_time(2.576),
              (profile.angle_at(2.5761) - profile.angle_at(2.5759)) / 0.0002 / 6, 1e-3);
  const auto made = make_recording(*plan).value().made;
  const std::vector<TrueEdge>& edges = made.truth.edges[0];
  int backwards = 0;
  for (std::size_t i = 0; i < edges.size(); ++i) {
    EXPECT_NEAR(profile.angle_at(edges[i].time), edges[i].angle, 1e-5) << edges[i].time;
    if (i > 0) {
      EXPECT_GE(edges[i].time, edges[i - 1].time);
      EXPECT_NE(edges[i].polarity, edges[i - 1].polarity) << edges[i].time;
    }
    if (edges[i].time > 2.501 && edges[i].time < 2.651) ++backwards;
  }
  // Edges every 5 degrees, it stands at 8103.6: back over 8100, 8095, 8090, 8085.
  EXPECT_EQ(backwards, 4);
}

}  // namespace
}  // namespace tautmark
