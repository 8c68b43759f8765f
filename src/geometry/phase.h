// SPDX-License-Identifier: Apache-2.0
// The angle that a chain gives to every sprocket on it, and what wear does to that angle.
//
// Angles of a sprocket are counted in its own running direction, from straight up as seen from the
// front. With the engine turned forward last, a sprocket j hangs on the strands between it and the
// driving sprocket K downstream:
//
//   M = N_j (B_j - phi_j)/(2 pi) + T + N_K (phi_K - B_K)/(2 pi)
//   phi_j = (N_K/N_j) phi_K + [B_j - (N_K/N_j) B_K] + (2 pi/N_j)(T - M)
//
//   B  where the chain leaves j, enters K     T  path between these points, in pitches (strands,
//   guides; sprockets between count in teeth)     M  links between the marks, driving side
//
//   d phi_j / de = -(2 pi/N_j) T / (1 + e)²      later; T free strands and guides only
//   guide worn by w on the driving strand: about -wrap / r_j, later
//   guide or arm on the slack strand: no phase, only stroke
//
// Sources: geometry.md 3.2, 3.3, 3.4.
#pragma once

#include <string>
#include <vector>

#include "geometry/path.h"

namespace tautmark {

struct SprocketPhase {
  std::size_t element = 0;
  Angle clock{};       // B: leaves (driven), enters (driving sprocket), own running direction
  double driving = 0;  // T', path from leaving j to entering K, sprockets between in teeth
  double free = 0;     // T, of it the free strands and guides: what wears
  double slack = 0;    // path from leaving K to arriving at j
  double engaged = 0;  // teeth
};
// Of every sprocket on the path, in its order; the first is the driving one.
std::vector<SprocketPhase> sprocket_phases(const PathInputs& in, const Path& path);

// Where the mark of a driven sprocket stands when the mark of the driving one stands at
// `driving_mark` and M links lie between the marks on the driving side. Radians of its own turn,
// not reduced to one turn. M counts from mark to mark as if both were on the chain: with
// `driving_mark` between B and B + wrap of the driving sprocket it is the count that is seen; the
// same M goes on to hold while the engine turns and `driving_mark` grows past that. One turn of
// `driving_mark` less with the same M is another assembly (N_K links off), so never reduce it. The
// driving sprocket itself, and an element that is no sprocket of the path, give `driving_mark`
// back.
Angle mark_angle(const PathInputs& in, const Path& path, std::size_t element, Angle driving_mark,
                 double links_between);

// How the angle of a driven sprocket (radians of its own turn, positive: earlier) changes with each
// thing that can change. Exact derivatives of the solved path, arm following, crank held, links
// between the marks held, contacts as they are (an element not touched has 0). `per_teeth` is that
// of a mark at the point where the chain leaves (driving sprocket: enters); another mark adds a
// term from where it stands, because the angle of one tooth changes. Without an arm spare links
// stay slack.
struct PhaseDerivatives {
  std::size_t element = 0;
  double per_elongation = 0;           // rad per 1
  std::vector<double> per_wear{};      // rad per m, one per element (0 for sprockets)
  std::vector<double> per_center_x{};  // rad per m, one per element
  std::vector<double> per_center_y{};
  std::vector<double> per_teeth{};  // rad per tooth, pitch circle following
};
struct PathDerivatives {
  std::vector<PhaseDerivatives> sprockets{};
  double arm_per_elongation = 0;          // rad per 1
  double stroke_per_elongation = 0;       // m per 1
  std::vector<double> stroke_per_wear{};  // m per m
};
// Refuses what solve_path refuses, and an arm that takes up no chain where it stands.
Result<PathDerivatives> path_derivatives(const PathInputs& in);

// Phase against the same path with a new chain and new guides, crank held: own turn, positive
// earlier. One per sprocket, in path order; 0 for the driving one. Links between the marks held.
// Refuses what solve_path refuses, and drives with different sprockets.
Result<std::vector<Angle>> phase_change(const PathInputs& as_new, const PathInputs& worn);

}  // namespace tautmark
