// SPDX-License-Identifier: Apache-2.0
// Cam phases against time.
#include <algorithm>
#include <cmath>

#include "base/quantity_text.h"
#include "draw/plot_panels.h"
#include "recording/hypotheses.h"

namespace tautmark::draw {

Role role_of(std::size_t series, std::size_t count) {
  if (count < 2) return {"dot", "medium", "thin", "band-ink", "thin light"};
  if (series + 1 < count) return {"pale-dot", "pale medium", "pale thin", "band-pale", "pale-bin"};
  return {"accent-dot", "accent medium", "accent thin", "band-accent", "accent-bin"};
}

namespace {

constexpr double kPhaseHeight = 128, kLowPhaseHeight = 92, kStatLine = 15.5;
constexpr std::size_t kTallPanels = 3;
constexpr std::size_t kMostPoints = 150;  // more are drawn as a band
constexpr double kColumn = 1.5;           // of the band

bool is_drawable(const PlotCycle& c) {
  return std::isfinite(c.time) && std::isfinite(c.phase) && std::isfinite(c.sigma);
}

// Holds every value and most bars, zero and the means; far-off single values are left to arrows.
PhaseScale phase_scale(const PlotCam& cam, double top, double height) {
  constexpr double kLeastHalf = 0.5, kWide = 6, kMargin = 0.08;
  std::vector<double> values, bars;
  double low = 0, high = 0;
  const auto take = [&](double v) {
    low = std::min(low, v);
    high = std::max(high, v);
  };
  for (const PlotSeries& series : cam.series) {
    for (const PlotCycle& c : series.cycles) {
      values.push_back(c.phase);
      bars.push_back(kCoverage * c.sigma);
    }
    if (!series.cycles.empty()) take(series.mean);
  }
  PhaseScale scale;
  double bar = 0;
  if (!values.empty()) {
    std::sort(values.begin(), values.end());
    std::sort(bars.begin(), bars.end());
    const auto part = [](const std::vector<double>& sorted, double q) {
      return sorted[static_cast<std::size_t>(q * static_cast<double>(sorted.size() - 1))];
    };
    bar = part(bars, 0.9);
    const double core = std::max(part(values, 0.98) - part(values, 0.02), 2 * kLeastHalf);
    const double middle = part(values, 0.5);
    take(std::max(values.front(), middle - kWide * core));
    take(std::min(values.back(), middle + kWide * core));
    bar = std::min(bar, 2 * std::max(high - low, kLeastHalf));
  }
  low -= bar;
  high += bar;
  // A window near enough is shown; one far away would flatten what was measured.
  for (const auto& limit : {cam.window_from, cam.window_to})
    if (limit && std::abs(*limit) < kWide * std::max(high - low, 2 * kLeastHalf)) take(*limit);
  const double room = kMargin * (high - low);
  low = std::min(low - room, -kLeastHalf);
  high = std::max(high + room, kLeastHalf);
  scale.y = {low, high, top + height, top};
  constexpr double kLineHeight = 18;
  scale.step = step_of(high - low, std::max(2, static_cast<int>(height / kLineHeight)));
  return scale;
}

std::string phase_tick(double value, double step) {
  return number_text(std::abs(value), decimals_of(step)) + "° " + (value > 0 ? "early" : "late");
}

void write_scale(Svg& svg, const RecordingPlot& plot, const PhaseScale& scale, double top,
                 double bottom) {
  constexpr double kDash = 4, kHalfLine = 6;
  for (const double tick : multiples(scale.y.from, scale.y.to, scale.step)) {
    const double y = scale.y.at(tick);
    const bool is_zero = std::abs(tick) < scale.step / 2;
    if (!is_zero) svg.line("grid", {kPlotLeft, y}, {kHistogramRight, y});
    svg.line("thin", {kPlotLeft - kDash, y}, {kPlotLeft, y});
    if (y < top + kHalfLine - 4 || y > bottom - kHalfLine + 4) continue;
    const std::string zero = plot.against_reference ? "reference" : "own mean";
    svg.text(is_zero ? "t b" : "t", {kPlotLeft - kDash - 3, y}, kSmall, Anchor::end,
             is_zero ? zero : phase_tick(tick, scale.step));
  }
  svg.line("medium zero", {kPlotLeft, scale.y.at(0)}, {kHistogramRight, scale.y.at(0)});
}

struct Column {
  double least = HUGE_VAL, most = -HUGE_VAL, low = HUGE_VAL, high = -HUGE_VAL, sum = 0;
  int count = 0;
};

void write_band(Svg& svg, const PlotSeries& series, const Role& role, const TimeScale& time,
                const PhaseScale& scale) {
  std::vector<Column> columns(
      static_cast<std::size_t>(std::ceil((kPanelRight - kPlotLeft) / kColumn)) + 1);
  for (const PlotCycle& c : series.cycles) {
    const double x = std::clamp(time.at(c.time), kPlotLeft, kPanelRight);
    Column& column = columns[static_cast<std::size_t>((x - kPlotLeft) / kColumn)];
    column.least = std::min(column.least, c.phase);
    column.most = std::max(column.most, c.phase);
    column.low = std::min(column.low, c.phase - kCoverage * c.sigma);
    column.high = std::max(column.high, c.phase + kCoverage * c.sigma);
    column.sum += c.phase;
    ++column.count;
  }
  const auto inside = [&](double v) { return scale.y.at(std::clamp(v, scale.y.from, scale.y.to)); };
  Path bars, range, mean;
  bool follows = false;
  for (std::size_t i = 0; i < columns.size(); ++i) {
    const Column& c = columns[i];
    if (c.count == 0) {
      follows = false;
      continue;
    }
    const double x = kPlotLeft + (static_cast<double>(i) + 0.5) * kColumn;
    bars.move({x, inside(c.low)}).line({x, inside(c.high)});
    range.move({x, inside(c.least)}).line({x, inside(c.most)});
    const XY at{x, inside(c.sum / c.count)};
    follows ? mean.line(at) : mean.move(at).line(at);
    follows = true;
  }
  svg.path(std::string(role.band) + " wide", bars);
  svg.path(role.band, range);
  svg.path(std::string(role.line) + " mean", mean);
}

void write_points(Svg& svg, const PlotSeries& series, std::size_t index, const Role& role,
                  const TimeScale& time, const PhaseScale& scale) {
  constexpr double kRadius = 1.9, kArrow = 4;
  const auto inside = [&](double v) { return scale.y.at(std::clamp(v, scale.y.from, scale.y.to)); };
  Path bars;
  Svg dots;
  for (const PlotCycle& c : series.cycles) {
    const double x = time.at(c.time), y = inside(c.phase);
    bars.move({x, inside(c.phase - kCoverage * c.sigma)});
    bars.line({x, inside(c.phase + kCoverage * c.sigma)});
    if (c.phase >= scale.y.from && c.phase <= scale.y.to) {
      dots.open("circle", role.dot,
                Svg::attribute("data-cycle", static_cast<double>(index)) + Svg::attribute("cx", x) +
                    Svg::attribute("cy", y) + Svg::attribute("r", kRadius) + "/");
      continue;
    }
    const double up = c.phase > scale.y.to ? 1 : -1;  // beyond the scale: an arrow at its end
    dots.path(std::string(role.line) + " beyond",
              Path()
                  .move({x - kArrow / 2, y + up * kArrow})
                  .line({x, y})
                  .line({x + kArrow / 2, y + up * kArrow}),
              Svg::attribute("data-cycle", static_cast<double>(index)));
  }
  svg.path(role.bar, bars);
  svg.raw(dots.markup());
}

std::string statistics_words(const RecordingPlot& plot, const PlotSeries& s) {
  if (s.cycles.empty()) return "no cycle";
  const std::size_t n = s.cycles.size();
  std::string words = "n " + std::to_string(n) + (n == 1 ? " cycle" : " cycles") + ", mean " +
                      (plot.against_reference ? phase_words(s.mean) : "0 (its own)");
  words += ", sd " + number_text(s.sd, 2) + "°, jitter " + number_text(s.jitter, 2) + "°";
  if (!plot.against_reference) words += " (crank)";
  if (s.systematic > 0)
    words += ", ± " + number_text(kCoverage * s.systematic, 1) + "° common to all";
  return words;
}

// Returns the bottom of the heading.
double write_heading(Svg& svg, const RecordingPlot& plot, const PlotCam& cam, double top) {
  constexpr double kMark = 14;
  const auto names = wrapped(cam.name, (kPlotRight - kInside) / kHeading, true);
  double y = top;
  for (const std::string& line : names) {
    svg.text("t b", {kInside, y + kHeadLine / 2}, kHeading, Anchor::start, line);
    y += kHeadLine;
  }
  const double name_width = names.empty() ? 0 : text_width(names.back(), true) * kHeading;
  for (std::size_t s = 0; s < cam.series.size(); ++s) {
    std::string words = statistics_words(plot, cam.series[s]);
    const bool is_only = cam.series.size() < 2;
    if (is_only && name_width + text_width(words) * kText + 24 < kPlotRight - kInside) {
      svg.text("t", {kPlotRight, y - kHeadLine / 2}, kText, Anchor::end, words);
      continue;
    }
    if (!is_only && s < plot.sources.size()) words = plot.sources[s].label + ": " + words;
    const double left = is_only ? kInside : kInside + kMark;
    const auto lines = wrapped(words, (kPlotRight - left) / kText);
    for (std::size_t i = 0; i < lines.size(); ++i) {
      if (i == 0 && !is_only)
        svg.circle(role_of(s, cam.series.size()).dot, {kInside + 4, y + kStatLine / 2}, 3);
      svg.text("t", {left, y + kStatLine / 2}, kText, Anchor::start, lines[i]);
      y += kStatLine;
    }
  }
  return y + 2;
}

double draw_cam(Svg& svg, const RecordingPlot& plot, const PlotCam& given, const TimeScale& time,
                double top, double height) {
  PlotCam cam = given;
  for (PlotSeries& series : cam.series)
    std::erase_if(series.cycles, [](const PlotCycle& c) { return !is_drawable(c); });
  svg.open("g", "phase");
  top = write_heading(svg, plot, cam, top);
  const double bottom = top + height;
  const PhaseScale scale = phase_scale(cam, top, height);
  shade_strips(svg, time, top, bottom);
  write_moments(svg, time, top, bottom);
  write_scale(svg, plot, scale, top, bottom);
  for (std::size_t s = 0; s < cam.series.size(); ++s) {
    const Role role = role_of(s, cam.series.size());
    if (cam.series[s].cycles.size() > kMostPoints)
      write_band(svg, cam.series[s], role, time, scale);
    else
      write_points(svg, cam.series[s], s, role, time, scale);
  }
  Svg over;
  write_histogram(svg, over, cam, scale);
  write_levels(svg, plot, cam, scale);
  if (!cam.series.empty()) write_systematic(svg, cam.series.back(), scale);
  svg.rect("thin", {kPlotLeft, top}, kPanelRight - kPlotLeft, height);
  name_strips(svg, time, top, bottom);
  svg.raw(over.markup());
  svg.close("g");
  return bottom + kAfterPanel;
}

}  // namespace

double draw_phases(Svg& svg, const RecordingPlot& plot, double top) {
  double from = HUGE_VAL, to = -HUGE_VAL;
  const auto take = [&](double t) {
    if (!std::isfinite(t)) return;
    from = std::min(from, t);
    to = std::max(to, t);
  };
  for (const PlotSource& source : plot.sources)
    for (const PlotSpeed& s : source.speed) take(s.time);
  for (const PlotCam& cam : plot.cams)
    for (const PlotSeries& series : cam.series)
      for (const PlotCycle& c : series.cycles) take(c.time);
  if (from > to) return top;
  constexpr double kMargin = 0.015, kLeastSpan = 0.1;  // share; s
  const double margin = std::max((to - from) * kMargin, (kLeastSpan - (to - from)) / 2);
  const TimeScale time(from - margin, to + margin, plot.breaks, kPlotLeft, kPanelRight);
  top = draw_speed(svg, plot, time, top);
  const double height = plot.cams.size() > kTallPanels ? kLowPhaseHeight : kPhaseHeight;
  for (const PlotCam& cam : plot.cams) top = draw_cam(svg, plot, cam, time, top, height);
  return write_time(svg, plot, time, top - kAfterPanel);
}

std::vector<std::string> phase_legend(const RecordingPlot& plot) {
  bool points = false, band = false, systematic = false, window = false, beyond = false;
  for (const PlotCam& cam : plot.cams) {
    window = window || cam.window_from || cam.window_to;
    for (const PlotSeries& series : cam.series) {
      (series.cycles.size() > kMostPoints ? band : points) = true;
      const Scale y = phase_scale(cam, 0, 1).y;
      for (const PlotCycle& c : series.cycles)
        beyond = beyond || c.phase < y.from || c.phase > y.to;
      systematic = systematic || series.systematic > 0;
    }
  }
  std::vector<std::string> notes;
  if (points) notes.emplace_back("A dot is one cycle; its bar is ± 2 standard uncertainties.");
  if (band)
    notes.emplace_back(
        "Many cycles: the line is their mean, strong from the least to the most, faint with ± 2 "
        "standard uncertainties.");
  if (systematic)
    notes.emplace_back(
        "Measure beside the histogram: uncertainty common to all cycles, from few crank teeth.");
  if (window) notes.emplace_back("Hatched: outside the limit.");
  return notes;
}

}  // namespace tautmark::draw
