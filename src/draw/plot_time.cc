// SPDX-License-Identifier: Apache-2.0
// The time scale of the panels, its breaks, and the speed.
#include <algorithm>
#include <cmath>

#include "base/quantity_text.h"
#include "draw/plot_panels.h"

namespace tautmark::draw {
namespace {

constexpr double kSpeedHeight = 58, kTimeLine = 32;

// Least and most of every column: a line when there is one turn to a column or less. Broken where
// the recording is.
Path speed_path(const std::vector<PlotSpeed>& speed, const std::vector<PlotBreak>& breaks,
                const TimeScale& time, const Scale& y) {
  constexpr double kSpeedColumn = 1;
  Path path;
  auto next_break = breaks.begin();
  for (std::size_t i = 0; i < speed.size();) {
    const double x = time.at(speed[i].time);
    bool begins = i == 0;
    for (; next_break != breaks.end() && next_break->from < speed[i].time; ++next_break)
      begins = true;
    double least = speed[i].per_minute, most = least;
    std::size_t next = i;
    for (; next < speed.size() && time.at(speed[next].time) < x + kSpeedColumn; ++next) {
      least = std::min(least, speed[next].per_minute);
      most = std::max(most, speed[next].per_minute);
    }
    begins ? path.move({x, y.at(least)}) : path.line({x, y.at(least)});
    path.line({x, y.at(most)});
    i = next;
  }
  return path;
}

}  // namespace

void shade_strips(Svg& svg, const TimeScale& time, double top, double bottom) {
  for (const TimeScale::Strip& strip : time.strips())
    svg.rect("shade stop", {strip.left, top}, strip.right - strip.left, bottom - top);
}

void name_strips(Svg& svg, const TimeScale& time, double top, double bottom) {
  constexpr double kStroke = 4, kRoomForWords = kSmall + 2;
  for (const TimeScale::Strip& strip : time.strips()) {
    const double width = strip.right - strip.left, middle = (strip.left + strip.right) / 2;
    if (strip.folded) {
      for (const double y : {top, bottom}) {
        svg.line("cut", {strip.left, y}, {strip.right, y});
        for (const double x : {strip.left, strip.right})
          svg.line("medium", {x - kStroke, y + kStroke}, {x + kStroke, y - kStroke});
      }
    }
    const std::string words =
        strip.words + (strip.folded ? ", " + number_text(strip.seconds, 1) + " s" : "");
    if (width > kRoomForWords && text_width(words) * kSmall < bottom - top - 6)
      svg.text("t soft", {middle, (top + bottom) / 2}, kSmall, Anchor::middle, words, -90);
  }
}

void write_moments(Svg& svg, const TimeScale& time, double top, double bottom) {
  for (const double tick : time.ticks())
    svg.line("grid", {time.at(tick), top}, {time.at(tick), bottom});
}

double draw_speed(Svg& svg, const RecordingPlot& plot, const TimeScale& time, double top) {
  constexpr double kLeastSpan = 20, kMargin = 0.08, kLineHeight = 14, kDot = 1.4;
  constexpr std::size_t kFewTurns = 40;
  std::vector<std::vector<PlotSpeed>> all;
  double least = HUGE_VAL, most = -HUGE_VAL;
  for (const PlotSource& source : plot.sources) {
    std::vector<PlotSpeed>& kept = all.emplace_back();
    for (const PlotSpeed& s : source.speed) {
      if (!std::isfinite(s.time) || !std::isfinite(s.per_minute)) continue;
      kept.push_back(s);
      least = std::min(least, s.per_minute);
      most = std::max(most, s.per_minute);
    }
  }
  if (least > most) return top;
  const double middle = (least + most) / 2;
  const double half = std::max({(most - least) * (0.5 + kMargin), kLeastSpan / 2, middle / 40});
  svg.open("g", "speed");
  svg.text("t b", {kInside, top + kHeadLine / 2}, kHeading, Anchor::start, "speed, 1/min");
  svg.text("t", {kPanelRight, top + kHeadLine / 2}, kText, Anchor::end,
           per_minute_words(least, most));
  top += kHeadLine + 2;
  const double bottom = top + kSpeedHeight;
  const Scale y{std::max(0.0, middle - half), middle + half, bottom, top};
  shade_strips(svg, time, top, bottom);
  write_moments(svg, time, top, bottom);
  const double step = step_of(y.to - y.from, static_cast<int>(kSpeedHeight / kLineHeight));
  for (const double tick : multiples(y.from, y.to, step)) {
    svg.line("grid", {kPlotLeft, y.at(tick)}, {kPanelRight, y.at(tick)});
    svg.text("t", {kPlotLeft - 7, y.at(tick)}, kSmall, Anchor::end,
             number_text(tick, decimals_of(step)));
  }
  const std::vector<PlotBreak> no_breaks;
  for (std::size_t s = 0; s < all.size(); ++s) {
    const Role role = role_of(s, all.size());
    svg.path(role.line, speed_path(all[s], s + 1 == all.size() ? plot.breaks : no_breaks, time, y));
    for (std::size_t i = 0; i < all[s].size() && all[s].size() <= kFewTurns; ++i)
      svg.circle(role.dot, {time.at(all[s][i].time), y.at(all[s][i].per_minute)}, kDot);
  }
  svg.rect("thin", {kPlotLeft, top}, kPanelRight - kPlotLeft, kSpeedHeight);
  name_strips(svg, time, top, bottom);
  svg.close("g");
  return bottom + kAfterPanel;
}

double write_time(Svg& svg, const RecordingPlot& plot, const TimeScale& time, double top) {
  constexpr double kDash = 5;
  Lane lane;
  for (const double tick : time.ticks()) {
    const double x = time.at(tick);
    svg.line("thin", {x, top}, {x, top + kDash});
    lane.write(svg, "t", {x, top + kDash + 9}, kSmall,
               number_text(std::abs(tick) < time.step() / 2 ? 0 : tick, decimals_of(time.step())));
  }
  svg.text("t soft", {kInside, top + kDash + 9}, kSmall, Anchor::start, "time, s");
  if (!plot.cams.empty())
    svg.text("t soft", {kHistogramLeft, top + kDash + 9}, kSmall, Anchor::start,
             "how often (cycles)");
  return top + kTimeLine;
}

}  // namespace tautmark::draw
