// SPDX-License-Identifier: Apache-2.0
// From a value with its uncertainty to a verdict against limits: plain doubles, SI of one kind.
//
//   p_c = F((T_U - y) / u) - F((T_L - y) / u)      JCGM 106:2012, clause 7; one limit: one term
//   g   = z u,  F(z) = level                       one-sided guard band, 1.644854 u at 95 %
//
//   y  value         T_L, T_U  limits          p_c  probability that the true value is inside
//   u  standard uncertainty                    F    normal distribution for infinite nu, else
//   level  0.95, or 0.999 where a wrong pass        Student's t with nu: with few readings its
//          bends metal or hurts                     tails are wider, so g is larger (safe side)
//
//   pass          T_L + g <= y <= T_U - g         proven inside
//   pass_in_band  inside the limits, not proven
//   fail_in_band  outside the limits, not proven
//   fail          y < T_L - r or y > T_U + r      proven outside, r = z u
//   (names: ILAC-G8:09/2019, 4.2.3; who has to prove pays with the uncertainty: ISO 14253-1:2017)
//
// Two limits close together: a value z u inside one of them may still stick out at the other. The
// guard band is then widened until p_c at its edge reaches the level (to 1e-6); that matters below
// a width of about 6.4 u at 95 % and normal, sooner with few readings. Where even the middle does
// not reach the level no value can pass, and everything not proven outside is
// gauge_not_good_enough.
// Equality belongs to the better verdict.
//
// The prior is flat: nothing is assumed about how good parts usually are.
// Refused: a value that is not finite; u negative, or 0 without ZeroUncertainty::accept; nu < 1; no
// limit; lower above upper; a level outside [0.5, 1 - 1e-9].
#pragma once

#include <optional>
#include <string_view>

#include "base/diagnostic.h"
#include "measure/uncertainty.h"

namespace tautmark {

struct Limits {
  std::optional<double> lower = std::nullopt;
  std::optional<double> upper = std::nullopt;
};

enum class Conformity { pass, pass_in_band, fail_in_band, fail, gauge_not_good_enough };
std::string_view conformity_text(Conformity conformity);

struct Estimate {
  double value = 0;
  double u = 0;
  double nu = kInfiniteNu;
};

struct Decision {
  Conformity conformity = Conformity::gauge_not_good_enough;
  double probability_within = 0;
  double guard_band = 0;      // g: a value must be this far inside for a pass
  double rejection_band = 0;  // r: a value must be more than this far outside for a fail
};

enum class ZeroUncertainty {
  refuse,
  accept,  // a count, or a value exact by definition
};

Result<Decision> decide(const Estimate& estimate, const Limits& limits, double level = 0.95,
                        ZeroUncertainty zero = ZeroUncertainty::refuse);

// The largest p_c that any value between two limits can reach, F normal or Student as above.
Result<double> best_probability_within(const Limits& limits, double u, double nu = kInfiniteNu);

// What would turn a value in a band into a decision, if the value itself stays where it is.
enum class Decider {
  nothing_needed,  // already decided
  more_readings,   // further_readings of them, with the same gauge
  better_gauge,    // readings alone will not do it: needed_u, needed_U
  no_gauge,  // the value lies on the limit, or what is not the gauge's already exceeds needed_u
};

struct WhatWouldDecide {
  Decider decider = Decider::no_gauge;
  Conformity then = Conformity::gauge_not_good_enough;  // pass or fail, the side the value is on
  std::optional<int> further_readings = std::nullopt;   // set exactly for more_readings
  double needed_u = 0;  // largest standard uncertainty of the result that decides (infinite nu)
  double needed_U = 0;  // the same, expanded, k = 2
  double needed_gauge_U = 0;  // what of it is left for the gauge, expanded, k = 2; 0: nothing
};

struct WhatWouldDecideOptions {
  // nu of repeat_sd if it does not come from these readings (pooled, or from experience).
  // Not set: the n readings themselves, nu = n - 1.
  std::optional<double> repeat_nu = std::nullopt;
  // Standard uncertainty that a better gauge would leave as it is (temperature, form).
  double u_not_from_gauge = 0;
  int most_readings = 30;  // in all; nobody takes more
};

// repeat_sd: scatter of a single reading, in the unit of the value; n_now: readings in the mean.
// The type A part repeat_sd² / n_now is taken out of u² and shrinks with n; the rest stays.
// Refused as decide does, and: negative repeat_sd, n_now < 1, a type A part larger than u.
Result<WhatWouldDecide> what_would_decide(const Estimate& estimate, const Limits& limits,
                                          double level, double repeat_sd, int n_now,
                                          const WhatWouldDecideOptions& options = {});

}  // namespace tautmark
