// SPDX-License-Identifier: Apache-2.0
// Recordings in cases: the recording parts of trade.md 6.A and 6.B and its questions 4 to 6, from
// cursor readings and from files with known truth.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <map>

#include "base/hash.h"
#include "judge/judge_test_support.h"
#include "recording/synthesise.h"

namespace tautmark {
namespace {

struct JudgedCase {
  test::TempFolder folder;
  void write(const std::string& name, const std::string& text) { folder.write(name, text); }
  Judgement judged(const std::string& drive, const std::string& entries) {
    const auto loaded =
        load_case(folder.write("case.yaml", "tautmark: case/1\nname: test\ndrive: " + drive +
                                                "\nentries:\n" + entries),
                  {{std::string(TAUTMARK_SOURCE_DIR) + "/drives"}});
    EXPECT_TRUE(loaded) << (loaded ? "" : diagnostics_text(loaded.error()));
    if (!loaded) return {};
    return judge(*loaded, {{"cam-timing", "timing-meaning", "phase-stability", "no-codes"}})
        .value();
  }
};

Judgement judged(const std::string& drive, const std::string& entries) {
  return JudgedCase{}.judged(drive, entries);
}

const Finding* found(const Judgement& judgement, std::string_view check, std::string_view subject) {
  for (const Finding& finding : judgement.findings)
    if (finding.check == check && finding.subject.find(subject) != std::string::npos)
      return &finding;
  return nullptr;
}

bool says(const Finding& finding, std::string_view words) {
  std::string all = finding.why;
  for (const auto* list : {&finding.next, &finding.follows, &finding.cautions, &finding.budget})
    for (const std::string& line : *list) all += "\n" + line;
  return all.find(words) != std::string::npos;
}

std::string quellmere(const std::string& intake, const std::string& exhaust,
                      const std::string& more = ", phasers: base") {
  return fmt::format(
      "  - {{kind: recording, id: e1, engine: cranking{}, edges: [{{cam: bank 1 / intake camshaft, "
      "values: {} deg crank}}, {{cam: bank 1 / exhaust camshaft, values: {} deg crank}}]}}\n",
      more, intake, exhaust);
}
constexpr const char* kIntake = "117.3 117.5 117.2 117.6 117.4";
constexpr const char* kExhaust = "133.7 133.9 133.8 133.6 134.0";

// trade.md 6.B, question 4.
TEST(recordings, one_tooth_late_and_wear) {
  const Judgement judgement = judged("quellmere-i4-16", quellmere(kIntake, kExhaust));
  const Finding* intake = found(judgement, "cam-timing", "intake");
  const Finding* exhaust = found(judgement, "cam-timing", "exhaust");
  const Finding* meaning = found(judgement, "timing-meaning", "");
  ASSERT_TRUE(intake && exhaust && meaning);
  EXPECT_EQ(intake->verdict, Verdict::fail);
  EXPECT_TRUE(says(*intake, "21.4° late (crank)")) << intake->why;
  EXPECT_EQ(exhaust->verdict, Verdict::pass) << exhaust->why;
  EXPECT_TRUE(says(*exhaust, "1.8° late (crank)")) << exhaust->why;
  EXPECT_EQ(meaning->verdict, Verdict::fail);
  EXPECT_TRUE(says(*meaning, "intake camshaft 1 tooth late and elongation")) << meaning->why;
  EXPECT_TRUE(says(*meaning, "2.4° late (crank)")) << meaning->why;
  EXPECT_TRUE(says(*meaning, "count the links")) << meaning->why;
}

// No position of an intake phaser that locks at full retard makes it later still.
TEST(recordings, later_than_the_phaser_can_make_it_fails_without_its_state) {
  const Judgement judgement = judged("quellmere-i4-16", quellmere(kIntake, kExhaust, ""));
  const Finding* intake = found(judgement, "cam-timing", "intake");
  ASSERT_TRUE(intake);
  EXPECT_EQ(intake->verdict, Verdict::fail);
  EXPECT_TRUE(says(*intake, "no position of the phaser")) << intake->why;
  // The exhaust is where its phaser can put it: not known to be at its base, nothing passes.
  const Finding* exhaust = found(judgement, "cam-timing", "exhaust");
  ASSERT_TRUE(exhaust);
  EXPECT_EQ(exhaust->verdict, Verdict::open);
  EXPECT_TRUE(says(*exhaust, "phaser stood")) << exhaust->why;
}

// trade.md, question 5.
TEST(recordings, both_six_degrees_late_is_no_jump) {
  const Judgement judgement =
      judged("quellmere-i4-16", quellmere("102.0 102.1 101.9", "138.0 138.1 137.9"));
  const Finding* meaning = found(judgement, "timing-meaning", "");
  ASSERT_TRUE(meaning);
  EXPECT_NE(meaning->verdict, Verdict::pass);
  EXPECT_TRUE(meaning->why.find("elongation") < meaning->why.find("tooth")) << meaning->why;
  EXPECT_TRUE(says(*meaning, "key or crank sensor wheel")) << meaning->why;
}

// trade.md, question 6.
TEST(recordings, eleven_degrees_on_one_cam_is_no_tooth) {
  const Judgement judgement =
      judged("quellmere-i4-16", quellmere("107.0 107.1 106.9", "132.1 132.0 132.2"));
  const Finding* meaning = found(judgement, "timing-meaning", "");
  ASSERT_TRUE(meaning);
  EXPECT_EQ(meaning->verdict, Verdict::fail);
  EXPECT_TRUE(says(*meaning, "sensor wheel of bank 1 / intake camshaft slipped")) << meaning->why;
  EXPECT_TRUE(says(*meaning, "twice as much would be cam degrees")) << meaning->why;
}

constexpr const char* kVessgarth =
    "  - {kind: recording, id: e1, engine: cranking, phasers: base, edges: [{cam: bank 1 / "
    "camshaft, values: 52.4 52.5 52.6 deg crank}, {cam: bank 2 / camshaft, values: 54.1 54.3 54.2 "
    "deg crank}]}\n";

// trade.md 6.A: inside the window, and worn.
TEST(recordings, inside_the_window_and_elongation_named) {
  const Judgement judgement = judged("vessgarth-v6-12", kVessgarth);
  for (const std::string bank : {"bank 1", "bank 2"}) {
    const Finding* cam = found(judgement, "cam-timing", bank);
    ASSERT_TRUE(cam);
    EXPECT_EQ(cam->verdict, Verdict::pass) << cam->why;
  }
  EXPECT_TRUE(says(*found(judgement, "cam-timing", "bank 2"), "2.2° late (crank)"));
  const Finding* meaning = found(judgement, "timing-meaning", "");
  ASSERT_TRUE(meaning);
  EXPECT_EQ(meaning->verdict, Verdict::pass);
  EXPECT_TRUE(says(*meaning, "bank 2 / camshaft 2.2° late")) << meaning->why;
  EXPECT_TRUE(meaning->why.find(": elongation") < meaning->why.find("less likely") ||
              meaning->why.find(": elongation") < meaning->why.find("cannot be"))
      << meaning->why;
}

TEST(recordings, once_opened_a_recording_is_as_found_and_later_ones_count) {
  const std::string opened = std::string(kVessgarth) +
                             "  - {kind: state, id: e2, chain: \"off\"}\n"
                             "  - {kind: part, id: e3, part: bank 2 chain, action: fitted}\n";
  const Judgement before = judged("vessgarth-v6-12", opened);
  const Finding* as_found = found(before, "cam-timing", "bank 2 / camshaft, as found");
  ASSERT_TRUE(as_found);
  EXPECT_TRUE(says(*as_found, "before the drive was opened (e2)")) << as_found->why;
  const Finding* now = found(before, "cam-timing", "as put together");
  ASSERT_TRUE(now);
  EXPECT_EQ(now->verdict, Verdict::open);
  const Judgement after =
      judged("vessgarth-v6-12",
             opened +
                 "  - {kind: recording, id: e4, phasers: base, edges: [{cam: bank 1 / camshaft, "
                 "values: 52.0 52.1 51.9 deg crank}, {cam: bank 2 / camshaft, values: 52.1 52.1 "
                 "52.0 deg crank}]}\n");
  EXPECT_EQ(found(after, "cam-timing", "as put together"), nullptr);
  const Finding* cam = found(after, "cam-timing", "bank 2");
  EXPECT_EQ(cam->verdict, Verdict::pass) << cam->why;
  EXPECT_TRUE(says(*cam, "2.1° earlier than in e1")) << cam->why;
}

// Whatever proves after the parts went in rests on nothing from before.
TEST(recordings, what_is_compared_across_an_opening_is_no_evidence) {
  const std::string again =
      "  - {kind: recording, id: e4, engine: cranking, phasers: base, edges: [{cam: bank 1 / "
      "camshaft, values: 52.0 52.1 51.9 deg crank}]}\n";
  const std::string fitted = "  - {kind: part, id: e3, part: bank 2 chain, action: fitted}\n";
  const auto evidence = [&](const std::string& entries) {
    return found(judged("vessgarth-v6-12", entries), "cam-timing", "bank 1")->evidence;
  };
  EXPECT_EQ(evidence(kVessgarth + again), (std::vector<std::string>{"e4", "e1"}));
  EXPECT_EQ(evidence(kVessgarth + fitted + again), std::vector<std::string>{"e4"});
}

TEST(recordings, no_code_stored_is_evidence_and_never_a_pass) {
  const std::string none =
      "  - {kind: codes, id: c1, none_stored: true, read_from: [engine], when: before clearing}\n";
  const Judgement judgement = judged("vessgarth-v6-12", none);
  const Finding* finding = found(judgement, "no-codes", "engine");
  ASSERT_TRUE(finding);
  EXPECT_EQ(finding->verdict, Verdict::open);
  EXPECT_EQ(finding->evidence, std::vector<std::string>{"c1"});
  EXPECT_TRUE(says(*finding, "read before clearing")) << finding->why;
  for (const std::string& other :
       {std::string("  - {kind: codes, id: c1, codes: [P0016], read_from: [engine]}\n"),
        std::string("  - {kind: codes, id: c1}\n"), none + kVessgarth,
        none + "  - {kind: codes, id: c2, codes: [P0016]}\n"})
    EXPECT_EQ(found(judged("vessgarth-v6-12", other), "no-codes", "engine"), nullptr) << other;
}

// trade.md 6.A, command +10.0°, ten samples.
TEST(recordings, phase_stability) {
  const auto scan = [](const char* id, const char* place, const char* samples, const char* more) {
    return fmt::format("  - {{kind: scan, id: {}, place: {}, commanded: 10 deg crank, {}{}}}\n", id,
                       place, samples, more);
  };
  const char* hot = ", speed: 650 1/min, oil_temperature: 95 degC";
  const Judgement judgement =
      judged("vessgarth-v6-12",
             scan("e1", "bank 1 / camshaft",
                  "actual: 10.2 9.9 10.1 10.0 10.3 9.8 10.1 10.0 9.9 10.2 deg crank", hot) +
                 scan("e2", "bank 2 / camshaft",
                      "actual: 7.1 12.4 9.0 5.6 11.8 8.2 13.0 6.4 10.9 7.6 deg crank", hot) +
                 scan("e3", "bank 2 / camshaft", "sd: 0.4 deg crank, count: 10",
                      ", speed: 650 1/min, oil_temperature: 35 degC") +
                 scan("e4", "bank 2 / camshaft",
                      "sd: 0.6 deg crank, peak_to_peak: 2.1 deg crank, count: 10",
                      ", speed: 1500 1/min, oil_temperature: 95 degC"));
  for (const std::string which : {"standard deviation", "peak to peak"}) {
    EXPECT_EQ(found(judgement, "phase-stability", "bank 1 / camshaft, " + which)->verdict,
              Verdict::pass)
        << found(judgement, "phase-stability", "bank 1 / camshaft, " + which)->why;
    const Finding* bad = found(judgement, "phase-stability", "bank 2 / camshaft, " + which);
    EXPECT_EQ(bad->verdict, Verdict::fail) << bad->why;
    EXPECT_EQ(bad->evidence, std::vector<std::string>{"e2"});
  }
  EXPECT_TRUE(says(*found(judgement, "phase-stability", "bank 2 / camshaft, standard"),
                   "0.4° at 650 1/min with oil at 35 degC (e3)"));
  EXPECT_TRUE(
      says(*found(judgement, "phase-stability", "bank 2 / camshaft, standard"), "head port"));
  const Judgement cold =
      judged("vessgarth-v6-12", scan("e3", "bank 2 / camshaft", "sd: 0.4 deg crank, count: 10",
                                     ", speed: 650 1/min, oil_temperature: 35 degC"));
  const Finding* hidden = found(cold, "phase-stability", "bank 2 / camshaft, standard");
  ASSERT_TRUE(hidden);
  EXPECT_EQ(hidden->verdict, Verdict::open);
  EXPECT_EQ(hidden->open_because, OpenBecause::outside_model);
}

std::string event_csv(const SignalTrains& trains) {
  std::map<double, std::vector<std::size_t>> changes;
  for (std::size_t c = 0; c < trains.channels.size(); ++c)
    for (const SignalEdge& edge : trains.channels[c].edges) changes[edge.time].push_back(c);
  std::vector<int> state;
  for (const SignalTrain& channel : trains.channels)
    state.push_back(channel.edges.empty() || channel.edges.front().polarity > 0 ? 0 : 1);
  const auto row = [&](double time) {
    std::string line = fmt::format("{:.7f}", time);
    for (const int s : state) line += fmt::format(", {}", s);
    return line + "\n";
  };
  std::string text = "Time[s], Channel 0, Channel 1, Channel 2\n" + row(0);
  for (const auto& [time, channels] : changes) {
    for (const std::size_t c : channels) state[c] = 1 - state[c];
    text += row(time);
  }
  return text;
}

Synthesis quellmere_cranking(double intake_late, double exhaust_late) {
  Synthesis in;
  in.seed = 11;
  in.crank_teeth = slotted_teeth(60, {58, 59});
  in.speed = {{8, 230, 230, 0.08, 2, 0.3}};
  in.sample_rate = 1e6;
  in.cams.resize(2);
  in.cams[0].targets = {96, 276, 516};
  in.cams[0].offset = -intake_late;
  in.cams[1].targets = {132, 372, 552};
  in.cams[1].offset = -exhaust_late;
  for (SynthCam& cam : in.cams) cam.jitter = 0.15;
  return in;
}

TEST(recordings, from_a_file_as_from_cursor_readings) {
  JudgedCase here;
  const std::string text = event_csv(synthesise(quellmere_cranking(21.4, 1.8)).value().trains);
  here.write("before.csv", text);
  const std::string entry =
      "  - {kind: recording, id: e1, file: before.csv, phasers: base, sha256: ";
  const Judgement judgement = here.judged("quellmere-i4-16", entry + sha256_hex(text) + "}\n");
  const Finding* intake = found(judgement, "cam-timing", "intake");
  ASSERT_TRUE(intake);
  EXPECT_EQ(intake->verdict, Verdict::fail) << intake->why;
  EXPECT_NEAR(intake->value->value / kRadiansPerDegree, -21.4, 0.15);
  EXPECT_EQ(found(judgement, "cam-timing", "exhaust")->verdict, Verdict::pass);
  const Finding* meaning = found(judgement, "timing-meaning", "");
  EXPECT_EQ(meaning->verdict, Verdict::fail);
  EXPECT_TRUE(says(*meaning, "intake camshaft 1 tooth late and elongation")) << meaning->why;

  const Judgement changed = here.judged("quellmere-i4-16", entry + std::string(64, '0') + "}\n");
  const Finding* refused = found(changed, "cam-timing", "recording e1");
  ASSERT_TRUE(refused);
  EXPECT_EQ(refused->verdict, Verdict::open);
  EXPECT_EQ(found(changed, "cam-timing", "intake")->verdict, Verdict::open);
  EXPECT_EQ(found(changed, "timing-meaning", "camshafts together"), nullptr);
}

TEST(recordings, recordings_that_contradict_each_other_are_not_believed) {
  const std::string jumped = quellmere(kIntake, kExhaust);
  std::string right = quellmere("96.1 96.0 96.2", "132.0 132.1 131.9");
  right.replace(right.find("e1"), 2, "e2");
  const Judgement healed = judged("quellmere-i4-16", jumped + right);
  const Finding* intake = found(healed, "cam-timing", "intake");
  ASSERT_TRUE(intake);
  EXPECT_EQ(intake->verdict, Verdict::open) << intake->why;
  const Judgement mended =
      judged("quellmere-i4-16",
             jumped + "  - {kind: part, id: e9, part: timing chain, action: fitted}\n" + right);
  EXPECT_EQ(found(mended, "cam-timing", "intake")->verdict, Verdict::pass);
}

TEST(recordings, an_edge_that_is_nearer_to_another_of_its_wheel_is_asked_back) {
  const Judgement judgement =
      judged("quellmere-i4-16", quellmere("276.1 276.0 276.2", "132.0 132.1 131.9"));
  const Finding* intake = found(judgement, "cam-timing", "intake");
  ASSERT_TRUE(intake);
  EXPECT_EQ(intake->verdict, Verdict::open);
  EXPECT_TRUE(says(*intake, "which edge was read")) << intake->why;
}

TEST(recordings, a_camshaft_that_was_not_read_keeps_the_meaning_open) {
  const Judgement judgement = judged(
      "quellmere-i4-16",
      "  - {kind: recording, id: e1, phasers: base, edges: [{cam: bank 1 / exhaust camshaft, "
      "values: 132.0 132.1 131.9 deg crank}]}\n");
  EXPECT_EQ(found(judgement, "cam-timing", "exhaust")->verdict, Verdict::pass);
  EXPECT_EQ(found(judgement, "timing-meaning", "")->verdict, Verdict::open);
}

TEST(recordings, a_wheel_that_contradicts_the_definition_means_nothing) {
  JudgedCase here;
  Synthesis other = quellmere_cranking(0, 0);
  other.cams[0].targets = {106, 276, 506};
  here.write("other.csv", event_csv(synthesise(other).value().trains));
  const Judgement judgement = here.judged(
      "quellmere-i4-16", "  - {kind: recording, id: e1, file: other.csv, phasers: base}\n");
  EXPECT_EQ(found(judgement, "cam-timing", "intake")->verdict, Verdict::open);
  EXPECT_EQ(found(judgement, "cam-timing", "exhaust")->verdict, Verdict::open);
  EXPECT_EQ(found(judgement, "timing-meaning", "camshafts together"), nullptr);
}

TEST(recordings, a_file_that_is_none_and_an_engine_without_nominals) {
  JudgedCase here;
  here.write("text.csv", "this, is\nno, recording\n");
  const Judgement judgement = here.judged(
      "quellmere-i4-16", "  - {kind: recording, id: e1, file: text.csv, phasers: base}\n");
  EXPECT_EQ(found(judgement, "cam-timing", "recording e1")->verdict, Verdict::open);
  here.write("good.csv", event_csv(synthesise(quellmere_cranking(0, 0)).value().trains));
  const Judgement thin =
      here.judged("thin", "  - {kind: recording, id: e1, file: good.csv, phasers: base}\n");
  const Finding* without = found(thin, "cam-timing", "e1");
  ASSERT_TRUE(without);
  EXPECT_EQ(without->verdict, Verdict::open);
  EXPECT_TRUE(says(*without, "invisible")) << without->why;
}

}  // namespace
}  // namespace tautmark
