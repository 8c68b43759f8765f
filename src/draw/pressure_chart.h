// SPDX-License-Identifier: Apache-2.0
// Oil pressure at one port against the temperature of the oil: the limit as an engine would show it
// that just meets it, and what was read. 800 units wide; kPa, degC.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "draw/recording_plot.h"

namespace tautmark {

struct LimitOverHeat {
  double celsius = 0, kilopascals = 0;
  bool indicative = false;  // dashed
};
struct ReadOverHeat {
  double celsius = 0, kilopascals = 0, U = 0;
  std::string label{};       // the entry
  bool is_beside_it = true;  // at the limit's speed and not with another oil; else hollow
};
struct PressureDrawing {
  std::string title{};
  bool invented = false;
  std::vector<std::pair<std::string, std::string>> facts{};  // of the title block: caption, words
  std::string port{};
  std::vector<LimitOverHeat> limit{};  // by rising temperature; a gap above 6 K interrupts it
  std::vector<ReadOverHeat> points{};
};

// Without limit or points it says so.
std::string pressure_chart_svg(const PressureDrawing& drawing, const PlotOptions& options = {});

}  // namespace tautmark
