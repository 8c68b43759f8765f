// SPDX-License-Identifier: Apache-2.0
// Scales of a plot, and what its parts share.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "draw/recording_plot.h"
#include "draw/sheet.h"

namespace tautmark::draw {

inline constexpr double kPlotLeft = 118;  // names and scales stand left of it
inline constexpr double kPlotRight = kSheetWidth - kInside;
inline constexpr double kSmall = 10.5, kText = 11.5, kHeading = 13;

// 1, 2 or 5 times a power of ten: at most `most` steps in the span.
double step_of(double span, int most);
int decimals_of(double step);
// The multiples of the step inside, both ends included.
std::vector<double> multiples(double from, double to, double step);

struct Scale {  // straight
  double from = 0, to = 1;
  double at_from = 0, at_to = 1;  // units of the sheet
  [[nodiscard]] double at(double value) const {
    return at_from + (value - from) / (to - from) * (at_to - at_from);
  }
};

// "1402 to 1436", "800".
std::string per_minute_words(double least, double most);

// Time to the right. A stop that would take much of the width is folded to a narrow strip.
class TimeScale {
 public:
  struct Strip {
    double left = 0, right = 0;
    bool folded = false;
    double seconds = 0;
    std::string words;
  };
  TimeScale(double from, double to, std::span<const PlotBreak> breaks, double left, double right);
  [[nodiscard]] double at(double time) const;
  [[nodiscard]] const std::vector<Strip>& strips() const { return strips_; }
  [[nodiscard]] std::vector<double> ticks() const;  // none inside what is folded
  [[nodiscard]] double step() const { return step_; }
  [[nodiscard]] double from() const { return pieces_.front().from; }
  [[nodiscard]] double to() const { return pieces_.back().to; }

 private:
  std::vector<Scale> pieces_;
  std::vector<Strip> strips_;
  double step_ = 1;
};

// A word in a row of words: written when it covers none before it.
class Lane {
 public:
  bool write(Svg& svg, std::string_view classes, XY at, double size, std::string_view words,
             bool bold = false);

 private:
  std::vector<std::pair<double, double>> taken_;
};

// plot_signals.cc, plot_phase.cc: from `top`; plot_meaning.cc: beside the title block. Each returns
// its bottom.
double draw_signals(Svg& svg, const RecordingPlot& plot, double top);
double draw_phases(Svg& svg, const RecordingPlot& plot, double top);
double draw_meaning(Svg& svg, const RecordingPlot& plot, double top, double width);
// How this plot is drawn, for the notes.
std::vector<std::string> signal_legend(const RecordingPlot& plot);
std::vector<std::string> phase_legend(const RecordingPlot& plot);

}  // namespace tautmark::draw
