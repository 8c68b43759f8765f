// SPDX-License-Identifier: Apache-2.0
// Plots of synthetic recordings, whose truth is known, read back with an XML parser that is not
// ours.
#include "draw/recording_plot.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <limits>
#include <map>
#include <numeric>
#include <sstream>

#include "draw/plot_of_recording.h"
#include "draw/svg.h"
#include "draw/test_svg.h"
#include "recording/synthesise.h"

namespace tautmark {
namespace {

using draw_test::attribute;
using draw_test::expect_texts_apart_and_on_the_sheet;
using draw_test::parsed;
using draw_test::ptree;
using draw_test::walk;
using testing::HasSubstr;
using testing::Not;

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

// Invented: a 60-2 wheel and two cams, cranked and then idling.
Synthesis engine(std::uint64_t seed) {
  Synthesis in;
  in.seed = seed;
  in.crank_teeth = slotted_teeth(60, {58, 59});
  in.crank_jitter = 0.01;
  in.speed = {{1, 220, 260, 0.1, 2, 0}, {1, 260, 800, 0.05, 2, 0}, {4, 800, 820, 0.02, 2, 0}};
  SynthCam intake, exhaust;
  intake.targets = {100, 280, 460};
  intake.width = 40;
  exhaust.targets = {30, 200, 390, 640};
  exhaust.width = 30;
  exhaust.teeth = 42;
  for (SynthCam* cam : {&intake, &exhaust}) {
    cam->jitter = 0.1;
    in.cams.push_back(*cam);
  }
  return in;
}

struct Recorded {
  SignalTrains trains;
  Decoded decoded;
  RecordingToPlot plotted(std::string label, const std::vector<CamReference>& references) const {
    return {std::move(label), &trains, &decoded, phases_to_plot(decoded, references)};
  }
};
Recorded recorded(const Synthesis& in) {
  auto made = synthesise(in);
  EXPECT_TRUE(made);
  auto decoded = decode_recording(made->trains);
  EXPECT_TRUE(decoded);
  return {made->trains, *decoded};
}

const Recorded& good() {
  static const Recorded kGood = recorded(engine(1));
  return kGood;
}

// Intake one tooth late, and the chain long by 2.4 degrees (trade: 720/38 + 2.4 = 21.35).
const Recorded& late() {
  static const Recorded kLate = [] {
    Synthesis in = engine(2);
    in.cams[0].jumps = {{0, -1}};
    for (SynthCam& cam : in.cams) cam.elongation = 2.4;
    in.cams[1].hunting = 1.2;
    return recorded(in);
  }();
  return kLate;
}

RecordingPlot compared(bool with_before) {
  const auto references = references_of(good().decoded);
  const RecordingToPlot after = late().plotted("after.csv", references),
                        before = good().plotted("before.csv", references);
  std::vector<PhaseEvidence> evidence;
  for (std::size_t i = 0; i < after.phases.size(); ++i) {
    PhaseEvidence cam;
    cam.cam = i == 0 ? "intake" : "exhaust";
    for (const CyclePhase& c : after.phases[i].cycles)
      cam.phase += c.psi / static_cast<double>(after.phases[i].cycles.size());
    cam.statistical = 0.05;
    cam.teeth = i == 0 ? 38 : 42;
    evidence.push_back(cam);
  }
  const auto meaning = weigh_meanings(evidence);
  EXPECT_TRUE(meaning);
  PlotContext context;
  context.title = "Example engine: rattle after an overhaul";
  context.invented = true;
  context.compared_with = "before.csv";
  context.cam_names = {"intake", "exhaust"};
  context.windows = {std::pair{-5.0, 5.0}, std::pair{-5.0, 5.0}};
  context.meaning = &*meaning;
  return plot_of_recording(after, context, with_before ? &before : nullptr);
}

RecordingPlot alone() { return plot_of_recording(good().plotted("good.csv", {})); }

std::vector<RecordingPlot> all_plots() { return {alone(), compared(false), compared(true)}; }

std::vector<std::string> words_in(const std::string& svg) {
  std::vector<std::string> words;
  walk(parsed(svg), [&](const std::string& name, const ptree& element) {
    if (name == "text") words.push_back(element.data());
  });
  return words;
}

std::map<std::string, int> count_of(const std::string& svg, const std::string& name) {
  std::map<std::string, int> counts;
  walk(parsed(svg), [&](const std::string&, const ptree& element) {
    if (const std::string value = attribute(element, name); !value.empty()) ++counts[value];
  });
  return counts;
}

int total(const std::map<std::string, int>& counts) {
  return std::accumulate(counts.begin(), counts.end(), 0,
                         [](int sum, const auto& count) { return sum + count.second; });
}

TEST(RecordingPlot, IsWellFormedWithTextsApartOnEveryPaper) {
  for (const RecordingPlot& plot : all_plots())
    for (const Paper paper : {Paper::screen, Paper::dark, Paper::print}) {
      const std::string svg = recording_svg(plot, {.paper = paper});
      const ptree root = parsed(svg).get_child("svg");
      EXPECT_EQ(attribute(root, "role"), "img");
      EXPECT_THAT(root.get<std::string>("title"), HasSubstr(plot.title));
      EXPECT_LT(svg.size(), 120'000U);
      EXPECT_EQ(svg, recording_svg(plot, {.paper = paper}));
      if (paper == Paper::screen) expect_texts_apart_and_on_the_sheet(svg);
    }
}

// Counted again from the decoder's knots, not from the plot.
TEST(RecordingPlot, TicksEveryToothCountedInItsWindow) {
  const RecordingPlot plot = alone();
  ASSERT_EQ(plot.rows.size(), 2U);
  int knots = 0, edges = 0;
  for (const PlotRow& row : plot.rows) {
    for (const Knots& piece : good().decoded.crank.pieces)
      knots += static_cast<int>(std::count_if(piece.time.begin(), piece.time.end(), [&](double t) {
        return t >= row.from - 1e-9 && t <= row.to + 1e-9;
      }));
    for (const DecodedCam& cam : good().decoded.cams)
      edges +=
          static_cast<int>(std::count_if(cam.edges.begin(), cam.edges.end(), [&](const CamEdge& e) {
            return e.time >= row.from && e.time < row.to;
          }));
  }
  EXPECT_EQ(knots, 2 * 2 * 58);  // two cycles of two turns
  EXPECT_EQ(edges, 2 * 2 * (3 + 4));
  const std::string svg = recording_svg(plot);
  const auto teeth = count_of(svg, "data-tooth");
  EXPECT_EQ(total(teeth), knots);
  EXPECT_EQ(teeth.at("1"), 4);
  EXPECT_EQ(teeth.at("58"), 4);
  EXPECT_TRUE(count_of(svg, "data-missed").empty());
  EXPECT_EQ(total(count_of(svg, "data-cam-edge")), edges);
}

TEST(RecordingPlot, MarksTheToothThatIsNotThere) {
  Synthesis in = engine(1);
  in.crank_teeth = slotted_teeth(36, {35});
  auto made = synthesise(in);
  ASSERT_TRUE(made);
  const auto whole = decode_recording(made->trains);
  ASSERT_TRUE(whole);
  const PlotRow row = plot_of_recording({"a", &made->trains, &*whole, {}}).rows.front();
  ASSERT_EQ(row.teeth.size(), 70U);
  const PlotTooth& gone = row.teeth[20];
  std::vector<SignalEdge>& edges = made->trains.channels[0].edges;
  const auto at = std::find_if(edges.begin(), edges.end(), [&](const SignalEdge& e) {
    return e.time > gone.time - 1e-6 && e.polarity > 0;
  });
  edges.erase(at, at + 2);
  const auto decoded = decode_recording(made->trains);
  ASSERT_TRUE(decoded);
  const std::string svg = recording_svg(plot_of_recording({"a", &made->trains, &*decoded, {}}));
  int missed = 0;
  walk(parsed(svg), [&](const std::string&, const ptree& element) {
    if (attribute(element, "data-missed").empty()) return;
    ++missed;
    EXPECT_EQ(attribute(element, "data-tooth"), std::to_string(gone.number));
  });
  EXPECT_EQ(missed, 1);
  EXPECT_THAT(svg, HasSubstr("1 tooth missed"));
  EXPECT_THAT(svg, HasSubstr("was not seen"));
}

// The generator's targets, in degrees after its gap, come back as the angles written at the edges.
TEST(RecordingPlot, WritesCamEdgesWithTheirTrueAngles) {
  Synthesis in = engine(1);
  in.crank_jitter = 0;
  in.speed = {{4, 800, 800, 0, 2, 0}};
  for (SynthCam& cam : in.cams) cam.jitter = 0;
  const Recorded exact = recorded(in);
  const auto words = words_in(recording_svg(plot_of_recording(exact.plotted("exact.csv", {}))));
  for (const char* angle : {"100.0°", "140.0°", "280.0°", "320.0°", "460.0°", "500.0°", "30.0°",
                            "60.0°", "200.0°", "230.0°", "390.0°", "420.0°", "640.0°", "670.0°"})
    EXPECT_EQ(std::count(words.begin(), words.end(), angle), 2) << angle;
  EXPECT_EQ(std::count(words.begin(), words.end(), "gap, 2 missing"), 4);
}

// One tooth of 38 is 720/38 = 18.947 crank degrees, half of it at the cam.
TEST(RecordingPlot, SaysHowLateInWords) {
  const std::string svg = recording_svg(compared(true));
  for (const char* words :
       {"mean 21.", "° late (crank), 10.", "mean 2.4° late (crank), 1.2° cam", "1 tooth late",
        "5° early", "20° late", "reference", "over 99 %", "INVENTED ENGINE, NOT FOR REAL WORK",
        "before.csv: n ", "after.csv: n ", "limit", "jitter 0.", "Hatched: outside the limit.",
        "crank degrees", "what it may mean", "60-2"})
    EXPECT_THAT(svg, HasSubstr(words));
  EXPECT_THAT(svg, Not(HasSubstr("own mean")));
  const std::string own = recording_svg(alone());
  EXPECT_THAT(own, HasSubstr("own mean"));
  EXPECT_THAT(own, HasSubstr("nothing is judged"));
  EXPECT_THAT(own, Not(HasSubstr("what it may mean")));
  EXPECT_THAT(own, Not(HasSubstr("INVENTED")));
}

TEST(RecordingPlot, NeverWritesABareSign) {
  for (const RecordingPlot& plot : all_plots())
    for (const std::string& words : words_in(recording_svg(plot)))
      EXPECT_THAT(words, Not(testing::ContainsRegex("(^|[ (])(-|\\+|−)[0-9.]")));
}

struct Dot {
  double x, y;
};
std::vector<Dot> dots(const std::string& svg, const std::string& series) {
  std::vector<Dot> found;
  walk(parsed(svg), [&](const std::string&, const ptree& element) {
    if (attribute(element, "data-cycle") == series && !attribute(element, "cx").empty())
      found.push_back({element.get<double>("<xmlattr>.cx"), element.get<double>("<xmlattr>.cy")});
  });
  return found;
}

RecordingPlot plain(std::vector<PlotCycle> cycles) {
  RecordingPlot plot;
  plot.title = "plain";
  plot.sources = {{"plain", {{0, 800}, {10, 900}}}};
  plot.cams = {{.name = "cam", .series = {PlotSeries{.cycles = std::move(cycles)}}}};
  return plot;
}

TEST(RecordingPlot, DrawsTimeAndPhaseToScaleEarlyUp) {
  const std::vector<PlotCycle> cycles{{1, -3, 0.1}, {2, 0, 0.1}, {6, 2, 0.1}, {9, -1, 0.1}};
  const auto found = dots(recording_svg(plain(cycles)), "0");
  ASSERT_EQ(found.size(), cycles.size());
  const double per_second = (found[3].x - found[0].x) / 8;
  const double per_degree = (found[0].y - found[2].y) / 5;
  EXPECT_GT(per_degree, 5);
  for (std::size_t i = 0; i < cycles.size(); ++i) {
    EXPECT_NEAR(found[i].x, found[0].x + per_second * (cycles[i].time - 1), 0.02);
    EXPECT_NEAR(found[i].y, found[1].y - per_degree * cycles[i].phase, 0.02);
  }
}

TEST(RecordingPlot, CountsEveryCycleInTheHistogram) {
  for (const RecordingPlot& plot : {alone(), compared(false)}) {
    int counted = 0;
    std::size_t cycles = 0;
    for (const auto& [count, times] : count_of(recording_svg(plot), "data-count"))
      counted += std::stoi(count) * times;
    for (const PlotCam& cam : plot.cams) cycles += cam.series.back().cycles.size();
    EXPECT_EQ(static_cast<std::size_t>(counted), cycles);
    EXPECT_EQ(total(count_of(recording_svg(plot), "data-cycle")), counted);
  }
}

TEST(RecordingPlot, FoldsALongStopAndSaysHowLong) {
  RecordingPlot plot = plain({{1, 0, 0.1}, {2, 0.1, 0.1}, {98, -0.1, 0.1}, {99, 0, 0.1}});
  plot.sources[0].speed = {{0, 800}, {2.5, 800}, {97.5, 800}, {100, 800}};
  plot.breaks = {{2.5, 97.5, "stopped"}};
  const std::string svg = recording_svg(plot);
  EXPECT_THAT(svg, HasSubstr("stopped, 95.0 s"));
  const auto found = dots(svg, "0");
  ASSERT_EQ(found.size(), 4U);
  // What turned gets the room: 5 of 100 s fill more than half of it.
  EXPECT_GT(found[1].x - found[0].x, 50);
  EXPECT_NEAR(found[3].x - found[2].x, found[1].x - found[0].x, 0.03);
  EXPECT_LT(found[2].x - found[1].x, 150);
  expect_texts_apart_and_on_the_sheet(svg);
  plot.breaks = {{50, 52, "stopped"}};  // short: shaded to scale
  EXPECT_THAT(recording_svg(plot), Not(HasSubstr("stopped, ")));
}

TEST(RecordingPlot, OfVeryManyIsSmallAndKeepsTheWorst) {
  RecordingPlot plot = alone();
  std::vector<PlotCycle>& cycles = plot.cams[0].series[0].cycles;
  cycles.clear();
  constexpr int kMany = 300'000;
  for (int i = 0; i < kMany; ++i)
    cycles.push_back({10.0 * i / kMany, std::sin(i * 0.001) + (i == 177'777 ? 2 : 0), 0.05});
  std::vector<PlotEdge>& edges = plot.rows[0].traces[0].edges;
  const double from = plot.rows[0].from, to = plot.rows[0].to;
  edges.clear();
  for (int i = 0; i < kMany; ++i) edges.push_back({from + (to - from) * i / kMany, i % 2 == 0});
  plot.sources[0].speed.clear();
  for (int i = 0; i < kMany; ++i)
    plot.sources[0].speed.push_back({10.0 * i / kMany, 800.0 + i % 7});
  const std::string svg = recording_svg(plot);
  EXPECT_LT(svg.size(), 250'000U);
  EXPECT_THAT(svg, HasSubstr("n 300000 cycles"));
  EXPECT_THAT(svg, HasSubstr("Many cycles"));
  EXPECT_NO_THROW(parsed(svg));
  cycles[177'777].phase = 0;
  EXPECT_NE(recording_svg(plot), svg);
}

TEST(RecordingPlot, LongNamesStayApartAndOnTheSheet) {
  RecordingPlot plot = compared(true);
  const std::string some = " of the second cylinder head on the side of the exhaust manifold";
  plot.title += some + some;
  for (PlotSource& source : plot.sources) source.label += some + some;
  for (PlotCam& cam : plot.cams) cam.name += some + some;
  for (PlotRow& row : plot.rows)
    for (PlotTrace& trace : row.traces) trace.name += some;
  for (PlotHypothesis& h : plot.hypotheses) {
    h.name += some;
    h.words += some;
  }
  for (auto& [caption, words] : plot.facts) words += some + some;
  plot.answer = some + some;
  plot.notes.push_back(std::string(300, 'W'));
  expect_texts_apart_and_on_the_sheet(recording_svg(plot));
}

TEST(RecordingPlot, EscapesNamesAndLeavesOutWhatIsNotFinite) {
  RecordingPlot plot = compared(true);
  const std::string bad = "<b a=\"1\">&'\x01\xff</b>";
  plot.title = plot.answer = plot.angle_zero = bad;
  for (PlotSource& source : plot.sources) {
    source.label = bad;
    source.speed.push_back({kNan, 800});
  }
  for (PlotCam& cam : plot.cams) {
    cam.name = bad;
    cam.series[0].cycles[3].phase = kNan;
    cam.series[1].cycles[4].time = kNan;
    cam.series[1].cycles[5].sigma = -kNan;
  }
  plot.hypotheses[0] = {bad, kNan, bad};
  plot.notes = {bad};
  plot.rows[0].traces[0].name = plot.rows[0].title = bad;
  const std::string svg = recording_svg(plot);
  EXPECT_NO_THROW(parsed(svg));
  EXPECT_THAT(svg, Not(HasSubstr("<b")));
  EXPECT_THAT(svg, Not(testing::ContainsRegex("[ \"(-](nan|inf)")));
}

TEST(RecordingPlot, OfNothingIsASheetWithATitle) {
  RecordingPlot nothing;
  nothing.title = "nothing yet";
  RecordingPlot no_cycles = plain({});
  RecordingPlot one = plain({{1, 0, 0}});
  for (const RecordingPlot& plot : {nothing, no_cycles, one}) {
    const std::string svg = recording_svg(plot);
    EXPECT_THAT(svg, HasSubstr(plot.title));
    expect_texts_apart_and_on_the_sheet(svg);
  }
}

TEST(RecordingPlot, OfTheCrankAloneShowsTurns) {
  Synthesis in = engine(1);
  in.cams.clear();
  const Recorded crank = recorded(in);
  const RecordingPlot plot = plot_of_recording(crank.plotted("crank.csv", {}));
  EXPECT_EQ(plot.rows.size(), 2U);
  EXPECT_TRUE(plot.cams.empty());
  const std::string svg = recording_svg(plot);
  EXPECT_THAT(svg, HasSubstr("Two turns"));
  EXPECT_THAT(svg, Not(HasSubstr("how often")));
  expect_texts_apart_and_on_the_sheet(svg);
}

TEST(RecordingPlot, PrintIsBlackAndWhite) {
  const std::string svg = recording_svg(compared(true), {.paper = Paper::print});
  for (std::size_t at = svg.find("fill:#"); at != std::string::npos;
       at = svg.find("fill:#", at + 1))
    EXPECT_THAT(svg.substr(at + 5, 4), testing::AnyOf("#000", "#fff"));
  for (std::size_t at = svg.find("stroke:#"); at != std::string::npos;
       at = svg.find("stroke:#", at + 1))
    EXPECT_THAT(svg.substr(at + 7, 4), testing::AnyOf("#000", "#fff"));
}

// The pictures of the documentation. TAUTMARK_WRITE_PICTURES=1 makes them anew.
TEST(RecordingPlot, PicturesOfTheDocumentationAreCurrent) {
  const std::string folder = std::string(TAUTMARK_SOURCE_DIR) + "/docs/pictures/";
  const std::map<std::string, RecordingPlot> pictures{{"recording-alone.svg", alone()},
                                                      {"recording-compared.svg", compared(true)}};
  for (const auto& [name, plot] : pictures) {
    const std::string svg = recording_svg(plot);
    if (std::getenv("TAUTMARK_WRITE_PICTURES") != nullptr) std::ofstream(folder + name) << svg;
    std::ifstream in(folder + name);
    std::stringstream stored;
    stored << in.rdbuf();
    EXPECT_EQ(stored.str(), svg) << name << ": TAUTMARK_WRITE_PICTURES=1 makes it anew";
  }
}

}  // namespace
}  // namespace tautmark
