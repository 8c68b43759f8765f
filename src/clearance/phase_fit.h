// SPDX-License-Identifier: Apache-2.0
// The phase of a camshaft from a whole table of lift against crank angle, by least squares.
//
//   y_i = a L(theta_i + eps) + b + noise     weights 1/(sigma_y² + (a L')² sigma_theta²)
//
//   L  lift with the camshaft right   b  zero of the gauge        sigma_y      of a gauge reading
//   eps  advance, positive early      a  scale of the lift, 1     sigma_theta  of a wheel reading
//                                        unless it is asked for
//
// Start: the greatest normalized cross-correlation on a grid of 1 crank deg; from there
// Gauss-Newton. Standard uncertainty of eps: from the
// normal matrix, with the noise stated, or with that of the residuals where none is stated or where
// the residuals are worse than stated (chi-square above its 99.9 % point). For a whole symmetric
// lobe it is sigma_y / sqrt(sum L'²).
//
// NOT in the uncertainty, and larger as a rule: the top dead center (1:1), lash, follower bleed
// down, checking springs; realistic in all 0.3 to 0.5 crank deg with a stop. Lash and the like bend
// the two flanks apart: each is fitted by itself, and they must agree within 3 sigma.
// Angles are of the cycle or from any top dead center, in the order of reading. Source: geometry.md
// 6.4.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "clearance/lift.h"

namespace tautmark::clearance {

struct ReadingNoise {
  Length lift{};       // standard, of one reading; more than 0
  CrankAngle angle{};  // standard, of one reading of the wheel
};

struct PhaseFitOptions {
  std::optional<ReadingNoise> noise{};        // none: taken from the residuals, unweighted
  bool fit_scale = false;                     // the lift of this valve train may be off by a factor
  CrankAngle search_within = crank_deg(360);  // either side of no error
};

struct FlankFits {
  CrankAngle opening{}, opening_u{};
  CrankAngle closing{}, closing_u{};
  bool agree = true;  // within 3 standard uncertainties
};

struct PhaseFit {
  CrankAngle early{};                 // eps
  CrankAngle u{};                     // standard
  double nu = 1;                      // degrees of freedom; infinite where the noise is as stated
  CrankAngle U{};                     // 95 %, Student's t of nu
  Length gauge_zero{};                // b
  double scale = 1;                   // a
  Length scatter{};                   // of the residuals, standard
  double worst = 0;                   // greatest residual in standard deviations
  std::optional<FlankFits> flanks{};  // where both have enough readings
  std::vector<std::string> warnings{};
};

// Refuses too few readings (parameters + 3), values that are not finite, stated noise of no lift,
// readings that show nothing of the lobe (lift differing by less than 10 times their scatter), and
// a fit that does not settle.
Result<PhaseFit> phase_fit(const LiftCurve& reference, const std::vector<LiftSample>& readings,
                           const PhaseFitOptions& options = {});

// What the table of these angles could give at best: standard uncertainty of eps, weighted. Empty
// where the angles do not show the phase.
std::optional<CrankAngle> predicted_u(const LiftCurve& reference,
                                      const std::vector<CrankAngle>& angles,
                                      const ReadingNoise& noise);

}  // namespace tautmark::clearance
