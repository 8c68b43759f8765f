// SPDX-License-Identifier: Apache-2.0
// Which worn place explains the pressures that were measured: "no wear" and each suspect,
// alone, against one another by their evidence.
//
//   suspect i worn: the size of its elements (conductance, area, slope of a relief valve, slip of a
//   pump) is a factor times that of the network as new, ln factor alike between 0 and ln(most);
//   blocked: between -ln(most) and 0
//   evidence = ∫ over ln factor of ∫ over the unknowns of exp(-(|r|² + |z|²) / 2) (identify.h); the
//   inner one by Laplace's method about its mode, (2π) terms and Gauss-Newton curvature, which is
//   exact where the network is linear; the outer one on points put in where it changes
//   probability = evidence / Σ evidence: every hypothesis as likely as another before the readings
//
// Two worn places at once are no hypothesis here. Where the evidence of another is above a third of
// the best one's, the readings do not tell them apart.
// The port to measure next is the one whose reading is expected to tell most: mutual information of
// the hypothesis and the reading, over what each predicts there, its spread and the gauge's.
// Sources: Laplace's method and evidence, MacKay, "Information Theory, Inference, and Learning
// Algorithms", 2003, ch. 27 and 28; a ratio under 3 "not worth more than a bare mention", Kass and
// Raftery, J. Am. Stat. Assoc. 90, 1995.
#pragma once

#include <optional>

#include "oil/identify.h"

namespace tautmark::oil {

struct WearSuspect {
  std::string name;                     // "front journal, left bank"
  std::vector<std::size_t> elements{};  // they wear together
  // Not worn but blocked: its elements let through a part of it, from 1/most to all.
  bool is_blocked = false;
};

struct Port {
  std::string name;
  std::size_t node = 0;
  Running running{};
  Pressure standard{};  // of the gauge that would read it
};

struct WearQuestion {
  Identification as_new{};  // what is not quite known of it are its unknowns; there may be none
  std::vector<WearSuspect> suspects{};
  double most = 64;  // clearance four times as wide, by the cubic law (estimate)
  std::vector<Port> ports{};
};

struct WearHypothesis {
  std::string name;
  double ln_evidence = 0;  // to a constant that all share
  double probability = 0;
  Interval factor{1, 1, 1};
  double chi_square = 0;  // of its best factor
};

inline constexpr double kAlikeRatio = 3;

struct WearExplanation {
  std::vector<WearHypothesis> hypotheses{};  // no wear, then the suspects as given
  std::vector<std::size_t> ranking{};        // index of hypotheses, most likely first
  std::vector<std::size_t> alike{};          // not told from the first; with it, or none
  double tail = 0;                           // of chi-square of the best that any explains
  bool explained = false;                    // tail at least 1 %
  std::vector<double> tells{};               // by port, in nats
  std::optional<std::size_t> next{};         // port
  std::vector<std::string> said{};
};

// Refuses what `posterior` refuses but no unknowns; no suspects, one without a name, with that of
// another or without elements, an element that is not there or cannot wear (naming it), a factor
// `most` that is not above 1, a port at no node or without an uncertainty (naming it).
Result<WearExplanation> explain_wear(const WearQuestion& in);

}  // namespace tautmark::oil
