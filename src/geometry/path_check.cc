// SPDX-License-Identifier: Apache-2.0
#include "geometry/path_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/counts.h"
#include "geometry/path_model.h"

namespace tautmark {
namespace {

// Beyond it no number of a chain is an elongation; real ones end near 3 %.
constexpr double kMostElongation = 0.2;
// No drive is larger, no pitch smaller (m): beyond them sums and differences lose their meaning.
constexpr double kLongest = 100;
constexpr double kShortestPitch = 1e-4;
// Shorter by more the sense of the arm would hang on rounding.
constexpr double kLeastPush = 1e-3;

using Refused = std::optional<Refusal>;

// NaN is none of them.
bool sane(Length v) { return std::abs(v.si()) <= kLongest; }
bool sane(Point p) { return sane(p.x) && sane(p.y); }

Refused wrong_count(const std::string& what, int count) {
  if (count >= kFewestTeeth && count <= kMostTeeth) return std::nullopt;
  return Refusal{
      fmt::format("{} must be from {} to {}, not {}", what, kFewestTeeth, kMostTeeth, count)};
}

Refused wrong_chain(const PathInputs& in) {
  if (in.elements.size() < 2) {
    return Refusal{fmt::format("a loop needs at least 2 elements, not {}", in.elements.size())};
  }
  if (in.elements.front().kind != ElementKind::sprocket) {
    return Refusal{fmt::format("the first element, \"{}\", must be the driving sprocket",
                               in.elements.front().name)};
  }
  if (in.turn != 1 && in.turn != -1) {
    return Refusal{"the running direction must be -1 (clockwise) or +1 (counterclockwise)"};
  }
  if (!sane(in.pitch) || in.pitch.si() < kShortestPitch) {
    return Refusal{"the pitch must be above 0 and that of a chain or belt"};
  }
  if (!(std::abs(in.elongation.si()) <= kMostElongation)) {
    return Refusal{fmt::format("an elongation of {:.3g} % is none of a chain (at most {:.0f} %)",
                               in.elongation.si() * 100, kMostElongation * 100)};
  }
  return wrong_count(in.belt ? "the teeth of the belt" : "the links of the chain", in.links);
}

Refused wrong_element(const PathInputs& in, const PathElement& element) {
  if (!sane(element.center)) {
    return Refusal{fmt::format(
        "\"{}\" has no center (a coordinate is not a number, or beyond 100 m)", element.name)};
  }
  if (element.kind == ElementKind::sprocket) {
    return wrong_count(fmt::format("the teeth of \"{}\"", element.name), element.teeth);
  }
  const double radius = element.radius.si() - element.wear.si();
  if (!sane(element.radius) || !sane(element.wear) || !(element.radius.si() > 0)) {
    return Refusal{fmt::format("the radius of \"{}\" must be above 0", element.name)};
  }
  const double least = in.belt ? 0 : worn_pitch<double>(in, {}) / 2;
  if (radius > least) return std::nullopt;
  return Refusal{fmt::format(
      "the radius of \"{}\", less its wear, is {:.3f} mm; it must be more than {:.3f} mm "
      "({:.3f} mm missing)",
      element.name, radius * 1e3, least * 1e3, (least - radius) * 1e3)};
}

Refused wrong_arm(const PathInputs& in) {
  const PathElement* arm = nullptr;
  for (const PathElement& element : in.elements) {
    if (element.kind != ElementKind::arm) continue;
    if (arm) {
      return Refusal{fmt::format("\"{}\" and \"{}\" are both arms; a loop can have one", arm->name,
                                 element.name)};
    }
    arm = &element;
  }
  if (!arm) return std::nullopt;
  if (!in.pivot || !sane(*in.pivot)) {
    return Refusal{fmt::format("the arm \"{}\" has no pivot", arm->name)};
  }
  for (std::size_t i = 0; i < in.elements.size(); ++i) {
    if (in.elements[i].kind != ElementKind::sprocket) continue;
    const auto circle = circle_of<double>(in, i, {}, 0.0);
    const double apart = std::hypot(circle.x - in.pivot->x.si(), circle.y - in.pivot->y.si());
    if (apart < circle.r) {
      return Refusal{fmt::format(
          "the pivot of \"{}\" lies inside the sprocket \"{}\": {:.3f} mm from its center, pitch "
          "radius {:.3f} mm ({:.3f} mm missing)",
          arm->name, in.elements[i].name, apart * 1e3, circle.r * 1e3, (circle.r - apart) * 1e3)};
    }
  }
  if (!in.plunger) return std::nullopt;
  const Plunger& plunger = *in.plunger;
  if (!sane(plunger.base) || !sane(plunger.pad) || !sane(plunger.pad_radius) ||
      plunger.pad_radius.si() < 0 || !std::isfinite(plunger.axis.si())) {
    return Refusal{fmt::format("the plunger of \"{}\" is not fully described", arm->name)};
  }
  return std::nullopt;
}

}  // namespace

std::optional<Refusal> check_path(const PathInputs& in) {
  if (Refused why = wrong_chain(in)) return why;
  for (const PathElement& element : in.elements) {
    if (Refused why = wrong_element(in, element)) return why;
  }
  return wrong_arm(in);
}

// The shoe pushes across the strand between the wheels before and after it, away from the side on
// which it lies.
Result<int> arm_sense(const PathInputs& in) {
  const std::size_t n = in.elements.size();
  const auto is_wheel = [&](std::size_t i) {
    const ElementKind kind = in.elements[i].kind;
    return kind == ElementKind::sprocket || kind == ElementKind::pulley;
  };
  std::size_t arm = 0;
  while (arm < n && in.elements[arm].kind != ElementKind::arm) ++arm;
  if (arm == n) return 0;
  std::size_t before = arm;
  std::size_t after = arm;
  do before = (before + n - 1) % n;
  while (!is_wheel(before));
  do after = (after + 1) % n;
  while (!is_wheel(after));
  const std::string& name = in.elements[arm].name;
  if (before == after) {
    return tl::make_unexpected(
        Refusal{fmt::format("the arm \"{}\" needs two wheels, one before and one after it", name)});
  }
  const Circle<double> circles[2] = {circle_of<double>(in, before, {}, 0.0),
                                     circle_of<double>(in, after, {}, 0.0)};
  const std::size_t order[2] = {0, 1};
  LoopPart<double> parts[2];
  if (const auto fault = lay_loop<double>(circles, order, parts)) {
    const PathFault named{
        .element = before, .other = after, .apart = fault->apart, .needed = fault->needed};
    return tl::make_unexpected(Refusal{fault_text(in, named)});
  }
  const double x = in.elements[arm].center.x.si() - in.pivot->x.si();
  const double y = in.elements[arm].center.y.si() - in.pivot->y.si();
  // Counterclockwise motion (-y, x) against -side n, n = (-uy, ux).
  const double push = -side_of(in, in.elements[arm]) * (y * parts[0].uy + x * parts[0].ux);
  if (std::abs(push) <= kLeastPush * std::hypot(x, y)) {
    return tl::make_unexpected(Refusal{
        fmt::format("the arm \"{}\" would move along the chain, not against it: pivot or center "
                    "is wrong",
                    name)});
  }
  return push > 0 ? 1 : -1;
}

}  // namespace tautmark
