// SPDX-License-Identifier: Apache-2.0
#include "draw/drive_svg.h"

#include <algorithm>
#include <cmath>

#include "draw/parts.h"

namespace tautmark {
namespace draw {
namespace {

constexpr double kRoomBeside = 92, kRoomAbove = 66, kRoomBelow = 58;  // for texts
constexpr double kMostHeight = 800, kLeastHeight = 260;
struct Extent {
  double left = HUGE_VAL, right = -HUGE_VAL, bottom = HUGE_VAL, top = -HUGE_VAL;  // metres
  void take(Point p, double around) {
    left = std::min(left, p.x.si() - around);
    right = std::max(right, p.x.si() + around);
    bottom = std::min(bottom, p.y.si() - around);
    top = std::max(top, p.y.si() + around);
  }
};

Extent extent_of(const Figure& figure) {
  Extent extent;
  double pitch = 0;
  for (const FigureChain& chain : figure.chains) {
    pitch = std::max(pitch, chain.pitch.si());
    for (const Point& pin : chain.pins) extent.take(pin, chain.pitch.si());
  }
  for (const FigureWheel& wheel : figure.wheels)
    extent.take(wheel.center, wheel.pitch_radius.si() + pitch);
  for (const FigureArc& arc : figure.arcs)
    if (arc.pivot) extent.take(*arc.pivot, pitch);
  for (const FigureTensioner& t : figure.tensioners) {
    const double back = std::max(4 * pitch, t.stroke.value_or(Length{}).si() + 2 * pitch);
    const XY along = clock_direction(t.points.si());
    extent.take(
        {t.base.x - Length::from_si(along.x * back), t.base.y + Length::from_si(along.y * back)},
        2 * pitch);
  }
  if (extent.left > extent.right) extent.take({}, 0.1);
  return extent;
}

// Scale and origin so that the figure stands in the middle, with room for texts around it.
// Returns the bottom of the drawing.
double lay_out(Sheet& sheet, double top) {
  const Extent extent = extent_of(sheet.figure);
  const double width = std::max(extent.right - extent.left, 1e-3);
  const double height = std::max(extent.top - extent.bottom, 1e-3);
  sheet.scale = std::min((kSheetWidth - 2 * (kInside + kRoomBeside)) / width, kMostHeight / height);
  const double middle = sheet.side() * (extent.left + extent.right) / 2;
  const double drawn = std::max(height * sheet.scale, kLeastHeight);
  sheet.origin = {kSheetWidth / 2 - middle * sheet.scale,
                  top + kRoomAbove + drawn / 2 + (extent.top + extent.bottom) / 2 * sheet.scale};
  const double bottom = top + kRoomAbove + drawn + kRoomBelow;
  sheet.labels = Labels({kInside, top}, {kSheetWidth - kInside, bottom});
  return bottom;
}

void draw_all(Sheet& sheet) {
  draw_tensioners(sheet);
  draw_arcs(sheet);
  draw_wheels(sheet);
  draw_chains(sheet);
  draw_casting_pointers(sheet);
  draw_errors(sheet);
  draw_rotation(sheet);
  draw_link_tags(sheet);
  name_errors(sheet);
  name_strands(sheet);
  name_banks(sheet);
  name_rotation(sheet);
  name_wheels(sheet);
  name_tensioners(sheet);
  name_arcs(sheet);
  if (sheet.options.link_numbers) number_links(sheet);
}

}  // namespace
}  // namespace draw

std::string drive_svg(const Figure& figure, const DrawOptions& options) {
  const Figure sane = draw::sifted(figure);
  draw::Sheet sheet{.figure = sane, .options = options};
  sheet.colors = draw::link_colors(sane);
  sheet.numbers = draw::chain_numbers(sane);
  const double top = draw::kFrame + 8 + (sane.invented ? draw::kBannerHeight : 0);
  const double bottom = draw::lay_out(sheet, top);
  draw::draw_all(sheet);
  draw::FrameTexts texts = draw::frame_texts(sheet);
  for (const FigureChain& chain : sane.chains) texts.notes.push_back(draw::chain_words(chain));
  std::rotate(texts.notes.begin(),
              texts.notes.end() - static_cast<std::ptrdiff_t>(sane.chains.size()),
              texts.notes.end());
  const double height = draw::write_frame(sheet, texts, bottom);
  const std::string title = sane.title + ", " + draw::view_words(sheet);
  return draw::document_head(sheet, height, title, draw::described(sheet), "drive") +
         sheet.svg.markup() + sheet.words.markup() + "</svg>\n";
}

}  // namespace tautmark
