// SPDX-License-Identifier: Apache-2.0
#include "draw/plot_axis.h"

#include <algorithm>
#include <cmath>

#include "base/quantity_text.h"

namespace tautmark::draw {

double step_of(double span, int most) {
  if (!(span > 0) || !std::isfinite(span)) return 1;
  const double least = span / most;
  const double power = std::pow(10, std::floor(std::log10(least)));
  constexpr double kSlack = 1 - 1e-9;
  for (const double factor : {1.0, 2.0, 5.0})
    if (factor * power >= least * kSlack) return factor * power;
  return 10 * power;
}

int decimals_of(double step) {
  return std::max(0, static_cast<int>(-std::floor(std::log10(step) + 1e-9)));
}

std::vector<double> multiples(double from, double to, double step) {
  std::vector<double> values;
  constexpr double kSlack = 1e-6;
  constexpr std::size_t kMost = 1000;
  for (double i = std::ceil(from / step - kSlack); i <= to / step + kSlack && values.size() < kMost;
       ++i)
    values.push_back(i * step);
  return values;
}

std::string per_minute_words(double least, double most) {
  const std::string low = number_text(least, 0), high = number_text(most, 0);
  return low == high ? low : low + " to " + high;
}

TimeScale::TimeScale(double from, double to, std::span<const PlotBreak> breaks, double left,
                     double right) {
  constexpr double kFoldedShare = 0.08, kFoldedWidth = 16;
  if (!(to > from)) to = from + 1;
  double turning = to - from;
  std::vector<PlotBreak> folded;
  for (const PlotBreak& b : breaks) {
    const bool fold = b.from > from && b.to < to && b.to - b.from > kFoldedShare * (to - from) &&
                      (folded.empty() || b.from >= folded.back().to);
    if (!fold) continue;
    folded.push_back(b);
    turning -= b.to - b.from;
  }
  const double room = right - left - kFoldedWidth * static_cast<double>(folded.size());
  const double scale = turning > 0 ? room / turning : 0;
  double x = left, time = from;
  for (const PlotBreak& b : folded) {
    const double end = x + (b.from - time) * scale;
    pieces_.push_back({time, b.from, x, end});
    pieces_.push_back({b.from, b.to, end, end + kFoldedWidth});
    strips_.push_back({end, end + kFoldedWidth, true, b.to - b.from, b.words});
    x = end + kFoldedWidth;
    time = b.to;
  }
  pieces_.push_back({time, to, x, right});
  for (const PlotBreak& b : breaks) {
    const bool is_folded = std::any_of(folded.begin(), folded.end(), [&](const PlotBreak& f) {
      return f.from == b.from && f.to == b.to;
    });
    const Strip strip{at(std::max(b.from, from)), at(std::min(b.to, to)), false, b.to - b.from,
                      b.words};
    if (!is_folded && strip.right - strip.left > 0.5) strips_.push_back(strip);
  }
  constexpr int kMostTicks = 12;
  step_ = step_of(turning, kMostTicks);
}

double TimeScale::at(double time) const {
  for (const Scale& piece : pieces_)
    if (time <= piece.to) return piece.at(std::max(time, piece.from));
  return pieces_.back().at_to;
}

std::vector<double> TimeScale::ticks() const {
  std::vector<double> all;
  for (const Scale& piece : pieces_) {
    const bool is_folded = std::any_of(strips_.begin(), strips_.end(), [&](const Strip& s) {
      return s.folded && s.left == piece.at_from;
    });
    if (is_folded) continue;
    for (const double tick : multiples(piece.from, piece.to, step_)) all.push_back(tick);
  }
  return all;
}

bool Lane::write(Svg& svg, std::string_view classes, XY at, double size, std::string_view words,
                 bool bold) {
  constexpr double kApart = 3;
  const double half = text_width(words, bold) * size / 2 + kApart / 2;
  const bool is_free = std::none_of(taken_.begin(), taken_.end(), [&](const auto& taken) {
    return at.x - half < taken.second && at.x + half > taken.first;
  });
  if (!is_free || at.x + half > kSheetWidth - kFrame || at.x - half < kFrame) return false;
  taken_.emplace_back(at.x - half, at.x + half);
  svg.text(classes, at, size, Anchor::middle, words);
  return true;
}

}  // namespace tautmark::draw
