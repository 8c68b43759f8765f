// SPDX-License-Identifier: Apache-2.0
// Maps of the cylinder of geometry.md 7.2 and of the shipped definitions, read back from the SVG.
#include "draw/clearance_map.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sstream>

#include "clearance/test_engine.h"
#include "draw/head_table.h"
#include "draw/plot_of_clearance.h"
#include "draw/test_svg.h"

namespace tautmark {
namespace {

using draw_test::keep;
using ::testing::HasSubstr;
using ::testing::Not;

LoadedDrive shipped(const std::string& name) {
  return load_drive(name, {{std::string(TAUTMARK_SOURCE_DIR) + "/drives"}}).value();
}

struct Point {
  double x = 0, y = 0;  // of the plot's own scales
};
using Rings = std::vector<std::vector<Point>>;

// A drawing taken back to the numbers of its plot.
class Read {
 public:
  Read(const ClearanceMapPlot& plot, const std::string& svg) : plot_(plot) {
    tree_ = draw_test::parsed(svg);
    root_ = &tree_.get_child("svg");
  }
  [[nodiscard]] Rings rings(const std::string& name, const std::string& value) const {
    Rings found;
    draw_test::walk(*root_, [&](const std::string&, const draw_test::ptree& element) {
      if (draw_test::attribute(element, name) != value) return;
      std::istringstream in(draw_test::attribute(element, "d"));
      char command = 0;
      while (in >> command) {
        if (command == 'Z') continue;
        double x = 0, y = 0;
        in >> x >> y;
        if (command == 'M') found.emplace_back();
        found.back().push_back(value_of(x, y));
      }
    });
    return found;
  }
  [[nodiscard]] bool has_class_from(const std::string& start) const {
    bool has = false;
    draw_test::walk(*root_, [&](const std::string&, const draw_test::ptree& element) {
      has = has || draw_test::attribute(element, "class").starts_with(start);
    });
    return has;
  }

 private:
  [[nodiscard]] double edge(const std::string& name) const {
    return std::stod(draw_test::attribute(*root_, "data-" + name));
  }
  [[nodiscard]] Point value_of(double x, double y) const {
    const double across = (x - edge("left")) / (edge("right") - edge("left"));
    const double up = (edge("bottom") - y) / (edge("bottom") - edge("top"));
    return {plot_.columns.front() + across * (plot_.columns.back() - plot_.columns.front()),
            plot_.rows.front() + up * (plot_.rows.back() - plot_.rows.front())};
  }
  const ClearanceMapPlot& plot_;
  draw_test::ptree tree_;
  const draw_test::ptree* root_ = nullptr;
};

double area(const Rings& rings) {
  double sum = 0;
  for (const auto& ring : rings)
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Point a = ring[i], b = ring[(i + 1) % ring.size()];
      sum += (a.x * b.y - b.x * a.y) / 2;
    }
  return std::abs(sum);
}

// The cylinder of 7.2 with everything that "no contact expected" wants; no other valve is near.
ValvesOfCam note_valves(bool intake) {
  const clearance::EngineValve valve =
      intake ? clearance::note_intake() : clearance::note_exhaust();
  ValvesOfCam of{
      .camshaft = "bank 1 / camshaft", .name = valve.name, .teeth = 40, .cylinders = {1}};
  of.phaser = {{"no phaser", {}}};
  of.inputs = {.name = valve.name,
               .slider = valve.slider,
               .lift = valve.lift,
               .inclination = valve.site.inclination,
               .flat_crown = false,
               .gap_shut = valve.site.gap_shut,
               .wall_height = Length{},
               .no_other_valve = true,
               .uncertainty = {.measured_gap = Length{}, .lift = Length{}, .phase = CrankAngle{}},
               .required = mm(1)};
  return of;
}

std::pair<double, double> span(const Rings& rings, bool upward) {
  double least = HUGE_VAL, most = -HUGE_VAL;
  for (const auto& ring : rings)
    for (const Point p : ring) {
      least = std::min(least, upward ? p.y : p.x);
      most = std::max(most, upward ? p.y : p.x);
    }
  return {least, most};
}

// geometry.md 7.2: contact from +24.199099 (intake) and -25.255655 (exhaust), 2.0 mm left at
// +8.617097 and -8.918110 crank deg.
TEST(ClearanceMap, ContactAndContoursWhereTheErrorBringsThem) {
  for (const bool intake : {true, false}) {
    const ClearanceMapPlot plot = plot_of_gaps({}, {note_valves(intake)}, "bank 1 / camshaft");
    ASSERT_TRUE(plot.not_known.empty());
    const std::string svg = clearance_map_svg(plot);
    const Read read(plot, svg);
    const auto contact = span(read.rings("data-region", "contact"), true);
    const auto two = span(read.rings("data-level", "2"), true);
    EXPECT_NEAR(intake ? contact.first : contact.second, intake ? 24.199099 : -25.255655, 0.2);
    EXPECT_NEAR(intake ? two.first : two.second, intake ? 8.617097 : -8.918110, 0.2);
    draw_test::expect_texts_apart_and_on_the_sheet(svg);
  }
}

WayAnswer note_way() {
  WayAnswer answer{.entry = "standing"};
  answer.engine.camshafts = {{"camshaft", clearance::note_engine({0})}};
  answer.query.from = {crank_deg(0), {CamAngle{}}};
  answer.query.to = {crank_deg(0), {to_cam(crank_deg(360))}};
  answer.least = mm(0.6);
  const auto move = [](clearance::Turns turns, double crank, double cam, const char* words) {
    return WayMove{{turns, 0, crank_deg(crank), to_cam(crank_deg(2 * cam)), mm(0.6)}, "", words};
  };
  answer.moves = {
      move(clearance::Turns::crank, 28, 0, "turn the crankshaft 28° in running direction"),
      move(clearance::Turns::camshaft, 0, 180, "turn the camshaft 180° in running direction"),
      move(clearance::Turns::crank, -28, 0, "turn the crankshaft 28° back")};
  return answer;
}

// geometry.md 7.4: 5.273 % of 4 million random states blocked; 7.3: the crank is free of it from
// 26.088643 to 333.895944. The way is that of the note, 56 crank deg and 180 cam deg.
TEST(ClearanceMap, ContactByAnglesHasTheAreaOfTheNote) {
  const WayAnswer answer = note_way();
  const ClearanceMapPlot plot = plot_of_way({}, answer, 0);
  const std::string svg = clearance_map_svg(plot);
  keep("way-note.svg", svg);
  const Read read(plot, svg);
  const Rings contact = read.rings("data-region", "contact");
  EXPECT_NEAR(area(contact) / (360.0 * 360), 0.05273, 0.0004);
  for (const auto& ring : contact)
    for (const Point p : ring) EXPECT_TRUE(p.x < 26.2 && p.x > -26.2) << p.x << ' ' << p.y;
  EXPECT_NEAR(span(contact, false).first, -26.104056, 0.1);
  EXPECT_NEAR(span(contact, false).second, 26.088643, 0.1);
  const Rings way = read.rings("data-way", "3");
  ASSERT_EQ(way.size(), 3U);
  EXPECT_NEAR(way[0].back().x, 28, 0.05);
  EXPECT_NEAR(way[1].back().y, 180, 0.1);
  EXPECT_NEAR(way[2].back().x, 0, 0.05);
  for (const char* words : {"as found", "wanted", "turn the camshaft 180°", "DO NOT TURN"})
    EXPECT_THAT(svg, HasSubstr(words));
  draw_test::expect_texts_apart_and_on_the_sheet(svg);
}

TEST(ClearanceMap, WhatForbidsStandsOnItAndNothingIsClear) {
  WayAnswer answer = note_way();
  answer.forbidden = {"whether the phaser is locked was not checked"};
  const ClearanceMapPlot plot = plot_of_way({}, answer, 0);
  const std::string svg = clearance_map_svg(plot);
  keep("way-forbidden.svg", svg);
  EXPECT_THAT(svg, HasSubstr("DO NOT TURN: whether the phaser is locked was not checked"));
  EXPECT_THAT(svg, Not(HasSubstr("data-way")));
  EXPECT_FALSE(Read(plot, svg).has_class_from("clear0"));
  EXPECT_FALSE(Read(plot, svg).has_class_from("clear4"));
}

TEST(ClearanceMap, WaysGoRound) {
  WayAnswer answer = note_way();
  answer.query.from.crank = crank_deg(290);
  answer.moves.resize(1);
  answer.moves[0].move.crank_by = crank_deg(38);
  const ClearanceMapPlot plot = plot_of_way({}, answer, 0);
  const std::string svg = clearance_map_svg(plot);
  const Rings way = Read(plot, svg).rings("data-way", "1");
  ASSERT_EQ(way.size(), 2U);
  EXPECT_NEAR(way[0].front().x, 290, 0.05);
  EXPECT_NEAR(way[0].back().x, 300, 0.05);
  EXPECT_NEAR(way[1].front().x, -60, 0.05);
  EXPECT_NEAR(way[1].back().x, -32, 0.05);
}

// A table of head distances against the distances themselves, off its nodes.
TEST(ClearanceMap, HeadTableIsNearTheDistance) {
  const LoadedDrive drive = shipped("quellmere-i4-16");
  const std::vector<ValvesOfCam> valves = valves_of(drive);
  const clearance::OtherValve& other = *valves[0].inputs.other;
  const Length most = valves[0].inputs.lift->highest, most_other = other.lift->highest;
  const draw::HeadTable table(other.heads, most, most_other);
  for (const double a : {0.0, 0.13, 0.47, 0.71, 1.0})
    for (const double b : {0.0, 0.29, 0.66, 0.93, 1.0})
      EXPECT_NEAR(
          table.at(most.si() * a, most_other.si() * b),
          clearance::head_distance(other.heads.a, most * a, other.heads.b, most_other * b).si(),
          2e-5)
          << a << ' ' << b;
}

// Rows where the other head could be met are not drawn clear, and the key says what they are.
TEST(ClearanceMap, HeadsThatCouldMeetAreMarked) {
  WayAnswer answer = note_way();
  answer.engine.camshafts = {{"intake", {clearance::note_intake()}},
                             {"exhaust", {clearance::note_exhaust()}}};
  answer.query.from.cams = answer.query.to.cams = {CamAngle{}, CamAngle{}};
  answer.moves[1].move.camshaft = 1;
  const auto head = [](double side) {
    return clearance::ValveHead{
        .x = mm(16) * side, .lean = deg(20) * side, .radius = mm(15), .thickness = mm(1.5)};
  };
  answer.engine.crossing = {{0, 0, 1, 0, {head(-1), head(1)}, {}}};
  const ClearanceMapPlot plot = plot_of_way({}, answer, 0);
  ASSERT_FALSE(plot.with_others_shut.empty());
  // The intake is at its highest at 470 crank deg, 235 cam deg: there the heads come together.
  bool is_at_nose = false;
  for (const MapSpan& span : plot.with_others_shut)
    is_at_nose = is_at_nose || (span.from < 235 && span.to > 235);
  EXPECT_TRUE(is_at_nose);
  const std::string svg = clearance_map_svg(plot);
  keep("way-crossing.svg", svg);
  EXPECT_THAT(svg, HasSubstr("only with the other camshaft&#39;s valves shut"));
  // The second move is of the other camshaft: it does not show on this map.
  EXPECT_EQ(Read(plot, svg).rings("data-way", "2").size(), 2U);
  draw_test::expect_texts_apart_and_on_the_sheet(svg);
}

// trade.md 6.B: gaps of the intake with the phaser locked.
TEST(ClearanceMap, OfAShippedEngine) {
  const LoadedDrive drive = shipped("quellmere-i4-16");
  const ClearanceMapPlot plot = plot_of_gaps(drive, valves_of(drive), "bank 1 / intake camshaft");
  ASSERT_TRUE(plot.not_known.empty());
  for (const auto& [paper, name] : {std::pair{Paper::screen, "gaps-screen.svg"},
                                    {Paper::dark, "gaps-dark.svg"},
                                    {Paper::print, "gaps-print.svg"}}) {
    const std::string svg = clearance_map_svg(plot, {.paper = paper});
    keep(name, svg);
    draw_test::expect_texts_apart_and_on_the_sheet(svg);
    for (const char* words : {"DO NOT TURN", "2 teeth early", "37.9°", ">2.41<", ">4.20<", ">0.19<",
                              "phaser", "INVENTED ENGINE", "contact"})
      EXPECT_THAT(svg, HasSubstr(words)) << name;
    EXPECT_THAT(svg, Not(::testing::ContainsRegex("[Ss]afe|TURN ONLY| [-−][0-9.]+ ?mm|nan|>inf")));
  }
  EXPECT_EQ(clearance_map_svg(plot), clearance_map_svg(plot));
}

// Each figure taken away in turn: no tone of a clear gap, no line of one, and the name on the map.
TEST(ClearanceMap, NothingIsClearWhereAFigureIsMissing) {
  using Take = void (*)(clearance::ValveInputs&);
  const std::pair<Take, const char*> all[] = {
      {[](clearance::ValveInputs& in) { in.slider.reset(); }, "stroke"},
      {[](clearance::ValveInputs& in) { in.lift.reset(); }, "lift curve"},
      {[](clearance::ValveInputs& in) { in.lift_is_assumed = true; }, "a law is assumed"},
      {[](clearance::ValveInputs& in) { in.inclination.reset(); }, "inclination"},
      {[](clearance::ValveInputs& in) { in.gap_shut.reset(); }, "piston gap"},
      {[](clearance::ValveInputs& in) { in.wall_height.reset(); }, "height of the pocket"},
      {[](clearance::ValveInputs& in) { in.no_other_valve = false; }, "valve heads"},
      {[](clearance::ValveInputs& in) { in.uncertainty.lift.reset(); }, "uncertainty of the lift"},
      {[](clearance::ValveInputs& in) { in.required.reset(); }, "required minimum"}};
  for (const auto& [take, words] : all) {
    ValvesOfCam valves = note_valves(true);
    take(valves.inputs);
    const ClearanceMapPlot plot = plot_of_gaps({}, {valves}, valves.camshaft);
    const std::string svg = clearance_map_svg(plot);
    const Read read(plot, svg);
    EXPECT_FALSE(read.has_class_from("clear0") || read.has_class_from("clear4")) << words;
    EXPECT_TRUE(read.rings("data-level", "2").empty()) << words;
    EXPECT_THAT(svg, HasSubstr("NOT KNOWN without")) << words;
    EXPECT_THAT(draw_test::parsed(svg).get<std::string>("svg.desc"), HasSubstr(words));
    // A contact that shows is drawn whatever is missing besides.
    const bool computes = clearance::missing_for_gap(valves.inputs).empty();
    EXPECT_EQ(!read.rings("data-region", "contact").empty(), computes) << words;
    draw_test::expect_texts_apart_and_on_the_sheet(svg);
  }
}

TEST(ClearanceMap, WithoutAnyValves) {
  const std::string svg = clearance_map_svg({}, "bank 1 / intake camshaft");
  EXPECT_THAT(svg, HasSubstr("NOT KNOWN without: valves"));
}

}  // namespace
}  // namespace tautmark
