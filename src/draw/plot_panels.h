// SPDX-License-Identifier: Apache-2.0
// Panels against time: what plot_phase.cc, plot_histogram.cc and plot_time.cc share.
#pragma once

#include <string>
#include <vector>

#include "draw/plot_axis.h"

namespace tautmark::draw {

inline constexpr double kPanelRight = 584, kHistogramLeft = 602, kHistogramRight = 734;
inline constexpr double kHeadLine = 19, kAfterPanel = 9;
inline constexpr double kCoverage = 2;  // bars: ± so many standard uncertainties

// Classes of a series: the only one in ink, of two the first pale and the last in the accent.
struct Role {
  std::string_view dot, line, bar, band, histogram;
};
Role role_of(std::size_t series, std::size_t count);

struct PhaseScale {
  Scale y;
  double step = 1;
};

// plot_histogram.cc. The count of the longest bar goes to `over`.
void write_histogram(Svg& svg, Svg& over, const PlotCam& cam, const PhaseScale& scale);
// Lines across panel and histogram, named at the right: means, window.
void write_levels(Svg& svg, const RecordingPlot& plot, const PlotCam& cam, const PhaseScale& scale);
// What all cycles share, as a measure between panel and histogram.
void write_systematic(Svg& svg, const PlotSeries& series, const PhaseScale& scale);

// plot_time.cc
void shade_strips(Svg& svg, const TimeScale& time, double top, double bottom);
// Over everything else: what is folded cuts the frame, as a drawing breaks a long part.
void name_strips(Svg& svg, const TimeScale& time, double top, double bottom);
// The same moments in every panel.
void write_moments(Svg& svg, const TimeScale& time, double top, double bottom);
double draw_speed(Svg& svg, const RecordingPlot& plot, const TimeScale& time, double top);
double write_time(Svg& svg, const RecordingPlot& plot, const TimeScale& time, double top);

}  // namespace tautmark::draw
