// SPDX-License-Identifier: Apache-2.0
// Several stages in series from the crank to a cam: chains with wear, gear pairs with backlash.
//
//   loss of a chain stage = 2 pi T e / (N_driving (1 + e)) * r      crank radians, late
//   r   crank turns per turn of the shaft that drives the stage: product of driven / driving teeth
//   one tooth of a stage = 2 pi / N_driving * r
//
// Losses add in crank degrees. A gear pair has whole teeth and no wear of length: its ratio alone,
// and its play. Turned forward last it stands on its driving flanks (0); a cam that its springs
// push ahead stands early by up to the backlash, so backlash widens the range to the early side
// only. Source: geometry.md 3.3, two-stage drive. T as in phase.h: free strands and guides.
#pragma once

#include <span>
#include <variant>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark {

struct ChainStage {
  int driving_teeth = 0, driven_teeth = 0;
  double free_pitches = 0;  // T
  Ratio elongation{};
};
struct GearStage {
  int driving_teeth = 0, driven_teeth = 0;
  Angle backlash{};  // of the driven gear, the driving one held
};
using Stage = std::variant<ChainStage, GearStage>;

struct StageEffect {
  CrankAngle change{};     // negative: late
  CrankAngle play{};       // early by up to this
  CrankAngle one_tooth{};  // of its chain or gears
};
struct StageSum {
  std::vector<StageEffect> stages{};
  double crank_turns = 1;  // per turn of the last shaft; 2 for the cam of a four-stroke engine
  bool with_crank = true;  // sense of the last shaft; each gear pair turns it round
  CrankAngle latest{};     // sum of the losses
  CrankAngle earliest{};   // the same with all play taken out to the early side
};
// Refuses no stage, teeth outside validity, T or backlash negative or not finite, e beyond 20 %.
Result<StageSum> stages_in_series(std::span<const Stage> stages);

}  // namespace tautmark
