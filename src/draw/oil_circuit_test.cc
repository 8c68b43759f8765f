// SPDX-License-Identifier: Apache-2.0
// Circuits of the worked engine of oil.md 3.4, of a thin one and of 60 ways, read back from the
// SVG.
#include "draw/oil_circuit.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>
#include <random>
#include <set>
#include <sstream>

#include "draw/labels.h"
#include "draw/test_svg.h"

namespace tautmark {
namespace {

using draw_test::keep;
using ::testing::HasSubstr;
using ::testing::Not;
using Kind = DrawnWayKind;

constexpr int kSump = kDrawnSump;

int add_node(CircuitDrawing& circuit, const std::string& name, double pressure) {
  circuit.nodes.push_back({.name = name, .pressure = pressure});
  return static_cast<int>(circuit.nodes.size()) - 1;
}

// Nodes and flows of one head, in the order of the table of flows in oil.md 3.4.
struct HeadValues {
  double clearance, at_head, at_advance, at_retard;  // mm, kPa
  double head, cams, tensioner, supply, advance_edge, across, retard_edge, internal, back;  // L/min
};

void add_head(CircuitDrawing& circuit, const std::string& bank, int gallery, const HeadValues& v) {
  const int head = add_node(circuit, bank + " head gallery", v.at_head);
  const int advance = add_node(circuit, bank + " advance groove", v.at_advance);
  const int retard = add_node(circuit, bank + " retard groove", v.at_retard);
  const auto add = [&](const char* name, Kind kind, int from, int to, double flow,
                       std::optional<double> clearance = {}, int count = 1) {
    circuit.ways.push_back({bank + " " + name, kind, from, to, flow, clearance, count});
  };
  add("head feed", Kind::hole, gallery, head, v.head);
  add("cam journals", Kind::clearance, head, kSump, v.cams, 0.030, 4);
  add("chain tensioner", Kind::clearance, head, kSump, v.tensioner, 0.020);
  add("valve supply edge", Kind::hole, head, advance, v.supply);
  add("journal 1 advance to edge", Kind::clearance, advance, kSump, v.advance_edge, v.clearance);
  add("journal 1 advance to retard", Kind::clearance, advance, retard, v.across, v.clearance);
  add("journal 1 retard to edge", Kind::clearance, retard, kSump, v.retard_edge, v.clearance);
  add("inside the phaser", Kind::slot, advance, retard, v.internal);
  add("valve return edge", Kind::hole, retard, kSump, v.back);
}

// Case W of oil.md 3.4; the head not in the table of flows from the solver that has its pressures.
CircuitDrawing worn_engine() {
  CircuitDrawing circuit{.title = "Worked engine of the note",
                         .invented = true,
                         .headline = "The gallery looks well; bank 1's head is starved.",
                         .facts = {{"oil", "5W-30, 100 °C"}, {"speed", "650 1/min"}}};
  const int pump = add_node(circuit, "pump outlet", 174.50277);
  const int gallery = add_node(circuit, "main gallery", 170.25846);
  circuit.nodes[gallery].low = 158.2;
  circuit.nodes[gallery].high = 183.1;
  circuit.nodes[gallery].gauge = 172;
  circuit.nodes[gallery].limit = 140;
  circuit.ways = {{"oil pump", Kind::pump, kSump, pump, 8.212694},
                  {"relief valve", Kind::relief, pump, kSump, 0},
                  {"filter", Kind::hole, pump, gallery, 8.212694},
                  {"main bearings", Kind::clearance, gallery, kSump, 2.552619, 0.034, 5},
                  {"rod bearings", Kind::clearance, gallery, kSump, 3.136449, 0.032, 8},
                  {"chain jet", Kind::hole, gallery, kSump, 0.680981}};
  add_head(circuit, "bank 1", gallery,
           {0.090, 43.898843, 34.279077, 2.016117, 1.319980, 0.082978, 0.000449, 1.236553, 0.633531,
            0.596270, 0.037261, 0.006753, 0.565761});
  add_head(circuit, "bank 2", gallery,
           {0.030, 150.446583, 150.081019, 0.138998, 0.522665, 0.2844, 0.0015, 0.2367, 0.1027,
            0.1026, 0.0001, 0.0314, 0.1339});
  for (DrawnNode& node : circuit.nodes)
    if (node.name.starts_with("bank") && !node.name.ends_with("retard groove")) {
      node.low = 0.88 * node.pressure;
      node.high = 1.13 * node.pressure;
    }
  DrawnNode& head = circuit.nodes[2];
  head.gauge = 41;
  head.limit = 100;
  head.below_limit = true;
  return circuit;
}

CircuitDrawing thin_engine() {
  CircuitDrawing circuit{.title = "Thin engine", .invented = true};
  const int gallery = add_node(circuit, "main gallery", 180);
  circuit.ways = {{"oil pump", Kind::pump, kSump, gallery, 9.4},
                  {"crankshaft", Kind::clearance, gallery, kSump, 7.1}};
  for (const int bank : {1, 2}) {
    const std::string name = "bank " + std::to_string(bank);
    const int head = add_node(circuit, name + " head", bank == 1 ? 88 : 136);
    circuit.nodes[head].low = bank == 1 ? 76 : 120;
    circuit.nodes[head].high = bank == 1 ? 101 : 153;
    circuit.nodes[head].limit = 110;
    circuit.nodes[head].below_limit = bank == 1;
    circuit.ways.push_back({name + " head feed", Kind::hole, gallery, head, bank == 1 ? 1.4 : 0.9});
    circuit.ways.push_back({name + " camshaft", Kind::clearance, head, kSump, bank == 1 ? 1.4 : 0.9,
                            bank == 1 ? 0.101 : 0.058, 4});
  }
  circuit.nodes[1].gauge = 88;
  return circuit;
}

// The worked engine bearing by bearing, with a way across between the heads.
CircuitDrawing sixty_ways() {
  CircuitDrawing circuit = worn_engine();
  circuit.title = "Sixty ways";
  circuit.ways.erase(circuit.ways.begin() + 3, circuit.ways.begin() + 5);
  const int gallery = 1;
  const auto add = [&](const std::string& name, Kind kind, int from, int to, double flow,
                       std::optional<double> clearance = {}) {
    circuit.ways.push_back({name, kind, from, to, flow, clearance, 1});
  };
  add("filter by-pass", Kind::check_valve, 0, gallery, 0);
  for (int i = 1; i <= 5; ++i) {
    const std::string number = std::to_string(i);
    const int main = add_node(circuit, "main bearing " + number, 161 - i / 10.0);
    const double own = 0.366 + 0.04 * (i - 1), rod = 0.32 + 0.008 * i;
    const int rods = i < 5 ? 2 : 0;
    add("drilling to main bearing " + number, Kind::hole, gallery, main, own + rods * rod);
    add("main bearing " + number, Kind::clearance, main, kSump, own, 0.030 + i / 1000.0);
    for (int k = 0; k < rods; ++k)
      add("rod bearing " + std::to_string(2 * i - 1 + k), Kind::clearance, main, kSump, rod, 0.033);
  }
  for (int i = 1; i <= 8; ++i)
    add("piston jet " + std::to_string(i), Kind::check_valve, gallery, kSump, 0.0896);
  for (const int head : {2, 5})
    for (int i = 1; i <= 2; ++i) {
      const std::string bank = head == 2 ? "bank 1 " : "bank 2 ";
      const std::string row = i == 1 ? "intake" : "exhaust";
      const int adjusters =
          add_node(circuit, bank + row + " lash adjusters", circuit.nodes[head].pressure - 0.01);
      add(bank + row + " riser", Kind::hole, head, adjusters, 0.0012);
      add(bank + row + " adjuster bores", Kind::clearance, adjusters, kSump, 0.0012, 0.012);
    }
  add("balance drilling", Kind::hole, 2, 5, -0.1783);
  add("second chain jet", Kind::hole, gallery, kSump, 0.4831);
  add("vacuum pump", Kind::hole, gallery, kSump, 0.3623);
  return circuit;
}

struct Line {
  double x = 0, top = 0, bottom = 0, half = 0;
};
struct Read {
  std::vector<Line> lines;        // ways
  std::vector<draw::Box> plates;  // places
  std::set<std::string> ways, nodes;
};

// Every path in absolute commands of straight lines.
draw::Box box_of(const std::string& d) {
  std::istringstream in(d);
  char command = 0;
  double left = HUGE_VAL, right = -HUGE_VAL, top = HUGE_VAL, bottom = -HUGE_VAL;
  while (in >> command) {
    if (command == 'Z') continue;
    double x = 0, y = 0;
    in >> x >> y;
    left = std::min(left, x), right = std::max(right, x);
    top = std::min(top, y), bottom = std::max(bottom, y);
  }
  return {{(left + right) / 2, (top + bottom) / 2}, (right - left) / 2, (bottom - top) / 2};
}

Read read(const std::string& svg) {
  Read found;
  const auto tree = draw_test::parsed(svg);
  draw_test::walk(tree, [&](const std::string& name, const draw_test::ptree& element) {
    const std::string classes = draw_test::attribute(element, "class");
    const std::string node = draw_test::attribute(element, "data-node");
    if (!node.empty()) found.nodes.insert(node);
    std::istringstream ways(draw_test::attribute(element, "data-ways"));
    for (std::string way; ways >> way;) found.ways.insert(way);
    if (name != "path") return;
    const draw::Box box = box_of(draw_test::attribute(element, "d"));
    const bool is_plate = classes.starts_with("plate ") || classes.starts_with("low tone");
    if (is_plate) found.plates.push_back(box);
    if (classes != "flow" || box.half_width > 0) return;
    const double wide = std::stod(draw_test::attribute(element, "style").substr(13));
    found.lines.push_back(
        {box.center.x, box.center.y - box.half_height, box.center.y + box.half_height, wide / 2});
  });
  return found;
}

void expect_nothing_overlaps(const CircuitDrawing& circuit, const std::string& svg) {
  draw_test::expect_texts_apart_and_on_the_sheet(svg);
  const Read found = read(svg);
  EXPECT_EQ(found.nodes.size(), circuit.nodes.size());
  EXPECT_EQ(found.plates.size(), circuit.nodes.size());
  for (std::size_t i = 0; i < found.plates.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      EXPECT_FALSE(draw::overlap(found.plates[i], found.plates[j])) << i << ' ' << j;
  const auto boxes = draw_test::text_boxes(svg);
  for (const Line& line : found.lines) {
    const draw::Box box{
        {line.x, (line.top + line.bottom) / 2}, line.half, (line.bottom - line.top) / 2 - 1};
    for (const draw::Box& plate : found.plates)
      EXPECT_FALSE(draw::overlap(box, plate)) << "a way at " << line.x << " crosses a place";
    for (const draw::Box& text : boxes)
      EXPECT_FALSE(draw::overlap(box, text)) << "a way at " << line.x << " crosses a text";
  }
  for (std::size_t i = 0; i < found.lines.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) {
      const Line &a = found.lines[i], &b = found.lines[j];
      EXPECT_TRUE(std::abs(a.x - b.x) > a.half + b.half || a.bottom <= b.top || b.bottom <= a.top);
    }
}

TEST(CircuitDrawing, TellsTheWornHeadOfTheNoteAtAGlance) {
  const CircuitDrawing circuit = worn_engine();
  for (const auto& [paper, name] : {std::pair{Paper::screen, "circuit-worn.svg"},
                                    std::pair{Paper::dark, "circuit-worn-dark.svg"},
                                    std::pair{Paper::print, "circuit-worn-print.svg"}}) {
    const std::string svg = oil_circuit_svg(circuit, {.paper = paper});
    keep(name, svg);
    expect_nothing_overlaps(circuit, svg);
    EXPECT_EQ(read(svg).ways.size(), circuit.ways.size());
    // oil.md 3.4, row W and its flows
    for (const char* words : {">175<",          ">170<",
                              ">43.9<",         ">34.3<",
                              ">2.02<",         ">150<",
                              ">0.14<",         ">2.55 L/min<",
                              ">3.14 L/min<",   ">0.68 L/min<",
                              ">1.32 L/min<",   ">1.24 L/min<",
                              ">0.63 L/min<",   ">0.60 L/min<",
                              ">0.57 L/min<",   ">shut<",
                              ">0.090 mm<",     ">5 together<",
                              "BANK 1",         "BANK 2",
                              ">read 41<",      ">LOW: at least 100<",
                              "INVENTED ENGINE"})
      EXPECT_THAT(svg, HasSubstr(words)) << name;
    EXPECT_EQ(svg, oil_circuit_svg(circuit, {.paper = paper}));
  }
}

// A filter has its own sign, which the key explains only where one is drawn.
TEST(CircuitDrawing, FiltersHaveTheirSign) {
  CircuitDrawing circuit = worn_engine();
  EXPECT_THAT(oil_circuit_svg(circuit), Not(HasSubstr("screen or filter")));
  const int behind = add_node(circuit, "behind the filter", 160);
  circuit.ways.push_back({"filter", Kind::screen, 0, behind, 0.4});
  circuit.ways.push_back({"spray hole", Kind::hole, behind, kSump, 0.4});
  const std::string svg = oil_circuit_svg(circuit);
  keep("circuit-filter.svg", svg);
  expect_nothing_overlaps(circuit, svg);
  EXPECT_THAT(svg, HasSubstr("screen or filter"));
  EXPECT_EQ(read(svg).ways.size(), circuit.ways.size());
}

// The wider line is the larger flow; the tone follows the pressure.
TEST(CircuitDrawing, WidthGrowsWithFlow) {
  const std::string svg = oil_circuit_svg(worn_engine());
  std::map<std::string, double> width;
  std::string ways;
  const auto tree = draw_test::parsed(svg);
  draw_test::walk(tree, [&](const std::string&, const draw_test::ptree& element) {
    const std::string own = draw_test::attribute(element, "data-ways");
    if (!own.empty()) ways = own;
    if (draw_test::attribute(element, "class") == "flow" && !width.contains(ways))
      width[ways] = std::stod(draw_test::attribute(element, "style").substr(13));
  });
  EXPECT_GT(width.at("0"), width.at("4"));   // pump, rods
  EXPECT_GT(width.at("4"), width.at("6"));   // bank 1 head feed
  EXPECT_GT(width.at("6"), width.at("15"));  // bank 2 head feed
  EXPECT_GT(width.at("15"), width.at("8"));  // bank 1 tensioner
}

TEST(CircuitDrawing, BanksStandSideBySide) {
  const std::string svg = oil_circuit_svg(worn_engine());
  const Read found = read(svg);
  // pump, gallery, bank 1 head, advance, retard, bank 2 head ...: plates in the order of the tree.
  ASSERT_EQ(found.plates.size(), 8U);
  EXPECT_LT(found.plates[2].center.x + 250, found.plates[5].center.x);
  EXPECT_NEAR(found.plates[2].center.y - found.plates[2].half_height,
              found.plates[5].center.y - found.plates[5].half_height, 0.01);
}

TEST(CircuitDrawing, ThinEngine) {
  const CircuitDrawing circuit = thin_engine();
  const std::string svg = oil_circuit_svg(circuit);
  keep("circuit-thin.svg", svg);
  expect_nothing_overlaps(circuit, svg);
}

TEST(CircuitDrawing, SixtyWays) {
  const CircuitDrawing circuit = sixty_ways();
  ASSERT_GE(circuit.ways.size(), 54U);
  const std::string svg = oil_circuit_svg(circuit);
  keep("circuit-sixty.svg", svg);
  expect_nothing_overlaps(circuit, svg);
  EXPECT_EQ(read(svg).ways.size(), circuit.ways.size());
  EXPECT_THAT(svg, HasSubstr(">8 together<"));
  EXPECT_THAT(svg, HasSubstr("Letters in circles"));
}

// One that is worn is never hidden among others.
TEST(CircuitDrawing, AWornOneStandsByItself) {
  CircuitDrawing circuit = thin_engine();
  for (int i = 1; i <= 4; ++i)
    circuit.ways.push_back({"cam journal " + std::to_string(i), Kind::clearance, 1, kSump,
                            i == 3 ? 0.9 : 0.1, i == 3 ? 0.09 : 0.03});
  const std::string svg = oil_circuit_svg(circuit);
  EXPECT_THAT(svg, HasSubstr(">0.90 L/min<"));
  EXPECT_THAT(svg, HasSubstr(">0.30 L/min<"));
  EXPECT_THAT(svg, HasSubstr(">3 together<"));
  expect_nothing_overlaps(circuit, svg);
}

TEST(CircuitDrawing, SaysWhatIsMissing) {
  EXPECT_THAT(oil_circuit_svg({}), HasSubstr("no places of the oil are known"));
  CircuitDrawing circuit{.title = "none"};
  add_node(circuit, "gallery", 100);
  EXPECT_THAT(oil_circuit_svg(circuit), HasSubstr("No ways between"));
  circuit.ways.push_back({"jet", Kind::hole, 0, kSump, 1});
  circuit.ways.push_back({"nowhere", Kind::hole, 7, -3, 1});
  const std::string svg = oil_circuit_svg(circuit);
  EXPECT_THAT(svg, HasSubstr("No pump in it"));
  EXPECT_THAT(svg, HasSubstr("joins no place: nowhere"));
  expect_nothing_overlaps(circuit, svg);
}

TEST(CircuitDrawing, EscapesNamesAndDrawsWhatIsNoNumber) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CircuitDrawing circuit = thin_engine();
  circuit.title = "<&\"'>";
  circuit.nodes[0].name = "gallery <b>&amp;</b> of an extremely long name without an end at all";
  circuit.nodes[1].pressure = nan;
  circuit.nodes[2].low = -nan;
  circuit.ways[0].flow = nan;
  circuit.ways[1].name = "<script>";
  circuit.ways[1].clearance = nan;
  const std::string svg = oil_circuit_svg(circuit);
  EXPECT_THAT(svg, Not(HasSubstr("<script")));
  EXPECT_THAT(svg, Not(HasSubstr("nan")));
  EXPECT_THAT(svg, HasSubstr(">?<"));
  expect_nothing_overlaps(circuit, svg);
}

// Any graph: trees, meshes, backward flows, several pumps, parts that nothing reaches.
TEST(CircuitDrawing, NothingOverlapsInAnyGraph) {
  std::mt19937_64 random(9);
  const auto pick = [&](int from, int to) {
    return std::uniform_int_distribution<int>(from, to)(random);
  };
  for (int round = 0; round < 12; ++round) {
    CircuitDrawing circuit{.title = "any"};
    const int nodes = pick(1, 20), ways = pick(1, 60);
    for (int i = 0; i < nodes; ++i) {
      const int bank = pick(0, 3);
      add_node(circuit,
               (bank > 0 ? "bank " + std::to_string(bank) + " " : std::string()) + "place " +
                   std::to_string(i),
               pick(0, 5000) / 10.0);
      circuit.nodes.back().below_limit = pick(0, 5) == 0;
      if (pick(0, 2) == 0) circuit.nodes.back().gauge = 100;
    }
    for (int i = 0; i < ways; ++i) {
      const int kind = pick(0, 5);
      circuit.ways.push_back(
          {(pick(0, 1) == 0 ? "bank 1 way " : "way along a gallery ") + std::to_string(pick(1, 9)),
           static_cast<Kind>(kind), pick(-1, nodes - 1), pick(-1, nodes - 1), pick(-20, 100) / 10.0,
           kind == 4 ? std::optional(0.05) : std::nullopt, pick(1, 3)});
    }
    const std::string svg = oil_circuit_svg(circuit);
    SCOPED_TRACE(round);
    expect_nothing_overlaps(circuit, svg);
    if (HasFailure()) {
      keep("circuit-any.svg", svg);
      return;
    }
  }
}

}  // namespace
}  // namespace tautmark
