// SPDX-License-Identifier: Apache-2.0
// The margin of a phaser (torque it has by torque it needs) against the clearance of the journal
// that feeds it, with its 95 % band, the limit of the clearance and what was measured. 800 units
// wide; clearances in mm, diametral, cold.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "draw/recording_plot.h"

namespace tautmark {

struct MarginAt {
  double clearance = 0;
  double margin = 0, low = 0, high = 0;
};
struct AuthorityDrawing {
  std::string title{};
  bool invented = false;
  std::vector<std::pair<std::string, std::string>> facts{};  // of the title block: caption, words
  std::string journal{};                                     // its place
  std::vector<MarginAt> points{};                            // by rising clearance
  std::optional<double> measured{};
  double measured_U = 0;
  std::optional<double> most{};  // limit of the clearance
};

// Without points it draws the axes and says what is missing.
std::string authority_curve_svg(const AuthorityDrawing& drawing, const PlotOptions& options = {});

}  // namespace tautmark
