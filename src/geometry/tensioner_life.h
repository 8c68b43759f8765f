// SPDX-License-Identifier: Apache-2.0
// How much of the tensioner's stroke is used, what wear it can still take, and when the present
// chain gets there on its own trend.
//
// Stroke: from the solved path (path.h), once per elongation or guide wear. Stroke grows with both.
//
// Trend: a line through (used, value), used in whatever the caller counts (km, hours), value an
// elongation or an extension, each with its standard uncertainty:
//
//   w_i = 1/u_i²    b = sum w (x - xm)(y - ym) / sum w (x - xm)²    xm, ym  weighted means
//   u(ym)² = 1/sum w    u(b)² = 1/sum w (x - xm)²    both times chi²/(n - 2) when that is above 1
//   reached at x0 = xm + (limit - ym)/b
//   earliest, latest: the x with (ym + b (x - xm) - limit)² = k² (u(ym)² + u(b)² (x - xm)²), k = 2
//
// The last two are exact for a line (ratio of two normal values), never symmetric about x0. A line
// is an assumption: wear that speeds up comes sooner. One point has no trend; points whose slope
// could be nothing (b <= k u(b)) have none that can be told. Nothing is said beyond kFarthestAhead
// times the span of the readings. Sources: geometry.md 3.1, 3.4; weighted line and its variance,
// and the ratio's interval, are standard statistics (from memory; the test holds them against a
// direct simulation).
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "base/diagnostic.h"
#include "geometry/path.h"

namespace tautmark {

// ---- stroke
// --------------------------------------------------------------------------------------

struct StrokeInputs {
  PathInputs drive{};    // as new or as it is; its elongation and wear are where the search begins
  Length full_stroke{};  // travel at which the plunger ends, from its base
};
struct StrokeAt {
  Ratio elongation{};
  Length used{}, left{};  // left is negative past the end
  Angle arm{};
};
// Refuses what solve_path refuses, a drive without a plunger, a stroke that is none.
Result<std::vector<StrokeAt>> stroke_at(const StrokeInputs& in, std::span<const Ratio> elongations);

// The elongation at which the stroke is used up, wear of the guides as given; absent when the
// plunger is still inside at kMostSearched. Refuses as above, and a stroke used up at the given
// elongation.
inline constexpr Ratio kMostSearched = Ratio::from_si(0.05);
Result<std::optional<Ratio>> elongation_at_end(const StrokeInputs& in);

// The same for the wear of one guide or of the arm's shoe, the elongation as given; absent when the
// face loses the chain (a guide worn clear of it) before.
Result<std::optional<Length>> wear_at_end(const StrokeInputs& in, std::size_t element);

// ---- trend
// ---------------------------------------------------------------------------------------

inline constexpr double kFarthestAhead = 5;

struct TrendPoint {
  double used = 0;         // km, hours: the caller's
  double value = 0;        // elongation, or extension in m
  double uncertainty = 0;  // standard, of value
};
struct TrendInputs {
  std::vector<TrendPoint> points{};
  double limit = 0;  // of value
};
struct Trend {
  double per_used = 0;              // b
  double per_used_uncertainty = 0;  // standard
  double reached = 0;               // used at which the line meets the limit
  double earliest = 0;              // k = 2
  std::optional<double> latest{};   // absent when farther ahead than may be said
};
// Refuses: fewer than two points or all at the same use, values that are none, an uncertainty not
// above 0, a slope that could be nothing, a limit farther ahead than kFarthestAhead.
Result<Trend> trend_to_limit(const TrendInputs& in);

}  // namespace tautmark
