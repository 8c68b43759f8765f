// SPDX-License-Identifier: Apache-2.0
#include "geometry/path.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "geometry/path_check.h"
#include "geometry/path_contact.h"

namespace tautmark {
namespace {

constexpr double kDegree = kRadiansPerDegree;
// The arm is searched this far to both sides of the angle at which it is described.
constexpr double kFarthest = 90 * kDegree;
constexpr double kFirstStep = 0.25 * kDegree;
constexpr double kLongestStep = 2 * kDegree;
constexpr double kShortestStep = 1e-4 * kDegree;
// Part of the links; the sum of the pitches itself carries rounding of about 1e-16.
constexpr double kClosed = 2e-15;
constexpr double kFarAway = std::numeric_limits<double>::infinity();  // not met yet
// A bracket this narrow is one angle; there X must be closed up to rounding, else it jumps.
constexpr double kFinestAngle = 1e-15;
constexpr double kNearlyClosed = 1e-9;
constexpr int kMostIterations = 500;

Point point_at(const Circle<Dual>& circle, const LoopPart<Dual>& along) {
  const Offset<Dual> offset = contact_offset(circle, along.ux, along.uy);
  return {Length::from_si(circle.x.value + offset.x.value),
          Length::from_si(circle.y.value + offset.y.value)};
}

Point pad_at(const PathInputs& in, double turned) {
  const Point& pad = in.plunger->pad;
  const Offset<double> at = turned_about(*in.pivot, Offset<double>{pad.x.si(), pad.y.si()}, turned);
  return {Length::from_si(at.x), Length::from_si(at.y)};
}

// stroke = (pad - base) . axis - pad radius; its slope by the arm's angle.
Dual plunger_stroke(const PathInputs& in, double turned, double sense) {
  const Plunger& plunger = *in.plunger;
  const Point pad = pad_at(in, turned);
  const double ax = std::cos(plunger.axis.si());
  const double ay = std::sin(plunger.axis.si());
  const double x = (pad.x - plunger.base.x).si();
  const double y = (pad.y - plunger.base.y).si();
  const double from_pivot_x = (pad.x - in.pivot->x).si();
  const double from_pivot_y = (pad.y - in.pivot->y).si();
  return {x * ax + y * ay - plunger.pad_radius.si(),
          sense * (from_pivot_x * ay - from_pivot_y * ax)};
}

void fill_not_touched(const PathInputs& in, const LaidPath& laid, Path& path) {
  auto next = laid.order.begin();
  for (std::size_t i = 0; i < in.elements.size(); ++i) {
    if (next != laid.order.end() && *next == i) {
      ++next;
    } else {
      path.not_touched.push_back(i);
    }
  }
}

void fill_arm(const PathInputs& in, const LaidPath& laid, double angle, double sense, Path& path) {
  path.arm = Angle::from_si(angle);
  if (!laid.arm) return;
  const Circle<Dual>& arm = laid.circles[*laid.arm];
  path.arm_center = {Length::from_si(arm.x.value), Length::from_si(arm.y.value)};
  path.pitches_per_arm = laid.pitches.slope;
  if (!in.plunger) return;
  const Dual stroke = plunger_stroke(in, sense * angle, sense);
  path.stroke = Length::from_si(stroke.value);
  const double length_per_arm = path.pitches_per_arm * worn_pitch<double>(in, {});
  if (length_per_arm != 0) path.stroke_per_length = stroke.slope / length_per_arm;
}

Path path_from(const PathInputs& in, const LaidPath& laid, double angle, double sense) {
  Path path;
  const double pitch = worn_pitch<double>(in, {});
  const std::size_t n = laid.order.size();
  path.contacts.reserve(n);
  path.strands.reserve(n);
  double length = 0;
  for (std::size_t k = 0; k < n; ++k) {
    const std::size_t next = (k + 1) % n;
    const std::size_t element = laid.order[k];
    const Circle<Dual>& circle = laid.circles[element];
    const LoopPart<Dual>& part = laid.parts[k];
    const double wrap = part.wrap.value;
    const double strand = part.strand.value;
    path.contacts.push_back({.element = element,
                             .wrap = Angle::from_si(wrap),
                             .pitches = wrap * circle.pitches_per_radian.value,
                             .arrives = point_at(circle, laid.parts[(k + n - 1) % n]),
                             .leaves = point_at(circle, part)});
    path.strands.push_back({.from = element,
                            .to = laid.order[next],
                            .leaves = path.contacts.back().leaves,
                            .arrives = point_at(laid.circles[laid.order[next]], part),
                            .length = Length::from_si(strand),
                            .pitches = strand / pitch});
    length += strand + circle.r.value * wrap;
  }
  fill_not_touched(in, laid, path);
  path.length = Length::from_si(length);
  path.pitches = laid.pitches.value;
  path.spare = in.links - path.pitches;
  fill_arm(in, laid, angle, sense, path);
  return path;
}

std::string links_and_mm(const PathInputs& in, double links) {
  return fmt::format("{:.1f} {} ({:.1f} mm)", links, in.belt ? "teeth" : "links",
                     links * worn_pitch<double>(in, {}) * 1e3);
}

std::string too_short(const PathInputs& in, double pitches) {
  return fmt::format("the {} is {} too short for its path: it has {}, the path needs at least {}",
                     in.belt ? "belt" : "chain", links_and_mm(in, pitches - in.links), in.links,
                     std::ceil(pitches));
}

std::string too_long(const PathInputs& in, const LaidPath& laid, double pitches) {
  return fmt::format("the {} is {} too long: \"{}\" takes up at most {:.1f} {}, it has {}",
                     in.belt ? "belt" : "chain", links_and_mm(in, in.links - pitches),
                     in.elements[*laid.arm].name, pitches, in.belt ? "teeth" : "links", in.links);
}

std::string jumps(const PathInputs& in, const LaidPath& laid, double angle, double excess) {
  return fmt::format(
      "the {} closes at no angle of \"{}\": at {:.2f} degrees it comes off another element and the "
      "path jumps by {} or more",
      in.belt ? "belt" : "chain", in.elements[*laid.arm].name, angle / kDegree,
      links_and_mm(in, std::abs(excess)));
}

// The search for the angle at which X = links. X grows with the angle while the arm touches.
struct ArmSearch {
  const PathInputs& in;
  LaidPath& laid;
  double sense;
  double low = -kFarAway, high = kFarAway;  // X below links, above links
  double step = kFirstStep;

  [[nodiscard]] double excess() const { return laid.pitches.value - in.links; }
  std::optional<PathFault> lay(double angle) const {
    return lay_path(in, {sense * angle, sense}, laid);
  }
  // Newton's step where it stays inside the bracket, else its middle.
  [[nodiscard]] double inside(double angle) const {
    if (laid.pitches.slope > 0) {
      const double next = angle - excess() / laid.pitches.slope;
      if (next > low && next < high) return next;
    }
    return (low + high) / 2;
  }
  // Without a bracket never farther than a small step: a wide one can run where no tangent exists.
  double outward(double angle) {
    const double towards = excess() < 0 ? 1 : -1;
    double wanted = step;
    if (laid.arm_touched && laid.pitches.slope > 0) {
      wanted = std::min(kLongestStep, std::abs(excess()) / laid.pitches.slope);
    } else {
      step = std::min(kLongestStep, 1.5 * step);
    }
    return angle + towards * wanted;
  }
};

Result<double> closing_angle(const PathInputs& in, LaidPath& laid, double sense) {
  ArmSearch search{in, laid, sense};
  if (const auto fault = search.lay(0)) return refuse(fault_text(in, *fault));
  double angle = 0;
  for (int i = 0; i < kMostIterations; ++i) {
    const double excess = search.excess();
    if (std::abs(excess) <= kClosed * in.links) return angle;
    (excess < 0 ? search.low : search.high) = angle;
    if (search.low > -kFarAway && search.high < kFarAway) {
      const double next = search.inside(angle);
      if (next == angle || search.high - search.low < kFinestAngle) {
        if (std::abs(excess) <= kNearlyClosed) return angle;
        return refuse(jumps(in, laid, angle, excess));
      }
      angle = next;
      // Between two angles that both have a path there is one.
      if (const auto fault = search.lay(angle)) return refuse(fault_text(in, *fault));
      continue;
    }
    if (excess > 0 && !laid.arm_touched) return refuse(too_short(in, laid.pitches.value));
    if (excess < 0 && laid.arm_touched && laid.pitches.slope <= 0) break;
    double next = search.outward(angle);
    if (next == angle) return angle;  // closed up to rounding
    auto fault = std::abs(next) > kFarthest ? PathFault{} : search.lay(next);
    while (fault && std::abs(next - angle) > kShortestStep) {
      next = (next + angle) / 2;
      fault = std::abs(next) > kFarthest ? PathFault{} : search.lay(next);
    }
    if (fault) {
      search.lay(angle);  // the last one that has a path, for the message
      break;
    }
    angle = next;
  }
  const double pitches = laid.pitches.value;
  return refuse(pitches > in.links ? too_short(in, pitches) : too_long(in, laid, pitches));
}

}  // namespace

Result<Path> path_at(const PathInputs& in, Angle arm) {
  if (auto why = check_path(in)) return refuse(std::move(why->why));
  if (!std::isfinite(arm.si())) return refuse("the angle of the arm is not a number");
  const Result<int> sense = arm_sense(in);
  if (!sense) return tl::make_unexpected(sense.error());
  LaidPath laid = path_to_lay(in);
  const Dual turned{*sense * arm.si(), static_cast<double>(*sense)};
  if (const auto fault = lay_path(in, turned, laid)) return refuse(fault_text(in, *fault));
  return path_from(in, laid, arm.si(), *sense);
}

Result<Path> solve_path(const PathInputs& in) {
  if (auto why = check_path(in)) return refuse(std::move(why->why));
  const Result<int> sense = arm_sense(in);
  if (!sense) return tl::make_unexpected(sense.error());
  LaidPath laid = path_to_lay(in);
  if (!laid.arm) {
    if (const auto fault = lay_path(in, {}, laid)) return refuse(fault_text(in, *fault));
    return path_from(in, laid, 0, 0);
  }
  const Result<double> angle = closing_angle(in, laid, *sense);
  if (!angle) return tl::make_unexpected(angle.error());
  Path path = path_from(in, laid, *angle, *sense);
  path.spare = 0;
  return path;
}

}  // namespace tautmark
