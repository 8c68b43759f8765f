// SPDX-License-Identifier: Apache-2.0
// A recording of crank and cam sensors as one drawing: the signals with what was counted in them,
// the phase of every cam against time, its histogram, what it may mean. Everything is computed
// before (plot_of_recording.h); here it is only drawn.
//
// Times in s, speeds in 1/min, angles in crank degrees. Phases: advance positive, drawn upwards and
// written as "early" and "late", never with a sign. The sheet is that of drive_svg.h: 800 units
// wide, the height follows. The same plot gives the same bytes; however many edges and cycles there
// are, marks are drawn to the width of the sheet: least and most of every column. Values that are
// not finite are left out. Marks of decoded teeth, cam edges and cycles carry data-tooth,
// data-cam-edge (channel) and data-cycle (index of the series).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "draw/drive_svg.h"

namespace tautmark {

struct PlotEdge {
  double time = 0;
  bool rising = true;
};

struct PlotTooth {
  double time = 0;
  int number = 0;       // from 1, the first after the gap
  bool missed = false;  // expected here by the wheel, not in the signal
};

struct PlotGap {
  double from = 0, to = 0;
  std::string words{};  // "gap, 2 missing"
};

struct PlotCamEdge {
  double time = 0;
  double angle = 0;  // in the cycle
  bool used = true;  // false: belongs to no place of the pattern
};

struct PlotTrace {
  std::string name{};   // "crank"
  std::string under{};  // "channel 1, 36-2"
  int channel = 0;
  bool ticks = false;       // inductive: only its edges are known, not its form
  bool high_first = false;  // level at the left end
  std::vector<PlotEdge> edges{};
  std::vector<PlotCamEdge> decoded{};  // of a cam
};

struct PlotAngle {
  double time = 0;
  int degrees = 0;  // in the cycle
};

// One row of signals, as wide as the sheet.
struct PlotRow {
  std::string title{};  // "cycle 15, 1419 1/min"
  double from = 0, to = 0;
  std::vector<PlotTooth> teeth{};
  std::vector<PlotGap> gaps{};
  std::vector<PlotAngle> angles{};  // every 30 degrees
  std::vector<PlotTrace> traces{};  // crank first
};

struct PlotCycle {
  double time = 0;
  double phase = 0;
  double sigma = 0;  // standard uncertainty
};

struct PlotSeries {
  std::vector<PlotCycle> cycles{};  // in order of time
  double mean = 0, sd = 0, jitter = 0;
  double systematic = 0;  // standard uncertainty common to all cycles
};

struct PlotCam {
  std::string name{};                // "cam, channel 2"
  std::vector<PlotSeries> series{};  // one per RecordingPlot::series; may be empty of cycles
  std::optional<double> window_from{}, window_to{};
};

struct PlotSpeed {
  double time = 0, per_minute = 0;
};

struct PlotBreak {
  double from = 0, to = 0;
  std::string words{};  // "stopped"
};

struct PlotHypothesis {
  std::string name{};  // "jump"
  double probability = 0;
  std::string words{};
};

struct PlotSource {
  std::string label{};  // "after: good.csv"
  std::vector<PlotSpeed> speed{};
};

struct RecordingPlot {
  std::string title{};
  bool invented = false;
  std::vector<std::pair<std::string, std::string>> facts{};  // of the title block: caption, words
  std::vector<PlotRow> rows{};
  std::string angle_zero = "crank degrees";  // "crank degrees after the gap"
  // Of two recordings the first is drawn pale (before), the last in the accent (after). All on the
  // time of the last.
  std::vector<PlotSource> sources{};
  std::vector<PlotBreak> breaks{};  // of the last
  std::vector<PlotCam> cams{};
  bool against_reference = false;  // false: zero is the mean of the recording itself
  std::vector<PlotHypothesis> hypotheses{};
  std::string answer{};  // sentence over the hypotheses
  std::vector<std::string> notes{};
};

struct PlotOptions {
  Paper paper = Paper::screen;
  int width_px = 800;
};

std::string recording_svg(const RecordingPlot& plot, const PlotOptions& options = {});

}  // namespace tautmark
