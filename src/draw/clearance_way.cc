// SPDX-License-Identifier: Apache-2.0
// The moves of a way on a clearance map.
#include <algorithm>
#include <cmath>

#include "draw/clearance_parts.h"

namespace tautmark::draw {
namespace {

constexpr double kRing = 5.5, kBadge = 8;

// How many turns to go back.
double turns(double value, double from, double to) {
  return std::floor((value - from) / (to - from)) * (to - from);
}

void write_head(Svg& svg, XY tip, XY along) {
  constexpr double kLong = 10, kHalf = 4.6;
  const XY back = tip - kLong * along, aside = kHalf * right_of(along);
  svg.path("way head", Path().move(tip).line(back + aside).line(back - aside).close());
}

// Where its number stands: on the move, off its ends, where no other number is.
XY badge_place(MapSheet& sheet, XY from, XY to) {
  constexpr double kOff = 15;
  const XY aside = kOff * right_of(unit(to - from));
  for (const double part : {0.5, 0.35, 0.65, 0.2, 0.8})
    for (const double side : {0.0, 1.0, -1.0, 2.0, -2.0}) {
      const XY at = from + part * (to - from) + side * aside;
      const bool is_on_line_and_short = side == 0 && length(to - from) < 8 * kBadge;
      const bool is_inside = at.x > sheet.x.at_from + kBadge && at.x < sheet.x.at_to - kBadge &&
                             at.y > sheet.top() + kBadge && at.y < sheet.bottom() - kBadge;
      if (is_on_line_and_short || !is_inside) continue;
      if (sheet.labels.is_free({at, kBadge + 1, kBadge + 1})) return at;
    }
  return from + 0.5 * (to - from);
}

void write_badge(MapSheet& sheet, XY at, std::size_t number) {
  sheet.labels.take({at, kBadge + 1, kBadge + 1});
  sheet.over.circle("badge", at, kBadge);
  sheet.over.text("in-badge b", at, 10.5, Anchor::middle, std::to_string(number));
}

void write_end(MapSheet& sheet, XY at, const std::string& words, bool is_start) {
  constexpr double kSize = 11.5;
  sheet.over.circle("plate", at, kRing + 2);
  sheet.over.circle("way", at, kRing);
  if (!is_start) sheet.over.circle("badge", at, 2.6);
  const double half = text_width(words, true) * kSize / 2;
  std::vector<XY> places;
  for (const double up : {0.0, -16.0, 16.0, -30.0, 30.0, -44.0, 44.0, -60.0, 60.0})
    for (const double side : {1.0, -1.0}) places.push_back(at + XY{side * (half + 13), up});
  for (const XY place : places) {
    const Box box{place, half, kSize / 2 + 1};
    const bool is_inside = place.x - half > sheet.x.at_from + 3 &&
                           place.x + half < sheet.x.at_to - 3 && place.y > sheet.top() + 9 &&
                           place.y < sheet.bottom() - 9;
    if (!is_inside || !sheet.labels.is_free(box)) continue;
    sheet.labels.take(box);
    sheet.over.text("t b", place, kSize, Anchor::middle, words);
    return;
  }
}

}  // namespace

XY Round::inside(XY v) const { return v - XY{turns(v.x, from.x, to.x), turns(v.y, from.y, to.y)}; }

Round round_of(const MapSheet& sheet) {
  return {{sheet.x.from, sheet.y.from}, {sheet.x.to, sheet.y.to}};
}

std::vector<std::pair<XY, XY>> round_pieces(XY from, XY to, const Round& round) {
  constexpr double kSliver = 1e-9;
  std::vector<double> cuts{0, 1};
  const auto cut = [&](double a, double b, double low, double around) {
    if (std::abs(b - a) < kSliver) return;
    const double least = std::min(a, b), most = std::max(a, b);
    for (double line = low + std::ceil((least - low) / around) * around; line <= most;
         line += around)
      cuts.push_back(std::clamp((line - a) / (b - a), 0.0, 1.0));
  };
  cut(from.x, to.x, round.from.x, round.to.x - round.from.x);
  cut(from.y, to.y, round.from.y, round.to.y - round.from.y);
  std::sort(cuts.begin(), cuts.end());
  std::vector<std::pair<XY, XY>> pieces;
  for (std::size_t i = 1; i < cuts.size(); ++i) {
    if (cuts[i] - cuts[i - 1] < kSliver) continue;
    const XY a = from + cuts[i - 1] * (to - from), b = from + cuts[i] * (to - from);
    const XY middle = 0.5 * (a + b), shift = middle - round.inside(middle);
    pieces.emplace_back(a - shift, b - shift);
  }
  return pieces;
}

void write_way(MapSheet& sheet, const MapWay& way) {
  const Round round = round_of(sheet);
  XY now{way.across, way.up};
  const XY start = sheet.at(round.inside(now));
  const XY end = sheet.at(round.inside({way.to_across, way.to_up}));
  for (const XY at : {start, end}) sheet.labels.take({at, kRing + 3, kRing + 3});
  Path lines;
  Svg heads;
  std::vector<std::pair<std::size_t, std::pair<XY, XY>>> numbered;
  for (std::size_t i = 0; i < way.moves.size(); ++i) {
    const MapMove& move = way.moves[i];
    if (move.elsewhere) continue;
    const XY to = now + XY{move.across_by, move.up_by};
    std::pair<XY, XY> longest{};
    for (const auto& [a, b] : round_pieces(now, to, round)) {
      const std::pair piece{sheet.at(a), sheet.at(b)};
      lines.move(piece.first).line(piece.second);
      if (length(piece.second - piece.first) > length(longest.second - longest.first))
        longest = piece;
    }
    const XY along = unit(longest.second - longest.first);
    if (length(longest.second - longest.first) > 0) {
      const XY tip = sheet.at(round.inside(to));
      write_head(heads, length(tip - longest.second) < 1 ? tip - 7 * along : longest.second, along);
      numbered.emplace_back(i + 1, longest);
    }
    now = to;
  }
  sheet.over.path("casing", lines);
  sheet.over.path("way", lines, Svg::attribute("data-way", static_cast<double>(numbered.size())));
  sheet.over.raw(heads.markup());
  for (const auto& [number, piece] : numbered)
    write_badge(sheet, badge_place(sheet, piece.first, piece.second), number);
  write_end(sheet, end, "wanted", false);
  write_end(sheet, start, "as found", true);
}

}  // namespace tautmark::draw
