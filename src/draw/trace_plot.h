// SPDX-License-Identifier: Apache-2.0
// One tightening as a drawing: torque over angle as recorded, the curve behind the noise, the
// straight part and the band where it is expected, snug point, yield point, end. Everything is
// computed before (tighten/trace_analysis.h); here it is only drawn.
//
// Angles in degrees of the record, torques in N·m. The sheet is that of recording_plot.h. The same
// trace gives the same bytes; of many points the least and most of every column are drawn. Points
// that are not finite are left out.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "draw/recording_plot.h"
#include "tighten/trace.h"
#include "tighten/trace_analysis.h"

namespace tautmark {

// Where the straight part is expected, from its origin on.
struct GradientBand {
  Torque low{}, high{};  // per degree
  std::string words{};   // "by 4 other bolts"
};

struct TracePlot {
  std::string title{};
  bool invented = false;
  std::vector<std::pair<std::string, std::string>> facts{};  // of the title block: caption, words
  tighten::Trace trace{};
  tighten::TraceResult result{};
  std::optional<Torque> target{}, snug{};  // of the step
  std::optional<GradientBand> band{};
  std::vector<std::string> notes{};
};

std::string trace_svg(const TracePlot& plot, const PlotOptions& options = {});

}  // namespace tautmark
