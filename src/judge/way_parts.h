// SPDX-License-Identifier: Apache-2.0
// Inside of way_answer.h: what is known of where the engine stands, clause by clause, and the
// engine of the search that it makes.
//
// Angles: the crankshaft on the scale of firing_tops() (0 to 720 crank deg), a camshaft that is so
// many teeth early at crank / 2 + teeth * 360 / N cam deg. Of a phaser not proven locked the whole
// travel applies: the camshaft stands in the middle of it, uncertain by half of it.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "judge/standing_in_force.h"
#include "judge/way_answer.h"

namespace tautmark::way {

// By hand with wheel and wrench nobody turns more exactly. Common practice, no source.
inline constexpr CrankAngle kCrankByHand = crank_deg(1);
inline constexpr CamAngle kCamByHand = cam_deg(1);

struct CamPlace {
  std::string camshaft{};
  std::optional<int> half_teeth{};      // early positive
  std::optional<int> sprocket{};        // teeth
  CrankAngle within{};                  // wear
  bool is_locked = true;                // or it has no phaser
  CrankAngle early_from{}, early_to{};  // travel of a phaser that may stand anywhere; equal: locked
};

struct Ground {
  const LoadedCase& loaded;
  const LoadedDrive& drive;
  std::vector<const Entry*> entries{};  // in order of work
  StandingInForce found{};
  std::vector<ValvesOfCam> valves{};
  std::vector<CamPlace> camshafts{};  // in the order of the drive
  std::vector<CrankAngle> tops{};     // of each cylinder; empty: not known
  CrankAngle crank{}, wanted{};       // on the scale of `tops`
  CrankAngle crank_within{};
  bool all_right() const;
};

inline void forbid(WayAnswer& out, std::string clause, std::string ask) {
  out.forbidden.push_back(std::move(clause));
  if (!ask.empty() && std::find(out.ask.begin(), out.ask.end(), ask) == out.ask.end())
    out.ask.push_back(std::move(ask));
}

// Each adds what forbids, and what is known to the ground; in this order, the gravest first.
void see_state(const Ground& ground, WayAnswer& out);
void see_cylinders(const Ground& ground, WayAnswer& out);  // valves straight, debris, adjusters ...
void see_camshafts(Ground& ground, WayAnswer& out);
// Variant, contradiction, rotation; the facts are those of turning_answer.h.
// Counts and marks of the case against the words of the standing.
void see_marks(const Ground& ground, WayAnswer& out);
void see_engine(const Ground& ground, const TurningFacts& facts, WayAnswer& out);
void see_crank(Ground& ground, WayAnswer& out);
void see_figures(const Ground& ground, WayAnswer& out);  // lift, gaps, pockets, heads

// Only where nothing forbids.
clearance::PathEngine engine_of(const Ground& ground);
clearance::PathQuery query_of(const Ground& ground);

// What the error of each camshaft by itself does to the gaps over a whole cycle.
std::vector<std::string> explained(const Ground& ground);

}  // namespace tautmark::way
