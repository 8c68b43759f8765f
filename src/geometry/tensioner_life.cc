// SPDX-License-Identifier: Apache-2.0
#include "geometry/tensioner_life.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

namespace tautmark {
namespace {

constexpr double kCoverage = 2;
// Of elongation and of wear in m: a hundredth of what any gauge shows.
constexpr double kFine = 1e-11;
constexpr double kElongationStep = 0.001;
constexpr double kWearStep = 0.25e-3;  // m
constexpr int kMostSteps = 200;

Result<Path> path_with_stroke(const StrokeInputs& in, const PathInputs& drive) {
  if (!std::isfinite(in.full_stroke.si()) || !(in.full_stroke.si() > 0)) {
    return refuse("the stroke of the tensioner must be above 0");
  }
  Result<Path> path = solve_path(drive);
  if (path && !path->stroke) return refuse("this drive has no plunger whose stroke is known");
  return path;
}

double stroke_left(const StrokeInputs& in, const Path& path) {
  return (in.full_stroke - *path.stroke).si();
}

// Where the stroke is used up as `set` is varied up from `start`: small steps until it is, then
// halving. Absent when a step has no path or `most` is passed.
template <class Set>
Result<std::optional<double>> end_of_stroke(const StrokeInputs& in, double start, double step,
                                            double most, Set&& set) {
  PathInputs drive = in.drive;
  const auto left_at = [&](double v) -> Result<double> {
    set(drive, v);
    return path_with_stroke(in, drive).map([&](const Path& path) { return stroke_left(in, path); });
  };
  const Result<double> now = left_at(start);
  if (!now) return tl::make_unexpected(now.error());
  if (*now <= 0) {
    return refuse(
        fmt::format("the stroke is used up already: {:.1f} mm past its end", std::abs(*now) * 1e3));
  }
  double inside = start;
  double outside = start;
  for (int i = 0;; ++i) {
    outside = std::min(inside + step, most);
    const Result<double> left = left_at(outside);
    if (!left || i == kMostSteps) return std::optional<double>{};
    if (*left <= 0) break;
    if (outside >= most) return std::optional<double>{};
    inside = outside;
  }
  while (outside - inside > kFine) {
    const double middle = (inside + outside) / 2;
    const Result<double> left = left_at(middle);
    if (!left) return tl::make_unexpected(left.error());
    (*left > 0 ? inside : outside) = middle;
  }
  return std::optional<double>{(inside + outside) / 2};
}

}  // namespace

Result<std::vector<StrokeAt>> stroke_at(const StrokeInputs& in,
                                        std::span<const Ratio> elongations) {
  std::vector<StrokeAt> rows;
  PathInputs drive = in.drive;
  for (const Ratio elongation : elongations) {
    drive.elongation = elongation;
    const Result<Path> path = path_with_stroke(in, drive);
    if (!path) return tl::make_unexpected(path.error());
    rows.push_back({.elongation = elongation,
                    .used = *path->stroke,
                    .left = in.full_stroke - *path->stroke,
                    .arm = path->arm});
  }
  return rows;
}

Result<std::optional<Ratio>> elongation_at_end(const StrokeInputs& in) {
  const auto end =
      end_of_stroke(in, in.drive.elongation.si(), kElongationStep, kMostSearched.si(),
                    [](PathInputs& drive, double e) { drive.elongation = Ratio::from_si(e); });
  if (!end) return tl::make_unexpected(end.error());
  if (!*end) return std::optional<Ratio>{};
  return std::optional<Ratio>{Ratio::from_si(**end)};
}

Result<std::optional<Length>> wear_at_end(const StrokeInputs& in, std::size_t element) {
  if (element >= in.drive.elements.size() ||
      in.drive.elements[element].kind == ElementKind::sprocket) {
    return refuse("only a guide, a pulley or the arm has a face that wears");
  }
  const PathElement& face = in.drive.elements[element];
  const auto end = end_of_stroke(in, face.wear.si(), kWearStep, face.radius.si(),
                                 [&](PathInputs& drive, double wear) {
                                   drive.elements[element].wear = Length::from_si(wear);
                                 });
  if (!end) return tl::make_unexpected(end.error());
  if (!*end) return std::optional<Length>{};
  return std::optional<Length>{Length::from_si(**end)};
}

namespace {

struct Line {
  double middle = 0, height = 0, slope = 0;    // weighted means, b
  double height_square = 0, slope_square = 0;  // their variances
  double first = 0, last = 0;                  // use
};

std::optional<std::string> wrong_points(const TrendInputs& in) {
  if (in.points.size() < 2) {
    return "one reading has no trend; a second one after further use is needed";
  }
  for (const TrendPoint& p : in.points) {
    if (!std::isfinite(p.used) || !std::isfinite(p.value)) return "a reading is not a number";
    if (!std::isfinite(p.uncertainty) || !(p.uncertainty > 0)) {
      return "a reading without an uncertainty cannot make a trend";
    }
  }
  if (!std::isfinite(in.limit)) return "the limit is not a number";
  return std::nullopt;
}

Line line_through(std::span<const TrendPoint> points) {
  Line line;
  double weights = 0;
  for (const TrendPoint& p : points) {
    const double w = 1 / (p.uncertainty * p.uncertainty);
    weights += w;
    line.middle += w * p.used;
    line.height += w * p.value;
  }
  line.middle /= weights;
  line.height /= weights;
  double square = 0;
  for (const TrendPoint& p : points) {
    const double w = 1 / (p.uncertainty * p.uncertainty);
    square += w * (p.used - line.middle) * (p.used - line.middle);
    line.slope += w * (p.used - line.middle) * (p.value - line.height);
  }
  line.slope /= square;
  double chi = 0;
  for (const TrendPoint& p : points) {
    const double off =
        (p.value - line.height - line.slope * (p.used - line.middle)) / p.uncertainty;
    chi += off * off;
  }
  // Two points have no scatter; more may scatter beyond what was said of them.
  const double scatter =
      points.size() > 2 ? std::max(1.0, chi / static_cast<double>(points.size() - 2)) : 1;
  line.height_square = scatter / weights;
  line.slope_square = scatter / square;
  const auto [first, last] = std::minmax_element(
      points.begin(), points.end(), [](const auto& a, const auto& b) { return a.used < b.used; });
  line.first = first->used;
  line.last = last->used;
  return line;
}

// Both x of the interval: (b² - k² u_b²) t² - 2 b g t + g² - k² u_m² = 0, t = x - middle, g = limit
// - height. The leading factor is above 0 where the slope can be told.
std::pair<double, double> interval(const Line& line, double limit) {
  const double k = kCoverage * kCoverage;
  const double gap = limit - line.height;
  const double a = line.slope * line.slope - k * line.slope_square;
  const double c = gap * gap - k * line.height_square;
  const double b = line.slope * gap;
  const double root = std::sqrt(std::max(0.0, b * b - a * c));
  return {line.middle + (b - root) / a, line.middle + (b + root) / a};
}

}  // namespace

Result<Trend> trend_to_limit(const TrendInputs& in) {
  if (const auto why = wrong_points(in)) return refuse(*why);
  const Line line = line_through(in.points);
  const double span = line.last - line.first;
  if (!(span > 0)) return refuse("all readings were taken at the same use; they have no trend");
  const double uncertainty = std::sqrt(line.slope_square);
  if (!(line.slope > kCoverage * uncertainty)) {
    return refuse(line.slope <= 0
                      ? "the readings do not grow: that is no wear; read again after more use"
                      : "the readings grow by less than their doubt: no trend can be told; read "
                        "again after more use");
  }
  Trend trend{.per_used = line.slope, .per_used_uncertainty = uncertainty};
  trend.reached = line.middle + (in.limit - line.height) / line.slope;
  const double farthest = line.last + kFarthestAhead * span;
  if (trend.reached > farthest) {
    return refuse(fmt::format(
        "the limit is met after {:.3g}; readings from {:.3g} to {:.3g} say nothing so far ahead",
        trend.reached, line.first, line.last));
  }
  const auto [earliest, latest] = interval(line, in.limit);
  trend.earliest = earliest;
  if (latest <= farthest) trend.latest = latest;
  return trend;
}

}  // namespace tautmark
