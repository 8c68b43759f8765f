// SPDX-License-Identifier: Apache-2.0
// What measured cam phases mean: each hypothesis gives the phases a density, priors weigh them.
// Crank degrees, advance positive, retard negative, against the reference edge, phaser at its base.
//
//   right            d_b ~ N(0, σ_b),  σ_b² = statistical² + tolerance²
//   elongation       d_b ~ N(-e g_b, σ_b), one e per chain, half normal with scale 4 degrees,
//                    g_b = tight strand of the cam over that of the first; trapezoid, 4001 points
//                    over 0 to 20 degrees
//   jump             k·720/N on one cam or on all of a chain, k = ±1, ±2, ±3
//   wheel slipped    one cam ~ N(0, √(σ_b² + 15²)), the others right
//   jump and elongation   the elongation on top of every jump
//   crank reference  all cams of several chains by one angle ~ N(0, 15): the crank's sensor wheel,
//                    or its key; with one chain nothing tells it from a jump or wear
//   phaser           one cam anywhere in its phaser's travel, the others right; a tenth of the
//                    prior for a cam whose phaser was said to be at its base
//
// One chain: all jumps alike. Several chains jump each by themselves (own choices, as the source
// gives values for one chain only): the priors of jump and of jump and elongation are those of one
// chain, each further chain that jumped too is a hundred times less likely; k has the shares 0.35,
// 0.10, 0.05 each way; beside a jump a chain is worn with 0.75 if it jumped, 0.25 if not, at least
// one is. So a tooth and up to 6 degrees of wear outweigh a slipped wheel, and the same tooth on
// every chain does not outweigh the crank side.
// Wear over 12 degrees beside a jump is none: then none of these fits.
//
// Tolerance is the standard uncertainty of the reference edge (0.5 degrees when nothing better is
// known), never the window that decides pass or fail: with the window a remainder beside a whole
// tooth is lost.
// A crank wheel with equal zeros leaves all phases uncertain by one of a few common angles
// (`zeros`), all alike: every meaning is averaged over them. A jump of all cams that is such an
// angle cannot be seen at all, so nothing is separated from it.
// Never told apart from phases alone: equal and opposite errors of crank wheel and chain.
// Source: signals.md section 8.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"

namespace tautmark {

struct PhaseEvidence {
  std::string cam;         // "bank 1 intake"
  double phase = 0;        // degrees, advance positive
  double statistical = 0;  // sd/√n_eff
  double tolerance = 0.5;  // standard uncertainty of the reference edge
  int teeth = 0;           // of the cam sprocket
  int chain = 0;           // cams of one chain share one elongation
  double strand_ratio = 1;
  std::optional<double> travel_from, travel_to;  // phaser, degrees from its base; none: no phaser
  bool phaser_at_base = false;                   // known, not only wished
};

enum class Meaning {
  right,
  elongation,
  jump,
  slipped,
  jump_and_elongation,
  crank_reference,
  phaser
};
inline constexpr std::size_t kMeanings = 7;

using MeaningPriors = std::array<double, kMeanings>;
inline constexpr MeaningPriors kDefaultPriors = {0.68, 0.15, 0.10, 0.05, 0.02, 0.02, 0.05};

struct MeaningAnswer {
  Meaning meaning{};
  double log_evidence = 0;
  double posterior = 0;
  std::vector<int> jump;           // teeth per cam, advance positive, of the likeliest alternative
  std::vector<double> elongation;  // e per cam's chain, degrees at strand ratio 1, likeliest
  int cam = -1;                    // slipped, phaser: which, likeliest
  std::string words;  // "intake 1 tooth late and elongation: intake 2.4° late (crank)"
  double zero = 0;    // of `zeros`, that of the likeliest alternative
  // The likeliest alternative's part of the evidence, and the runner-up's inside this meaning:
  // another cam, another number of teeth.
  double share = 1, rival_share = 0;
  std::string rival_words;
};

struct MeaningReport {
  std::vector<MeaningAnswer> answers;  // most probable first; only those that can apply
  // First over second at least 20 to 1, over the runner-up of its own meaning too, and no jump that
  // the wheel's equal zeros hide. Right is never separated where a phase is uncertain by over 2
  // degrees (few crank teeth): wear of 3 degrees would not be seen.
  bool separated = false;
  double fit_chance = 1;   // P of a χ² as large as the first's
  bool none_fits = false;  // under 0.001, or over 12 degrees of wear beside a jump: none of these
  std::string sentence;
  std::string hidden;  // "all cams 1 tooth late": invisible to this wheel; empty: none
};
// A meaning with prior 0, a crank reference with one chain, and a phaser without travel do not
// apply; priors are scaled to a sum of 1. Refused: no cams, a value that is not finite, statistical
// and tolerance both 0, fewer than 8 teeth, two cams of one chain with a strand ratio not above 0.
Result<MeaningReport> weigh_meanings(std::span<const PhaseEvidence> cams,
                                     const MeaningPriors& priors = kDefaultPriors,
                                     std::span<const double> zeros = {});

// One tooth of a cam sprocket, crank degrees: 720/N.
double tooth_in_crank_degrees(int cam_teeth);

// A jump inside a recording: a step over 5 jitter that is k·720/N within 3 standard uncertainties
// and at least 13 degrees, between one cycle and the next. 0: no jump.
int jump_of_step(double change, double jitter, double uncertainty, int cam_teeth);

// "2.4° late (crank), 1.2° cam", "on time" under 0.05 degrees.
std::string phase_words(double degrees);

}  // namespace tautmark
