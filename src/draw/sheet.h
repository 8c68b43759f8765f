// SPDX-License-Identifier: Apache-2.0
// The sheet under a drawing: how millimetres become its units, and the colors of marked links.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "draw/drive_svg.h"
#include "draw/labels.h"
#include "draw/svg.h"

namespace tautmark::draw {

inline constexpr double kSheetWidth = 800;
inline constexpr double kFrame = 10;   // of the frame, from the edge
inline constexpr double kInside = 22;  // of everything else

// Marked links are told apart by color, by the shape and letter of their tag, and in print by the
// filling of the link.
struct LinkColor {
  std::string name;    // as written: "copper"
  std::string letter;  // "C"
  std::string fill;    // "#b4643c"
};
std::vector<LinkColor> link_colors(const Figure& figure);
std::size_t color_index(const std::vector<LinkColor>& colors, std::string_view name);

// What the tags of a chain carry beside the letter: nothing when it is the only one, the number of
// its bank when that tells the chains apart, else its place among the chains.
struct ChainNumbers {
  std::vector<std::string> of_chain;
  std::string note;  // what the numbers mean; empty: there are none
};
ChainNumbers chain_numbers(const Figure& figure);

struct Sheet {
  const Figure& figure;
  DrawOptions options{};
  double scale = 1000;  // units per metre
  XY origin{};          // of the crankshaft
  std::vector<LinkColor> colors{};
  ChainNumbers numbers{};
  Svg svg{};    // the drawing
  Svg words{};  // over it
  Labels labels{XY{}, XY{}};
  std::vector<std::string> unplaced{};

  [[nodiscard]] double side() const { return options.mirrored ? -1 : 1; }
  [[nodiscard]] XY at(Point p) const {
    return origin + XY{side() * p.x.si() * scale, -p.y.si() * scale};
  }
  [[nodiscard]] double units(Length l) const { return l.si() * scale; }
  [[nodiscard]] double turned(Angle clock) const { return side() * clock.si(); }  // radians
  [[nodiscard]] XY direction(Angle clock) const { return clock_direction(turned(clock)); }
  void place(const Label& label, std::span<const Place> places);
};

// style.cc
std::string style_sheet(Paper paper, const std::vector<LinkColor>& colors);
std::string plot_style(Paper paper);  // the same with what plots of recordings need
std::string_view paper_class(Paper paper);
std::string_view paper_fill(Paper paper);
// A drawing as a document: `attributes` of its root, `style` and what else stands before the
// shapes.
struct Page {
  Paper paper = Paper::screen;
  int width_px = 800;
  double height = 0;
  std::string attributes{}, style{};
};
// The opening of the document up to the style; `about` is read out instead of the drawing.
std::string document_head(const Page& page, std::string_view title, std::string_view about,
                          std::string_view kind);
std::string document_head(const Sheet& sheet, double height, std::string_view title,
                          std::string_view about, std::string_view kind);

// tag.cc: shape and letter of a color, 2 * kTagRadius wide, with the number of the chain
inline constexpr double kTagRadius = 8;
void write_tag(Svg& svg, const std::vector<LinkColor>& colors, std::size_t color, XY center,
               std::string_view number = {});

// frame.cc
struct FrameTexts {
  std::string title;
  std::vector<std::pair<std::string, std::string>> rows;  // caption, words
  std::vector<std::string> notes;
  std::string caution;
  bool invented = false;
  bool scale_bar = false;
  double units_per_mm = 1;                              // of the bar
  std::string scale_words = "schematic, not to scale";  // without a bar; empty: no such row
};
inline constexpr double kBannerHeight = 30;
inline constexpr double kNotesWidth = 414;  // beside the title block
// Everything outside the drawing: frame, banner, notes, title block. Returns the sheet's height.
double write_frame(Sheet& sheet, FrameTexts texts, double drawing_bottom);
double write_frame(Svg& svg, const FrameTexts& texts, double drawing_bottom, double notes_top);

// words.cc
FrameTexts frame_texts(const Sheet& sheet);
std::string described(const Sheet& sheet);  // the drawing in sentences
std::string view_words(const Sheet& sheet);
std::string crank_words(CrankAngle crank);
// Counts go from sprocket mark to sprocket mark as they stand at the marks; turned on, other
// numbers of links lie in the strands.
bool counts_hold(const Figure& figure);
std::string chain_words(const FigureChain& chain);

}  // namespace tautmark::draw
