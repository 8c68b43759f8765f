// SPDX-License-Identifier: Apache-2.0
// What the parts of the drawing of an oil circuit share: the graph as a tree, the tree as blocks.
//
// A place is a plate with a rail under it. What leaves the place hangs from the rail, side by side;
// where the sheet is too narrow the rail goes on, round its left end, to a further shelf. So every
// way is one straight line, and no two lines cross.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "draw/oil_circuit.h"
#include "draw/svg.h"

namespace tautmark::draw {

// Ways drawn as one line.
struct CircuitColumn {
  enum class End { sump, place, tag };
  std::vector<std::size_t> ways{};
  DrawnWayKind kind = DrawnWayKind::hole;
  double flow = 0;  // away from the place that it hangs on
  End end = End::sump;
  std::string letter{};             // of the tag
  std::vector<std::string> name{};  // lines
  std::string flow_words{};
  std::vector<std::string> more{};
  double label_height = 0;
};

struct CircuitPlate {
  std::vector<std::string> name{};
  std::string pressure{}, range{}, gauge{}, low{};
  double width = 0, height = 0;
};

struct CircuitBlock;
struct CircuitItem {
  std::vector<CircuitColumn> columns{};         // none: the rail itself goes down to the block
  std::shared_ptr<const CircuitBlock> below{};  // none: columns end in the sump or a tag
  std::string bank{};                           // heading of its panel
  double x = 0, width = 0, way_height = 0, height = 0;
  double penalty = 0;  // for ways that had to be drawn as one
};
struct CircuitShelf {
  std::vector<CircuitItem> items{};
  double height = 0;
};
struct CircuitBlock {
  int node = 0;
  bool has_plate = true;
  CircuitPlate plate{};
  std::vector<CircuitShelf> shelves{};
  double width = 0, height = 0, penalty = 0;
};

inline constexpr double kColumnWidth = 131, kColumnLine = 20, kColumnLabel = 39;
inline constexpr double kCircuitRail = 8, kShelfApart = 6, kPanelApart = 10, kBankHeading = 26;
inline constexpr double kTrunk = 18;  // room left of a shelf for the rail that goes on
inline constexpr double kNameSize = 12.5, kNameLine = 15, kFlowSize = 14.5, kFlowLine = 18;
inline constexpr double kPlateName = 14.5, kPlateNameLine = 17, kPressureSize = 27,
                        kPressureLine = 31, kRangeSize = 13, kRangeLine = 17, kPlateAir = 7;

// oil_circuit_tree.cc: from the pumps on, along the largest flows.
struct CircuitTree {
  struct Link {  // a way across, from the one place to the other
    std::size_t way = 0;
    std::string letter{};
  };
  std::vector<int> roots{};
  std::vector<std::vector<std::size_t>> feeds{};   // by node: from above; of a root: its pumps
  std::vector<std::vector<std::size_t>> drains{};  // by node: to the sump
  std::vector<std::vector<Link>> links{};          // by node
  std::vector<std::vector<int>> children{};
  std::vector<std::size_t> left_out{};  // ways that join no place
};
CircuitTree circuit_tree(const CircuitDrawing& circuit);
double flow_from(const DrawnWay& way, int node);

// oil_circuit_words.cc
std::string pressure_words(double kpa);
std::string rough_words(double kpa);
std::string flow_words(double liters_per_minute);
std::string node_name(const CircuitDrawing& circuit, int node);  // "the sump"
std::string bank_of(std::string_view name);                      // "bank 1", or nothing
std::string circuit_words(const CircuitDrawing& circuit);        // the drawing in sentences
CircuitPlate plate_of(const CircuitDrawing& circuit, int node, std::string_view bank);
// Numbered ways of one kind and about one flow become one.
std::vector<CircuitColumn> columns_of(const CircuitDrawing& circuit, int node,
                                      const std::vector<std::size_t>& ways, std::string_view bank);
void add_label(const CircuitDrawing& circuit, std::string_view bank, CircuitColumn& column);

// oil_circuit_layout.cc: at most `width` wide where that can be.
std::vector<CircuitItem> circuit_layout(const CircuitDrawing& circuit, const CircuitTree& tree,
                                        double width);

// oil_symbols.cc: on a line that runs down through `at`.
inline constexpr double kSymbolHalf = 15;
double flow_width(double flow, double largest);
void write_way_symbol(Svg& svg, DrawnWayKind kind, XY at, bool upward, double gap_mm = 0);
void write_tank(Svg& svg, XY top_middle);
void write_gauge(Svg& svg, XY center);

}  // namespace tautmark::draw
