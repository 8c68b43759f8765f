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
// `driving_mark` and M links lie between the marks on the driving side. Radians of its own turn.
Angle mark_angle(const PathInputs& in, const Path& path, std::size_t element, Angle driving_mark,
                 double links_between);

// How the angle of a driven sprocket (radians of its own turn, positive: earlier) changes with each
// thing that can change. Exact derivatives of the solved path, arm following.
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
Result<PathDerivatives> path_derivatives(const PathInputs& in);

// Phase against the same path with a new chain and new guides, crank held: own turn, positive
// earlier. One per sprocket, in path order; 0 for the driving one.
Result<std::vector<Angle>> phase_change(const PathInputs& as_new, const PathInputs& worn);

}  // namespace tautmark
