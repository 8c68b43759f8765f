// SPDX-License-Identifier: Apache-2.0
#include "measure/decision.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "measure/distribution.h"

namespace tautmark {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
constexpr double kHighestLevel = 1 - 1e-9;
// What may stick out at the other limit before the guard band is widened.
constexpr double kSpill = 1e-6;
// A value this close to its limit, in units of u, lies on it as far as any gauge is concerned.
constexpr double kOnTheLimit = 1e-6;
constexpr int kBisections = 60;

struct Ends {
  double lower = -kInfinity;
  double upper = kInfinity;
  [[nodiscard]] double width() const { return upper - lower; }
  // Above 0 inside: distance to the nearer limit.
  [[nodiscard]] double margin(double y) const { return std::min(upper - y, y - lower); }
};

Result<Ends> checked_ends(const Limits& limits) {
  if (!limits.lower && !limits.upper) return refuse("there is no limit to decide against");
  const Ends ends{.lower = limits.lower.value_or(-kInfinity),
                  .upper = limits.upper.value_or(kInfinity)};
  if ((limits.lower && !std::isfinite(ends.lower)) ||
      (limits.upper && !std::isfinite(ends.upper))) {
    return refuse("a limit is not a finite number");
  }
  if (ends.lower > ends.upper) return refuse("the lower limit lies above the upper limit");
  return ends;
}

std::optional<std::string> objection(const Estimate& estimate, double level) {
  if (!std::isfinite(estimate.value)) return "the value is not a finite number";
  if (!std::isfinite(estimate.u) || estimate.u < 0) {
    return "the uncertainty is negative or not a finite number";
  }
  if (!(estimate.nu >= 1)) return "there is fewer than one degree of freedom";
  if (!(level >= 0.5 && level <= kHighestLevel)) {
    return "the level of proof lies between 0.5 and 0.999999999";
  }
  return std::nullopt;
}

double probability_within(const Ends& ends, double y, double u, double nu) {
  return student_probability_between((ends.lower - y) / u, (ends.upper - y) / u, nu);
}

// Smallest distance from either limit at which p_c reaches the level; empty if none does.
std::optional<double> guard_band(const Ends& ends, double u, double nu, double level) {
  const double one_sided = level > 0.5 ? student_quantile(level, nu) * u : 0;
  if (!std::isfinite(ends.width())) return one_sided;
  const double half = ends.width() / 2;
  const auto reaches = [&](double distance, double p) {
    return student_probability_between(-(ends.width() - distance) / u, distance / u, nu) >= p;
  };
  if (!reaches(half, level)) return std::nullopt;
  if (one_sided <= half && reaches(one_sided, level - kSpill)) return one_sided;
  double too_small = std::min(one_sided, half);
  double enough = half;
  for (int i = 0; i < kBisections; ++i) {
    const double middle = (too_small + enough) / 2;
    (reaches(middle, level) ? enough : too_small) = middle;
  }
  return enough;
}

// Largest u, with infinite nu, at which a value in a band becomes `then`.
double deciding_u(double y, const Limits& limits, const Ends& ends, double level, Conformity then) {
  const double z = level > 0.5 ? student_quantile(level, kInfiniteNu) : 0;
  const auto decides = [&](double u) {
    const Result<Decision> decision = decide({.value = y, .u = u}, limits, level);
    return decision && decision->conformity == then;
  };
  const double distance = std::abs(ends.margin(y));
  // At level 1/2 a single limit is met with any u; the far end only has to be somewhere.
  const double far = std::isfinite(ends.width()) ? 10 * ends.width() : 1e6 * distance;
  const double one_sided = z > 0 ? distance / z : far;
  // A hair inside, because the quotient itself may round to the wrong side.
  const double candidate = one_sided * (1 - 1e-12);
  if (decides(candidate)) return candidate;
  double enough = 0;
  double too_large = one_sided;
  for (int i = 0; i < kBisections; ++i) {
    const double middle = (enough + too_large) / 2;
    (decides(middle) ? enough : too_large) = middle;
  }
  return enough;
}

// The estimate split into what more readings make smaller and what they do not.
struct Parts {
  double repeat_sd = 0;
  double rest_square = 0;  // u_B²
  double rest_nu = kInfiniteNu;
  std::optional<double> repeat_nu;  // of repeat_sd, when it does not grow with n

  [[nodiscard]] Estimate with(double value, int n) const {
    const double repeat_square = repeat_sd * repeat_sd / n;
    const double square = repeat_square + rest_square;
    const double nu = repeat_nu.value_or(std::max(1.0, n - 1.0));
    const double fourth_over_nu =
        repeat_square * repeat_square / nu + rest_square * rest_square / rest_nu;
    Estimate result{.value = value, .u = std::sqrt(square)};
    if (fourth_over_nu > 0) result.nu = std::max(1.0, square * square / fourth_over_nu);
    return result;
  }
};

Result<Parts> split(const Estimate& estimate, double repeat_sd, int n_now,
                    const WhatWouldDecideOptions& options) {
  if (!std::isfinite(repeat_sd) || repeat_sd < 0) {
    return refuse("the scatter of a reading is negative or not a finite number");
  }
  if (n_now < 1) return refuse("there is no reading");
  if (options.repeat_nu && !(*options.repeat_nu >= 1)) {
    return refuse("the scatter has fewer than one degree of freedom");
  }
  const double repeat_square = repeat_sd * repeat_sd / n_now;
  const double square = estimate.u * estimate.u;
  if (repeat_square > square * (1 + 1e-6)) {
    return refuse("the scatter of the readings alone exceeds the stated uncertainty");
  }
  Parts parts{.repeat_sd = repeat_sd,
              .rest_square = std::max(0.0, square - repeat_square),
              .rest_nu = kInfiniteNu,
              .repeat_nu = options.repeat_nu};
  // Scatter known from elsewhere: one reading tells nothing about it, and a result of infinite nu
  // cannot contain a scatter of few degrees of freedom.
  if (!parts.repeat_nu && (n_now == 1 || std::isinf(estimate.nu))) parts.repeat_nu = kInfiniteNu;
  const double repeat_nu = parts.repeat_nu.value_or(n_now - 1.0);
  const double rest_fourth_over_nu =
      square * square / estimate.nu - repeat_square * repeat_square / repeat_nu;
  if (rest_fourth_over_nu > 1e-9 * square * square / estimate.nu) {
    parts.rest_nu = std::max(1.0, parts.rest_square * parts.rest_square / rest_fourth_over_nu);
  }
  return parts;
}

}  // namespace

std::string_view conformity_text(Conformity conformity) {
  switch (conformity) {
    case Conformity::pass:
      return "proven inside";
    case Conformity::pass_in_band:
      return "inside, too close to call";
    case Conformity::fail_in_band:
      return "outside, too close to call";
    case Conformity::fail:
      return "proven outside";
    case Conformity::gauge_not_good_enough:
      return "gauge not good enough for these limits";
  }
  return "";
}

Result<Decision> decide(const Estimate& estimate, const Limits& limits, double level,
                        ZeroUncertainty zero) {
  if (auto why = objection(estimate, level)) return refuse(*why);
  const Result<Ends> ends = checked_ends(limits);
  if (!ends) return refuse(ends.error().why);
  const double y = estimate.value;
  const double margin = ends->margin(y);

  Decision result;
  if (estimate.u == 0) {
    if (zero == ZeroUncertainty::refuse) {
      return refuse("an uncertainty of zero needs to be said on purpose");
    }
    result.conformity = margin >= 0 ? Conformity::pass : Conformity::fail;
    result.probability_within = margin >= 0 ? 1 : 0;
    return result;
  }

  result.probability_within = probability_within(*ends, y, estimate.u, estimate.nu);
  result.rejection_band = level > 0.5 ? student_quantile(level, estimate.nu) * estimate.u : 0;
  if (!std::isfinite(result.rejection_band)) return refuse("the uncertainty is too large");
  const std::optional<double> band = guard_band(*ends, estimate.u, estimate.nu, level);
  result.guard_band = band.value_or(result.rejection_band);
  // Written as the limit moved by the band, so that a value equal to a shown inner limit passes.
  if (y < ends->lower - result.rejection_band || y > ends->upper + result.rejection_band) {
    result.conformity = Conformity::fail;
  } else if (!band) {
    result.conformity = Conformity::gauge_not_good_enough;
  } else if (y >= ends->lower + *band && y <= ends->upper - *band) {
    result.conformity = Conformity::pass;
  } else {
    result.conformity = margin >= 0 ? Conformity::pass_in_band : Conformity::fail_in_band;
  }
  return result;
}

Result<double> best_probability_within(const Limits& limits, double u, double nu) {
  const Result<Ends> ends = checked_ends(limits);
  if (!ends) return refuse(ends.error().why);
  if (!std::isfinite(u) || !(u > 0)) return refuse("the uncertainty is not above zero");
  if (!(nu >= 1)) return refuse("there is fewer than one degree of freedom");
  if (!std::isfinite(ends->width())) return 1.0;
  const double half = ends->width() / (2 * u);
  return student_probability_between(-half, half, nu);
}

Result<WhatWouldDecide> what_would_decide(const Estimate& estimate, const Limits& limits,
                                          double level, double repeat_sd, int n_now,
                                          const WhatWouldDecideOptions& options) {
  const Result<Decision> now = decide(estimate, limits, level);
  if (!now) return refuse(now.error().why);
  const Result<Ends> ends = checked_ends(limits);
  if (!ends) return refuse(ends.error().why);
  const Result<Parts> parts = split(estimate, repeat_sd, n_now, options);
  if (!parts) return refuse(parts.error().why);
  if (!std::isfinite(options.u_not_from_gauge) || options.u_not_from_gauge < 0) {
    return refuse("the uncertainty that stays is negative or not a finite number");
  }

  const double margin = ends->margin(estimate.value);
  WhatWouldDecide result;
  result.then = margin >= 0 ? Conformity::pass : Conformity::fail;
  if (now->conformity == Conformity::pass || now->conformity == Conformity::fail) {
    result.decider = Decider::nothing_needed;
    result.then = now->conformity;
  } else if (std::abs(margin) <= kOnTheLimit * estimate.u) {
    return result;  // no gauge: every finite uncertainty reaches over the limit
  }

  result.needed_u = deciding_u(estimate.value, limits, *ends, level, result.then);
  result.needed_U = 2 * result.needed_u;
  const double stays = options.u_not_from_gauge;
  if (stays < result.needed_u) {
    result.needed_gauge_U = 2 * std::sqrt(result.needed_u * result.needed_u - stays * stays);
  }
  if (result.decider == Decider::nothing_needed) return result;

  for (int n = n_now + 1; repeat_sd > 0 && n <= options.most_readings; ++n) {
    const Result<Decision> later = decide(parts->with(estimate.value, n), limits, level);
    if (later && later->conformity == result.then) {
      result.decider = Decider::more_readings;
      result.further_readings = n - n_now;
      return result;
    }
  }
  if (result.needed_gauge_U > 0) result.decider = Decider::better_gauge;
  return result;
}

}  // namespace tautmark
