// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "draw/sheet.h"

namespace tautmark::draw {

void write_tag(Svg& svg, const std::vector<LinkColor>& colors, std::size_t color, XY center,
               std::string_view number) {
  constexpr double r = kTagRadius - 0.5;
  Path shape;
  switch (color % 4) {
    case 0:
      shape.circle(center, r);
      break;
    case 1:
      shape.move(center + XY{-r, -r}).line(center + XY{r, -r}).line(center + XY{r, r});
      shape.line(center + XY{-r, r}).close();
      break;
    case 2: {
      constexpr double h = r * 0.5, w = r * 0.95;  // hexagon
      shape.move(center + XY{-w, -h}).line(center + XY{0, -r - 1}).line(center + XY{w, -h});
      shape.line(center + XY{w, h}).line(center + XY{0, r + 1}).line(center + XY{-w, h}).close();
      break;
    }
    default: {
      constexpr double w = r * 0.62;  // octagon
      shape.move(center + XY{-w, -r}).line(center + XY{w, -r}).line(center + XY{r, -w});
      shape.line(center + XY{r, w}).line(center + XY{w, r}).line(center + XY{-w, r});
      shape.line(center + XY{-r, w}).line(center + XY{-r, -w}).close();
    }
  }
  svg.path("medium paper", shape);
  const std::string words = colors[color].letter + std::string(number);
  constexpr double kLetter = 10.5, kRoom = 2 * kTagRadius - 3.5;
  svg.text("t b", center, std::min(kLetter, kRoom / text_width(words, true)), Anchor::middle,
           words);
}

}  // namespace tautmark::draw
