// SPDX-License-Identifier: Apache-2.0
// Beside a cam's phase: its histogram on the same scale of angles, its mean, its limits.
#include <algorithm>
#include <cmath>

#include "draw/plot_panels.h"

namespace tautmark::draw {

void write_histogram(Svg& svg, Svg& over, const PlotCam& cam, const PhaseScale& scale) {
  constexpr int kMostBins = 32;
  const double width = step_of(scale.y.to - scale.y.from, kMostBins);
  const double first = std::floor(scale.y.from / width);
  const auto bins = static_cast<std::size_t>(std::ceil(scale.y.to / width) - first);
  // Shares, not counts: two recordings are of different length.
  double most_share = 0;
  std::vector<std::vector<int>> counts(cam.series.size(), std::vector<int>(bins));
  for (std::size_t s = 0; s < cam.series.size(); ++s) {
    for (const PlotCycle& c : cam.series[s].cycles)
      if (c.phase >= scale.y.from && c.phase < scale.y.to)
        ++counts[s][static_cast<std::size_t>(std::floor(c.phase / width) - first)];
    for (const int count : counts[s])
      most_share = std::max(
          most_share, count / std::max(1.0, static_cast<double>(cam.series[s].cycles.size())));
  }
  if (most_share == 0) return;
  const int most = *std::max_element(counts.back().begin(), counts.back().end());
  const double room = text_width(std::to_string(most)) * kSmall + 8;  // behind the longest bar
  for (std::size_t s = 0; s < cam.series.size(); ++s) {
    const auto n = static_cast<double>(cam.series[s].cycles.size());
    const Role role = role_of(s, cam.series.size());
    const auto longest = std::max_element(counts[s].begin(), counts[s].end());
    for (std::size_t b = 0; b < bins; ++b) {
      if (counts[s][b] == 0) continue;
      const double share = counts[s][b] / n / most_share;
      const double length = share * (kHistogramRight - kHistogramLeft - room);
      const double low = (first + static_cast<double>(b)) * width;
      const double y_low = scale.y.at(std::max(low, scale.y.from));
      const double y_high = scale.y.at(std::min(low + width, scale.y.to));
      Path bar;
      bar.move({kHistogramLeft, y_high}).line({kHistogramLeft + length, y_high});
      bar.line({kHistogramLeft + length, y_low}).line({kHistogramLeft, y_low}).close();
      svg.path(role.histogram, bar, Svg::attribute("data-count", counts[s][b]));
      if (counts[s].begin() + static_cast<std::ptrdiff_t>(b) == longest &&
          s + 1 == cam.series.size())
        over.text("t", {kHistogramLeft + length + 3, (y_low + y_high) / 2}, kSmall, Anchor::start,
                  std::to_string(*longest));
    }
  }
  svg.line("medium", {kHistogramLeft, scale.y.at_from}, {kHistogramLeft, scale.y.at_to});
}

void write_levels(Svg& svg, const RecordingPlot& plot, const PlotCam& cam,
                  const PhaseScale& scale) {
  constexpr double kApart = 12, kHatch = 5, kNamesAt = kHistogramRight + 5;
  std::vector<double> named;
  const auto name = [&](double y, std::string_view classes, std::string_view words) {
    for (const double other : named)
      if (std::abs(other - y) < kApart) return;
    named.push_back(y);
    svg.text(classes, {kNamesAt, y}, kSmall, Anchor::start, words);
  };
  for (std::size_t s = cam.series.size(); plot.against_reference && s-- > 0;) {
    const PlotSeries& series = cam.series[s];
    if (series.cycles.empty()) continue;
    const double y = scale.y.at(std::clamp(series.mean, scale.y.from, scale.y.to));
    const bool is_last = s + 1 == cam.series.size();
    svg.line(is_last ? "accent center-line" : "center-line", {kPlotLeft, y}, {kHistogramRight, y});
    name(y, is_last ? "t error" : "t soft", "mean");
  }
  for (const auto& [limit, outward] : {std::pair{cam.window_from, 1.0}, {cam.window_to, -1.0}}) {
    if (!limit || *limit < scale.y.from || *limit > scale.y.to) continue;
    const double y = scale.y.at(*limit);
    svg.line("thick window", {kPlotLeft, y}, {kHistogramRight, y});
    Path hatch;  // the forbidden side
    for (double x = kPlotLeft + kHatch; x < kHistogramRight; x += 2 * kHatch)
      hatch.move({x, y}).line({x - kHatch, y + outward * kHatch});
    svg.path("thin", hatch);
    name(y, "t", "limit");
  }
}

void write_systematic(Svg& svg, const PlotSeries& series, const PhaseScale& scale) {
  if (!(series.systematic > 0)) return;
  constexpr double kHalfCap = 4, kHead = 6, x = (kPanelRight + kHistogramLeft) / 2;
  const auto end = [&](double v, bool& cut) {
    cut = v < scale.y.from || v > scale.y.to;
    return scale.y.at(std::clamp(v, scale.y.from, scale.y.to));
  };
  bool cut_low = false, cut_high = false;
  const double low = end(series.mean - kCoverage * series.systematic, cut_low);
  const double high = end(series.mean + kCoverage * series.systematic, cut_high);
  Path bar;
  bar.move({x, low}).line({x, high});
  // A cap where it ends, an arrow head where it goes on beyond the scale.
  const auto finish = [&](double y, double back) {
    bar.move({x - kHalfCap, y + back}).line({x, y}).line({x + kHalfCap, y + back});
  };
  finish(low, cut_low ? -kHead : 0);
  finish(high, cut_high ? kHead : 0);
  svg.path("medium systematic", bar);
}

}  // namespace tautmark::draw
