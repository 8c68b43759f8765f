// SPDX-License-Identifier: Apache-2.0
#include "geometry/path_contact.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tautmark {
namespace {

constexpr double kPi = std::numbers::pi;
// A face that a strand cuts by less only touches it; far above rounding, far below any drawing.
constexpr double kTouching = 1e-12;  // m

bool must_touch(const PathInputs& in, std::size_t element) {
  return in.elements[element].kind == ElementKind::sprocket;
}

// The touched element of the largest wrap among those that may be left out, when above pi.
std::optional<std::size_t> place_to_leave_out(const PathInputs& in, const LaidPath& laid) {
  std::optional<std::size_t> worst;
  double wrap = kPi;
  for (std::size_t k = 0; k < laid.order.size(); ++k) {
    if (must_touch(in, laid.order[k]) || laid.parts[k].wrap.value <= wrap) continue;
    wrap = laid.parts[k].wrap.value;
    worst = k;
  }
  return worst;
}

// How deep the strand after place k cuts into an element; 0 when it clears it.
double cut_depth(const LaidPath& laid, std::size_t k, std::size_t element) {
  const Circle<Dual>& from = laid.circles[laid.order[k]];
  const LoopPart<Dual>& part = laid.parts[k];
  const Circle<Dual>& circle = laid.circles[element];
  const double ux = part.ux.value;
  const double uy = part.uy.value;
  const double reach = from.r.value * from.side;
  const double x = circle.x.value - from.x.value - reach * uy;
  const double y = circle.y.value - from.y.value + reach * ux;
  const double along = x * ux + y * uy;
  if (along <= 0 || along >= part.strand.value) return 0;
  const double depth = circle.r.value - circle.side * (ux * y - uy * x);
  return depth > kTouching ? depth : 0;
}

// Puts in the deepest cut element of every strand; says whether there was one.
bool put_in_cut_elements(const PathInputs& in, LaidPath& laid) {
  bool changed = false;
  for (std::size_t k = laid.order.size(); k-- > 0;) {
    const bool last = k + 1 == laid.order.size();
    const std::size_t end = last ? in.elements.size() : laid.order[k + 1];
    std::optional<std::size_t> deepest;
    double depth = 0;
    for (std::size_t element = laid.order[k] + 1; element < end; ++element) {
      const double cut = cut_depth(laid, k, element);
      if (cut > depth) {
        depth = cut;
        deepest = element;
      }
    }
    if (!deepest) continue;
    laid.order.insert(laid.order.begin() + static_cast<std::ptrdiff_t>(k) + 1, *deepest);
    changed = true;
  }
  return changed;
}

// A simple loop turns once; anything else is a wrong order or a sprocket out of reach.
std::optional<PathFault> wrong_turn(const PathInputs& in, const LaidPath& laid) {
  double sum = 0;
  std::size_t widest = 0;
  for (std::size_t k = 0; k < laid.order.size(); ++k) {
    sum += laid.circles[laid.order[k]].side * laid.parts[k].wrap.value;
    if (laid.parts[k].wrap.value > laid.parts[widest].wrap.value) widest = k;
  }
  const int turns = static_cast<int>(std::lround(in.turn * sum / (2 * kPi)));
  if (turns == 1) return std::nullopt;
  return PathFault{
      .kind = PathFault::Kind::wrong_turn, .element = laid.order[widest], .turns = turns};
}

}  // namespace

std::string fault_text(const PathInputs& in, const PathFault& fault) {
  const std::string& name = in.elements[fault.element].name;
  switch (fault.kind) {
    case PathFault::Kind::no_tangent:
      return fmt::format(
          "no strand fits between \"{}\" and \"{}\": their centers are {:.3f} mm apart, more than "
          "{:.3f} mm are needed ({:.3f} mm missing)",
          name, in.elements[fault.other].name, fault.apart * 1e3, fault.needed * 1e3,
          (fault.needed - fault.apart) * 1e3);
    case PathFault::Kind::wrong_turn:
      return fmt::format(
          "the chain would turn {} times around the loop instead of once, most on \"{}\": the "
          "order of the elements, the running direction, or inside and outside is wrong there, or "
          "the chain does not reach it",
          fault.turns, name);
    case PathFault::Kind::unsettled:
      break;
  }
  return fmt::format(
      "whether the chain touches \"{}\" cannot be settled: the straight strand runs through it "
      "from "
      "the wrong side; the order of the elements, the running direction, or inside and outside is "
      "wrong there",
      name);
}

LaidPath path_to_lay(const PathInputs& in) {
  LaidPath laid;
  const std::size_t n = in.elements.size();
  laid.circles.reserve(n);
  laid.order.reserve(n);
  laid.parts.resize(n);
  for (std::size_t i = 0; i < n; ++i) {
    laid.circles.push_back(circle_of<Dual>(in, i, {}, Dual{}));
    const ElementKind kind = in.elements[i].kind;
    if (kind == ElementKind::arm) laid.arm = i;
    if (kind == ElementKind::sprocket || kind == ElementKind::pulley) laid.order.push_back(i);
  }
  if (laid.order.size() < 2) {
    laid.order.clear();
    for (std::size_t i = 0; i < n; ++i) laid.order.push_back(i);
  }
  return laid;
}

std::optional<PathFault> lay_path(const PathInputs& in, const Dual& turned, LaidPath& laid) {
  if (laid.arm) {
    Circle<Dual>& arm = laid.circles[*laid.arm];
    const PathElement& element = in.elements[*laid.arm];
    const Offset<Dual> center = turned_about(
        *in.pivot, Offset<Dual>{{element.center.x.si(), 0}, {element.center.y.si(), 0}}, turned);
    arm.x = center.x;
    arm.y = center.y;
  }
  const std::size_t most_passes = 4 * in.elements.size() + 8;
  std::size_t changed = 0;
  for (std::size_t pass = 0;; ++pass) {
    if (laid.order.size() < 2 || pass == most_passes) {
      return PathFault{.kind = PathFault::Kind::unsettled, .element = changed};
    }
    const auto fault = lay_loop<Dual>(laid.circles, laid.order, laid.parts);
    if (fault)
      return PathFault{.element = fault->from,
                       .other = fault->to,
                       .apart = fault->apart,
                       .needed = fault->needed};
    if (const auto place = place_to_leave_out(in, laid)) {
      changed = laid.order[*place];
      laid.order.erase(laid.order.begin() + static_cast<std::ptrdiff_t>(*place));
      continue;
    }
    if (laid.order.size() == in.elements.size() || !put_in_cut_elements(in, laid)) break;
  }
  if (const auto fault = wrong_turn(in, laid)) return fault;
  const double pitch = worn_pitch<double>(in, {});
  laid.pitches = {};
  laid.arm_touched = false;
  for (std::size_t k = 0; k < laid.order.size(); ++k) {
    const LoopPart<Dual>& part = laid.parts[k];
    laid.pitches = laid.pitches + part.strand / pitch +
                   part.wrap * laid.circles[laid.order[k]].pitches_per_radian;
    if (laid.order[k] == laid.arm) laid.arm_touched = true;
  }
  return std::nullopt;
}

}  // namespace tautmark
