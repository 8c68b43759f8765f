// SPDX-License-Identifier: Apache-2.0
// Speed and cam phases against one time scale; beside each phase its histogram on the same scale of
// angles.
#include <algorithm>
#include <cmath>

#include "base/quantity_text.h"
#include "draw/plot_axis.h"
#include "recording/hypotheses.h"

namespace tautmark::draw {
namespace {

constexpr double kPanelRight = 584, kHistogramLeft = 602, kHistogramRight = 734, kNamesAt = 739;
constexpr double kSpeedHeight = 58, kPhaseHeight = 128, kLowPhaseHeight = 92, kHeadLine = 19,
                 kStatLine = 15.5, kTimeLine = 32, kAfterPanel = 9;
constexpr std::size_t kTallPanels = 3;
constexpr double kCoverage = 2;           // bars: ± so many standard uncertainties
constexpr std::size_t kMostPoints = 150;  // more are drawn as a band
constexpr double kColumn = 1.5;           // of the band

// Roles of the series: the only one in ink, of two the first pale and the last in the accent.
struct Role {
  std::string_view dot, line, bar, band, histogram;
};
Role role_of(std::size_t series, std::size_t count) {
  if (count < 2) return {"dot", "medium", "thin", "band-ink", "thin light"};
  if (series + 1 < count) return {"pale-dot", "pale medium", "pale thin", "band-pale", "pale-bin"};
  return {"accent-dot", "accent medium", "accent thin", "band-accent", "accent-bin"};
}

bool is_drawable(const PlotCycle& c) {
  return std::isfinite(c.time) && std::isfinite(c.phase) && std::isfinite(c.sigma);
}

struct PhaseScale {
  Scale y;
  double step = 1;
};

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

// Lines across panel and histogram, named at the right: means, window.
void write_levels(Svg& svg, const RecordingPlot& plot, const PlotCam& cam,
                  const PhaseScale& scale) {
  constexpr double kApart = 12, kHatch = 5;
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

// What all cycles share, as a measure between panel and histogram.
void write_systematic(Svg& svg, const PlotSeries& series, const PhaseScale& scale) {
  if (!(series.systematic > 0)) return;
  constexpr double kHalfCap = 4, x = (kPanelRight + kHistogramLeft) / 2;
  const auto end = [&](double v, bool& cut) {
    cut = v < scale.y.from || v > scale.y.to;
    return scale.y.at(std::clamp(v, scale.y.from, scale.y.to));
  };
  bool cut_low = false, cut_high = false;
  const double low = end(series.mean - kCoverage * series.systematic, cut_low);
  const double high = end(series.mean + kCoverage * series.systematic, cut_high);
  Path bar;
  bar.move({x, low}).line({x, high});
  if (!cut_low) bar.move({x - kHalfCap, low}).line({x + kHalfCap, low});
  if (!cut_high) bar.move({x - kHalfCap, high}).line({x + kHalfCap, high});
  svg.path("medium systematic", bar);
}

void shade_strips(Svg& svg, const TimeScale& time, double top, double bottom) {
  for (const TimeScale::Strip& strip : time.strips())
    svg.rect("shade stop", {strip.left, top}, strip.right - strip.left, bottom - top);
}

// Over everything else: what is folded cuts the frame, as a drawing breaks a long part.
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

// The same moments in every panel.
void write_moments(Svg& svg, const TimeScale& time, double top, double bottom) {
  for (const double tick : time.ticks())
    svg.line("grid", {time.at(tick), top}, {time.at(tick), bottom});
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

double draw_speed(Svg& svg, const RecordingPlot& plot, const TimeScale& time, double top) {
  constexpr double kLeastSpan = 20, kMargin = 0.08, kLineHeight = 14;
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
           number_text(least, 0) + " to " + number_text(most, 0));
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
  for (std::size_t s = 0; s < all.size(); ++s)
    svg.path(role_of(s, all.size()).line,
             speed_path(all[s], s + 1 == all.size() ? plot.breaks : no_breaks, time, y));
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
  const double margin = std::max((to - from) * 0.015, 1e-6);
  const TimeScale time(from - margin, to + margin, plot.breaks, kPlotLeft, kPanelRight);
  top = draw_speed(svg, plot, time, top);
  const double height = plot.cams.size() > kTallPanels ? kLowPhaseHeight : kPhaseHeight;
  for (const PlotCam& cam : plot.cams) top = draw_cam(svg, plot, cam, time, top, height);
  return write_time(svg, plot, time, top - kAfterPanel);
}

std::vector<std::string> phase_legend(const RecordingPlot& plot) {
  bool points = false, band = false, systematic = false, window = false;
  for (const PlotCam& cam : plot.cams) {
    window = window || cam.window_from || cam.window_to;
    for (const PlotSeries& series : cam.series) {
      (series.cycles.size() > kMostPoints ? band : points) = true;
      systematic = systematic || series.systematic > 0;
    }
  }
  std::vector<std::string> notes;
  if (points) notes.emplace_back("A dot is one cycle; its bar is ± 2 standard uncertainties.");
  if (band)
    notes.emplace_back(
        "Many cycles: the line is their mean, dark from the least to the most, pale with ± 2 "
        "standard uncertainties.");
  if (systematic)
    notes.emplace_back(
        "Measure beside the histogram: uncertainty common to all cycles, from few crank teeth.");
  if (window) notes.emplace_back("Hatched: outside the limit.");
  return notes;
}

}  // namespace tautmark::draw
