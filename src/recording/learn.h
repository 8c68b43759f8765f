// SPDX-License-Identifier: Apache-2.0
// Nominal edges from recordings of engines known to be good: mean of each edge and the standard
// deviation from engine to engine. Crank degrees after the wheel zero, advance positive.
//
//   edge     mean over the engines, all brought to one zero (nominal.h)
//   seen     √ of the mean over the edges of their variance between engines (n - 1)
//   spread   of one engine: not known; of two or three: seen, but not under 0.5 degrees; of more:
//            seen, but not under 0.1 (spacing of the crank's teeth, signals.md section 5)
// An engine more than 2.5 degrees from the median on any cam is no longer "the same": of three or
// more one such is left out and named, else nothing is learned. 2.5 is 5 standard uncertainties of
// an edge nobody knows better (0.5) and a fifth of the smallest tooth.
// Wear of a good engine's chain stays in the edges. An error common to all engines is invisible.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "recording/nominal.h"

namespace tautmark {

struct GoodEngine {
  std::string name;  // of the recording
  Decoded decoded;
};

struct LearnedEdge {
  double angle = 0;
  double sd = 0;  // between engines; 0 for one
};
struct LearnedCam {
  std::string cam;
  int polarity = 0;  // the edges with the smaller jitter
  std::vector<LearnedEdge> edges;
  double seen = 0;
  std::optional<double> spread;
  std::vector<double> phases;  // of every engine used, against the mean
};
struct LearnedNominals {
  std::string crank_wheel;
  int crank_polarity = 0;
  int crank_gap = 0;  // level in the gap, +1 high, -1 low; 0: not clear
  bool crank_is_coil = false;
  std::vector<std::string> used, left_out;  // names; names and why
  std::vector<LearnedCam> cams;
  std::vector<std::string> notes;
};
// `asked`: channel of every cam to be learned, its present edges where there are some (they choose
// the cycle's zero), and what the definition says of the crank. Refused, with the recording's name:
// none; a cam without channel; another wheel, polarity or number of edges than the definition or
// the first engine; cycle not resolved; under 8 cycles; a cam that does not hold still (jitter over
// 1 degree, peak to peak over 3); engines that disagree.
Result<LearnedNominals> learn_nominals(std::span<const GoodEngine> engines, const Nominals& asked);

}  // namespace tautmark
