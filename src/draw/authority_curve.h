// SPDX-License-Identifier: Apache-2.0
// Authority of a phaser against the clearance of the journal that feeds it, everything computed
// before. Clearances diametral, cold, in mm; margin is the torque available by the torque needed,
// 1, never below 0, with its 95 % range. The bands are those of oil.md 5.3.
//
// Up to a margin of 5 (or what this engine's reading needs) is drawn; what lies higher leaves at
// the top and is told. Points with a number that is not finite are left out and told. The sheet is
// that of drive_svg.h; the same drawing gives the same bytes.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "draw/recording_plot.h"

namespace tautmark {

struct AuthorityPoint {
  double clearance_mm = 0;
  double margin = 0, low = 0, high = 0;
};

struct AuthorityDrawing {
  std::string title{};
  bool invented = false;
  std::vector<std::pair<std::string, std::string>> facts{};  // of the title block
  std::string journal{};                                     // "bank 2 / camshaft / journal 1"
  std::vector<AuthorityPoint> points{};
  std::optional<double> measured_mm{};  // on this engine
  double measured_U_mm = 0;             // 95 %
  std::optional<double> most_mm{};      // limit of the clearance
};

std::string authority_curve_svg(const AuthorityDrawing& drawing, const PlotOptions& options = {});

}  // namespace tautmark
