// SPDX-License-Identifier: Apache-2.0
// Oil pressure as read at one port against the temperature of the oil, beside the limit moved to
// other temperatures; everything computed before. kPa over the ambient pressure, °C.
//
// The limit is interrupted where the next point is further away than one and a half times the
// smallest step: there it is void. What is drawn upward follows the readings: a limit of cold oil
// that is much higher leaves at the top and that is told. Points with a number that is not finite
// are left out and told. The sheet is that of drive_svg.h; the same drawing gives the same bytes.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "draw/recording_plot.h"

namespace tautmark {

struct DrawnLimit {
  double celsius = 0, kpa = 0;
  bool indicative = false;  // moved too far to be compared with
};

struct DrawnReading {
  double celsius = 0, kpa = 0;
  double U_kpa = 0;       // 95 %
  std::string label{};    // "e12"
  bool beside_it = true;  // at the limit's speed and with its oil
};

struct PressureDrawing {
  std::string title{};
  bool invented = false;
  std::vector<std::pair<std::string, std::string>> facts{};  // of the title block
  std::string port{};                                        // "main gallery"
  std::string speed{};                                       // "650 1/min"
  std::string oil{};                                         // "5W-30"
  std::vector<DrawnLimit> limit{};
  std::vector<DrawnReading> points{};
};

std::string pressure_chart_svg(const PressureDrawing& drawing, const PlotOptions& options = {});

}  // namespace tautmark
