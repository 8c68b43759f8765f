// SPDX-License-Identifier: Apache-2.0
#include "draw/oil_circuit.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include "draw/oil_circuit_parts.h"
#include "draw/oil_style.h"
#include "draw/plot_axis.h"

namespace tautmark {
namespace {

using draw::Anchor;
using draw::CircuitBlock;
using draw::CircuitColumn;
using draw::CircuitItem;
using draw::CircuitPlate;
using draw::CircuitShelf;
using draw::Path;
using draw::Svg;
using draw::XY;

constexpr double kWidth = draw::kSheetWidth - 2 * draw::kInside;
constexpr double kSymbolDown = 34, kHead = 9, kTank = 13;
constexpr std::string_view kCaution =
    "A computed drawing: it proves no pressure. What no gauge has read is expected, not known. The "
    "engine maker's data come first.";

class Drawing {
 public:
  explicit Drawing(const CircuitDrawing& circuit) : circuit_(circuit) {
    for (const DrawnNode& node : circuit.nodes)
      if (std::isfinite(node.pressure)) highest_ = std::max(highest_, node.pressure);
    for (const DrawnWay& way : circuit.ways)
      if (std::isfinite(way.flow)) most_ = std::max(most_, std::abs(way.flow));
  }

  void item(const CircuitItem& item, XY at, int above) {
    const bool has_panel = !item.bank.empty();
    if (has_panel) {
      take(at, item.width, item.height);
      svg_.rect("panel", at + XY{2, 5}, item.width - 4, item.height - 5);
      headings_.text("t b", at + XY{draw::kPanelApart + draw::kColumnLabel, 21}, 15, Anchor::start,
                     upper(item.bank));
      at.x += draw::kPanelApart;
    }
    const double heading = has_panel ? draw::kBankHeading : 0;
    if (item.below && !item.below->has_plate)
      rail(above, at + XY{0, -1}, item.way_height + 2, true);
    double x = at.x;
    for (const CircuitColumn& one : item.columns) {
      column(one, {x, at.y}, item.way_height, heading, above);
      take({x, at.y}, draw::kColumnWidth, item.way_height);
      x += draw::kColumnWidth;
    }
    if (item.below) block(*item.below, at + XY{0, item.way_height});
  }

  [[nodiscard]] std::string markup() const { return svg_.markup() + headings_.markup(); }
  [[nodiscard]] bool is_free(XY corner, double width, double height) const {
    const draw::Box box{corner + XY{width / 2, height / 2}, width / 2, height / 2};
    return std::none_of(taken_.begin(), taken_.end(),
                        [&](const draw::Box& one) { return draw::overlap(box, one); });
  }
  [[nodiscard]] double highest() const { return highest_; }
  [[nodiscard]] double most() const { return most_; }

 private:
  static std::string upper(std::string words) {
    for (char& c : words)
      if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    return words;
  }

  [[nodiscard]] int tone(int node) const {
    return draw::pressure_tone(circuit_.nodes[node].pressure, highest_);
  }

  void take(XY corner, double width, double height) {
    taken_.push_back({corner + XY{width / 2, height / 2}, width / 2, height / 2});
  }

  void rail(int node, XY at, double length, bool is_upright) {
    const double width = is_upright ? draw::kCircuitRail : length;
    const double height = is_upright ? length : draw::kCircuitRail;
    take(at, width, height);
    svg_.rect("rail tone" + std::to_string(tone(node)), at, width, height);
  }

  static double rail_end(const CircuitShelf& shelf) {
    if (shelf.items.empty()) return 0;
    const CircuitItem& last = shelf.items.back();
    const double panel = last.bank.empty() ? 0 : draw::kPanelApart;
    const double line =
        last.columns.empty()
            ? draw::kCircuitRail
            : draw::kColumnLine +
                  draw::kColumnWidth * (static_cast<double>(last.columns.size()) - 1) + 9;
    return last.x + panel + line;
  }

  void block(const CircuitBlock& block, XY at) {
    double y = at.y + (block.has_plate ? block.plate.height : 0);
    double trunk_to = y;
    std::vector<std::pair<const CircuitShelf*, double>> tops;
    for (std::size_t i = 0; i < block.shelves.size(); ++i) {
      if (i > 0) y += draw::kShelfApart;
      tops.emplace_back(&block.shelves[i], y);
      trunk_to = y;
      y += draw::kCircuitRail + block.shelves[i].height;
    }
    if (trunk_to > at.y + block.plate.height)
      rail(block.node, {at.x, tops.front().second},
           trunk_to - tops.front().second + draw::kCircuitRail, true);
    for (const auto& [shelf, top] : tops)
      rail(block.node, {at.x, top},
           std::max(rail_end(*shelf),
                    top == tops.front().second && block.has_plate ? block.plate.width : 0),
           false);
    if (tops.empty()) rail(block.node, {at.x, y}, block.plate.width, false);
    // What goes on downward is one piece with its rails.
    if (trunk_to > at.y + block.plate.height)
      svg_.rect("bare tone" + std::to_string(tone(block.node)),
                {at.x + 0.6, tops.front().second + 0.6}, draw::kCircuitRail - 1.2,
                trunk_to - tops.front().second + draw::kCircuitRail - 1.2);
    if (block.has_plate) plate(block.plate, block.node, at);
    for (const auto& [shelf, top] : tops)
      for (const CircuitItem& one : shelf->items)
        item(one, {at.x + one.x, top + draw::kCircuitRail}, block.node);
  }

  void plate(const CircuitPlate& plate, int index, XY at) {
    const DrawnNode& node = circuit_.nodes[index];
    constexpr double kCut = 13, kBeside = 11;
    const std::string number = std::to_string(tone(index));
    const double w = plate.width, h = plate.height;
    take(at, w, h);
    svg_.open("g", "place", Svg::attribute("data-node", static_cast<double>(index)));
    svg_.raw("<title>" + escaped(draw::node_name(circuit_, index)) + "</title>");
    Path shape;
    if (node.below_limit)
      shape.move(at + XY{kCut, 0}).line(at + XY{w - kCut, 0}).line(at + XY{w, kCut});
    else
      shape.move(at).line(at + XY{w, 0});
    shape.line(at + XY{w, h}).line(at + XY{0, h});
    if (node.below_limit) shape.line(at + XY{0, kCut});
    shape.close();
    svg_.path((node.below_limit ? "low tone" : "plate tone") + number, shape);
    const std::string on = "on" + number;
    double y = at.y + draw::kPlateAir;
    const double x = at.x + kBeside;
    for (const std::string& line : plate.name) {
      svg_.text("t b " + on, {x, y + draw::kPlateNameLine / 2}, draw::kPlateName, Anchor::start,
                line);
      y += draw::kPlateNameLine;
    }
    svg_.text("t b " + on, {x, y + draw::kPressureLine / 2}, draw::kPressureSize, Anchor::start,
              plate.pressure);
    svg_.text("t " + on,
              {x + draw::text_width(plate.pressure, true) * draw::kPressureSize + 4,
               y + draw::kPressureLine / 2 + 4},
              14, Anchor::start, "kPa");
    y += draw::kPressureLine;
    if (!plate.range.empty()) {
      svg_.text("t " + on, {x, y + draw::kRangeLine / 2}, draw::kRangeSize, Anchor::start,
                plate.range);
      y += draw::kRangeLine;
    }
    if (!plate.gauge.empty()) {
      y += 4;
      draw::write_gauge(svg_, {x + 8, y + draw::kRangeLine / 2});
      svg_.text("t b " + on, {x + 22, y + draw::kRangeLine / 2}, draw::kRangeSize, Anchor::start,
                plate.gauge);
    }
    if (!plate.low.empty()) {
      const double height = draw::kRangeLine + 4;
      const XY corner = at + XY{1.7, h - height - 1.7};
      svg_.rect("low-fill", corner, w - 3.4, height + 1.7);
      const XY middle = corner + XY{12, height / 2};
      svg_.path("paper bare", Path()
                                  .move(middle + XY{-6, -5})
                                  .line(middle + XY{6, -5})
                                  .line(middle + XY{0, 6})
                                  .close());
      svg_.text("t b on-low", corner + XY{23, height / 2}, draw::kRangeSize, Anchor::start,
                plate.low);
    }
    svg_.close("g");
  }

  [[nodiscard]] std::string way_indices(const CircuitColumn& one) const {
    std::string words;
    for (const std::size_t i : one.ways) words += (words.empty() ? "" : " ") + std::to_string(i);
    return words;
  }
  [[nodiscard]] std::string way_names(const CircuitColumn& one) const {
    std::string words;
    for (const std::size_t i : one.ways)
      words += (words.empty() ? "" : ", ") + circuit_.ways[i].name;
    return words;
  }

  void arrow(XY tip, double width, double down) {
    const double half = 4.5 + width / 2;
    svg_.path("flow-fill", Path()
                               .move(tip)
                               .line(tip + XY{-half, -down * kHead})
                               .line(tip + XY{half, -down * kHead})
                               .close());
  }

  // From the rail at the top down to a plate, a tank or a tag; of a pump from the tank on.
  void column(const CircuitColumn& one, XY at, double height, double heading, int above) {
    const bool from_sump = above == kDrawnSump;
    const XY top{at.x + draw::kColumnLine, at.y};
    const bool upward = one.flow < 0;
    const double width = draw::flow_width(one.flow, most_);
    double begin = top.y, end = at.y + height;
    if (from_sump) begin += kTank - 4;
    if (one.end == CircuitColumn::End::sump) end = at.y + heading + kSymbolDown + 42;
    if (one.end == CircuitColumn::End::tag) end = at.y + heading + kSymbolDown + 30;
    svg_.open("g", "way", Svg::attribute("data-ways", way_indices(one)));
    svg_.raw("<title>" + escaped(way_names(one)) + "</title>");
    const bool is_still = one.flow == 0 || !std::isfinite(one.flow);
    const double from = upward && !is_still ? begin + kHead - 1 : begin;
    const double to = !upward && !is_still ? end - kHead + 1 : end;
    svg_.path("flow", Path().move({top.x, from}).line({top.x, to}),
              Svg::attribute("style", "stroke-width:" + draw::number(width)));
    if (!is_still) arrow({top.x, upward ? begin : end}, width, upward ? -1 : 1);
    const XY symbol{top.x, at.y + heading + kSymbolDown};
    double gap = 0;
    for (const std::size_t i : one.ways)
      gap = std::max(gap, circuit_.ways[i].clearance.value_or(0));
    draw::write_way_symbol(svg_, one.kind, symbol, upward, gap);
    if (from_sump) draw::write_tank(svg_, top + XY{0, 0});
    if (one.end == CircuitColumn::End::sump) draw::write_tank(svg_, {top.x, end - 3});
    if (one.end == CircuitColumn::End::tag) {
      svg_.circle("symbol", {top.x, end + 12}, 12);
      svg_.text("t b on-tag", {top.x, end + 12}, one.letter.size() > 1 ? 12 : 15, Anchor::middle,
                one.letter);
    }
    label(one, {at.x + draw::kColumnLabel, at.y + heading + 7});
    svg_.close("g");
  }

  void label(const CircuitColumn& one, XY at) {
    for (const std::string& line : one.name) {
      svg_.text("t", at + XY{0, draw::kNameLine / 2}, draw::kNameSize, Anchor::start, line);
      at.y += draw::kNameLine;
    }
    svg_.text("t b", at + XY{0, draw::kFlowLine / 2}, draw::kFlowSize, Anchor::start,
              one.flow_words);
    at.y += draw::kFlowLine;
    for (const std::string& line : one.more) {
      svg_.text("t", at + XY{0, draw::kNameLine / 2}, draw::kNameSize, Anchor::start, line);
      at.y += draw::kNameLine;
    }
  }

  const CircuitDrawing& circuit_;
  double highest_ = 0, most_ = 0;
  Svg svg_, headings_;
  std::vector<draw::Box> taken_;
};

struct KeyEntry {
  double sign = 0;  // width
  std::string words;
  std::function<void(Svg&, XY)> write;  // about the middle of the sign
};

// Signs that stand in this drawing, what wide lines and dark plates are.
std::vector<KeyEntry> key_of(const CircuitDrawing& circuit, const Drawing& drawing) {
  std::vector<KeyEntry> entries;
  const auto sign = [&](DrawnWayKind kind, const char* words) {
    if (std::any_of(circuit.ways.begin(), circuit.ways.end(),
                    [&](const DrawnWay& way) { return way.kind == kind; }))
      entries.push_back(
          {34, words, [kind](Svg& svg, XY c) { draw::write_way_symbol(svg, kind, c, false); }});
  };
  sign(DrawnWayKind::pump, "pump");
  sign(DrawnWayKind::relief, "relief valve");
  sign(DrawnWayKind::check_valve, "check valve");
  sign(DrawnWayKind::hole, "hole");
  sign(DrawnWayKind::clearance, "clearance, wider when worn");
  sign(DrawnWayKind::slot, "slot");
  sign(DrawnWayKind::screen, "screen or filter");
  entries.push_back({34, "sump", [](Svg& svg, XY c) { draw::write_tank(svg, c - XY{0, 4}); }});
  if (std::any_of(circuit.nodes.begin(), circuit.nodes.end(), [](auto& n) { return n.gauge; }))
    entries.push_back({34, "read on a gauge", [](Svg& svg, XY c) { draw::write_gauge(svg, c); }});
  if (std::any_of(circuit.nodes.begin(), circuit.nodes.end(),
                  [](auto& n) { return n.below_limit; }))
    entries.push_back(
        {34, "below its limit", [](Svg& svg, XY c) {
           svg.path("low-fill",
                    Path().move(c + XY{-9, -7}).line(c + XY{9, -7}).line(c + XY{0, 9}).close());
         }});
  if (drawing.most() > 0)
    for (const double flow : {drawing.most(), 0.1 * drawing.most()})
      entries.push_back({34, draw::flow_words(flow), [flow, &drawing](Svg& svg, XY c) {
                           const double width = draw::flow_width(flow, drawing.most());
                           svg.path("flow", Path().move(c - XY{16, 0}).line(c + XY{16, 0}),
                                    Svg::attribute("style", "stroke-width:" + draw::number(width)));
                         }});
  if (drawing.highest() > 0)
    entries.push_back(
        {100, "0 to " + draw::pressure_words(drawing.highest()) + " kPa", [](Svg& svg, XY c) {
           for (int i = 0; i < draw::kPressureTones; ++i)
             svg.rect("rail tone" + std::to_string(i), {c.x - 50 + i * 20, c.y - 8}, 20, 16);
         }});
  return entries;
}

// In the right upper corner where the circuit leaves it free, else in rows from `bottom` on.
// Returns the bottom of both.
double write_key(Svg& svg, const std::vector<KeyEntry>& entries, const Drawing& drawing, double top,
                 double bottom) {
  constexpr double kSize = 13.5, kRow = 36, kApart = 18, kBeside = 8, kAir = 8;
  double widest = 0;
  for (const KeyEntry& one : entries)
    widest = std::max(widest, one.sign + kBeside + draw::text_width(one.words) * kSize);
  const double height = kRow * static_cast<double>(entries.size());
  const XY corner{draw::kPlotRight - widest, top};
  const bool is_corner =
      drawing.is_free(corner - XY{kAir, kAir}, widest + 2 * kAir, height + 2 * kAir);
  XY at = is_corner ? corner : XY{draw::kInside, bottom};
  for (const KeyEntry& one : entries) {
    const double width = one.sign + kBeside + draw::text_width(one.words) * kSize;
    if (!is_corner && at.x > draw::kInside && at.x + width > draw::kPlotRight)
      at = {draw::kInside, at.y + kRow};
    one.write(svg, at + XY{one.sign / 2, kRow / 2});
    svg.text("t", at + XY{one.sign + kBeside, kRow / 2}, kSize, Anchor::start, one.words);
    if (is_corner)
      at.y += kRow;
    else
      at.x += width + kApart;
  }
  return is_corner ? std::max(bottom, corner.y + height) : at.y + kRow;
}

draw::FrameTexts frame_texts(const CircuitDrawing& circuit, const draw::CircuitTree& tree) {
  draw::FrameTexts texts{.title = circuit.title,
                         .rows = circuit.facts,
                         .notes = circuit.notes,
                         .caution = std::string(kCaution),
                         .invented = circuit.invented,
                         .scale_words = {}};
  for (const std::size_t i : tree.left_out)
    texts.notes.push_back("Not drawn, it joins no place: " + circuit.ways[i].name + ".");
  if (std::any_of(tree.links.begin(), tree.links.end(), [](auto& l) { return !l.empty(); }))
    texts.notes.emplace_back("Letters in circles: one way, drawn at both of its places.");
  return texts;
}

std::string missing(const CircuitDrawing& circuit) {
  if (circuit.nodes.empty()) return "Nothing to draw: no places of the oil are known.";
  if (circuit.ways.empty()) return "No ways between the places are known.";
  const bool has_pump = std::any_of(circuit.ways.begin(), circuit.ways.end(),
                                    [](auto& way) { return way.kind == DrawnWayKind::pump; });
  return has_pump ? "" : "No pump in it: nothing drives the oil.";
}

}  // namespace

std::string oil_circuit_svg(const CircuitDrawing& circuit, const PlotOptions& options) {
  constexpr double kHeadline = 17, kHeadlineLine = 22, kNotesBelow = 14;
  const draw::CircuitTree tree = draw::circuit_tree(circuit);
  const auto items = draw::circuit_layout(circuit, tree, kWidth);
  double y = draw::kFrame + 14 + (circuit.invented ? draw::kBannerHeight : 0);
  Svg svg;
  svg.open("g", "oil-circuit");
  for (const std::string& line : draw::wrapped(circuit.headline, kWidth / kHeadline, true)) {
    svg.text("t b", {draw::kInside, y + kHeadlineLine / 2}, kHeadline, Anchor::start, line);
    y += kHeadlineLine;
  }
  for (const std::string& line : draw::wrapped(missing(circuit), kWidth / kHeadline, true)) {
    svg.text("t b warn", {draw::kInside, y + kHeadlineLine / 2}, kHeadline, Anchor::start, line);
    y += kHeadlineLine;
  }
  y += 10;
  const double top = y;
  Drawing drawing(circuit);
  for (const CircuitItem& item : items) {
    const double x = draw::kInside + std::max(0.0, (kWidth - item.width) / 2);
    drawing.item(item, {x, y}, kDrawnSump);
    y += item.height + 16;
  }
  svg.raw(drawing.markup());
  svg.close("g");
  if (items.empty()) y += 40;
  if (!circuit.nodes.empty()) y = write_key(svg, key_of(circuit, drawing), drawing, top, y);
  svg.open("g", "plain sheet-frame");
  const double height = draw::write_frame(svg, frame_texts(circuit, tree), y, y + kNotesBelow);
  svg.close("g");
  return draw::document_head(
             {options.paper, options.width_px, height, {}, draw::oil_style(options.paper)},
             circuit.title + ", oil circuit", draw::circuit_words(circuit), "oil-circuit-sheet") +
         svg.markup() + "</svg>\n";
}

}  // namespace tautmark
