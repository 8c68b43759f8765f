// SPDX-License-Identifier: Apache-2.0
// The gaps of one camshaft's valves as a map: the crankshaft across, the camshaft upward.
// Everything is computed before (plot_of_clearance.h); here it is only drawn.
//
// Contact is dark and hatched, what is nearer than the least gap wanted is of another tone, the
// rest in steps that grow lighter, with lines of equal gap in mm. While anything is named in
// `not_known` nothing is drawn clear: where no contact shows it is drawn as not known, and said in
// words.
//
// Crank degrees across. Upward crank degrees of error (early positive), or cam degrees of an engine
// with its chain off; then both go round, and a way that leaves the map comes in at the other side.
// Gaps in mm. The root carries data-left, data-right, data-top, data-bottom of the map; lines carry
// data-level (mm), moves data-move (from 1). The same plot gives the same bytes.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "draw/recording_plot.h"

namespace tautmark {

struct MapTick {
  double at = 0;
  std::string words{};
  std::string more{};  // beside it, smaller
};

struct MapSpan {
  double from = 0, to = 0;
  std::string words{};
};

// The least gap of a whole cycle in a row, drawn beside the map.
struct MapLeast {
  double up = 0;
  double gap = 0;                 // floor or crown
  std::optional<double> wall{};   // of the pocket
  std::optional<double> other{};  // to the other valve
};

struct MapMove {
  double across_by = 0, up_by = 0;
  bool elsewhere = false;  // of another camshaft: this one stays
  std::string words{};
};

struct MapWay {
  double across = 0, up = 0;  // as found
  double to_across = 0, to_up = 0;
  std::vector<MapMove> moves{};
};

struct ClearanceMapPlot {
  std::string title{};
  bool invented = false;
  std::string headline{};  // what may be turned on it: nothing
  std::vector<std::pair<std::string, std::string>> facts{};
  std::string across_words{}, up_words{};
  std::vector<MapTick> across{}, up{};
  std::vector<MapTick> tops{};  // over the map: dead centers
  std::vector<double> columns{}, rows{};
  std::vector<double> gap{};    // as computed, row after row; +infinity: none
  std::vector<double> spare{};  // less what is uncertain, less what is wanted
  double wanted = 0;
  double uncertain = 0;  // of floor or crown, the most of all valves
  std::vector<std::string> not_known{};
  std::vector<MapSpan> travel{};            // of the phaser, upward
  bool goes_round = false;                  // both directions wrap
  std::vector<MapSpan> with_others_shut{};  // upward: the other valve of a cylinder may be met
  std::vector<MapSpan> free{};              // across: the camshaft goes all the way round
  std::vector<double> chain_on{};           // with goes_round: cam at crank 0, timing right
  std::vector<MapLeast> least{};
  std::vector<std::pair<double, std::string>> least_words{};  // at these rows
  std::optional<MapWay> way{};
  std::vector<std::string> notes{};
};

std::string clearance_map_svg(const ClearanceMapPlot& plot, const PlotOptions& options = {});

}  // namespace tautmark
