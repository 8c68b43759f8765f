// SPDX-License-Identifier: Apache-2.0
#include "geometry/phase.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "geometry/path_check.h"
#include "geometry/path_contact.h"

namespace tautmark {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kTurn = 2 * kPi;

bool is_sprocket(const PathInputs& in, std::size_t element) {
  return in.elements[element].kind == ElementKind::sprocket;
}

// From straight up, in the sprocket's own running direction, 0 .. 2 pi.
Angle clock_of(double x, double y, int side) {
  const double angle = side * (std::atan2(y, x) - kPi / 2);
  return Angle::from_si(angle - kTurn * std::floor(angle / kTurn));
}

Angle clock_at(const PathInputs& in, const PathContact& contact, const Point& at) {
  const PathElement& element = in.elements[contact.element];
  return clock_of((at.x - element.center.x).si(), (at.y - element.center.y).si(),
                  side_of(in, element));
}

const SprocketPhase* phase_of(const std::vector<SprocketPhase>& phases, std::size_t element) {
  const auto found = std::find_if(phases.begin(), phases.end(),
                                  [&](const auto& p) { return p.element == element; });
  return found == phases.end() ? nullptr : &*found;
}

double teeth_of(const PathInputs& in, std::size_t element) { return in.elements[element].teeth; }

}  // namespace

std::vector<SprocketPhase> sprocket_phases(const PathInputs& in, const Path& path) {
  const std::size_t n = path.contacts.size();
  std::vector<SprocketPhase> phases;
  for (std::size_t k = 0; k < n; ++k) {
    const PathContact& contact = path.contacts[k];
    if (!is_sprocket(in, contact.element)) continue;
    SprocketPhase phase{.element = contact.element, .engaged = contact.pitches};
    phase.clock = clock_at(in, contact, k == 0 ? contact.arrives : contact.leaves);
    for (std::size_t i = 0; i < n && k > 0; ++i) {
      const bool after = i > k;  // between leaving this sprocket and entering the driving one
      double& side = i < k ? phase.slack : phase.driving;
      const double arc = i == 0 || i == k ? 0 : path.contacts[i].pitches;
      side += path.strands[i].pitches + arc;
      if (after || i == k) {
        phase.free += path.strands[i].pitches;
        if (after && !is_sprocket(in, path.contacts[i].element)) phase.free += arc;
      }
    }
    phases.push_back(phase);
  }
  return phases;
}

Angle mark_angle(const PathInputs& in, const Path& path, std::size_t element, Angle driving_mark,
                 double links_between) {
  const std::vector<SprocketPhase> phases = sprocket_phases(in, path);
  const SprocketPhase* phase = phase_of(phases, element);
  if (!phase || phase == &phases.front()) return driving_mark;
  const double teeth = teeth_of(in, element);
  const double ratio = teeth_of(in, 0) / teeth;
  return phase->clock + (driving_mark - phases.front().clock) * ratio +
         Angle::from_si(kTurn / teeth * (phase->driving - links_between));
}

namespace {

// A laid loop with one variable seeded, and what hangs on it.
struct Slopes {
  double pitches = 0;           // dX
  std::vector<double> phase{};  // of each sprocket on the path, in path order
};

// Angle of the strand's contact on a sprocket, own running direction, its slope alone.
double clock_slope(const Circle<Dual>& circle, const LoopPart<Dual>& along) {
  const Offset<Dual> at = contact_offset(circle, along.ux, along.uy);
  return circle.side * atan2(at.y, at.x).slope;
}

class SlopesOf {
 public:
  SlopesOf(const PathInputs& in, const LaidPath& solved, Dual turned)
      : in_(in), solved_(solved), turned_(turned), parts_(solved.order.size()) {}

  // With the arm held, unless it is the arm that is varied.
  Slopes operator()(Variable by) {
    circles_.clear();
    const Dual turned{turned_.value, by.what == Varied::arm ? turned_.slope : 0};
    for (std::size_t i = 0; i < in_.elements.size(); ++i) {
      circles_.push_back(circle_of<Dual>(in_, i, by, turned));
    }
    // The contacts are those of the solved path, so there is a tangent everywhere.
    lay_loop<Dual>(circles_, solved_.order, parts_);
    return slopes(worn_pitch<Dual>(in_, by));
  }

 private:
  [[nodiscard]] Slopes slopes(const Dual& pitch) const {
    const std::vector<std::size_t>& order = solved_.order;
    Slopes result;
    result.phase.reserve(order.size());
    const double driving_clock = clock_slope(circles_[order[0]], parts_.back());
    Dual driving{};  // path from leaving place k to entering the driving sprocket
    for (std::size_t k = order.size(); k-- > 0;) {
      const Circle<Dual>& circle = circles_[order[k]];
      driving = driving + parts_[k].strand / pitch;
      if (k > 0 && is_sprocket(in_, order[k])) {
        const double teeth = teeth_of(in_, order[k]);
        result.phase.push_back(clock_slope(circle, parts_[k]) -
                               teeth_of(in_, 0) / teeth * driving_clock +
                               kTurn / teeth * driving.slope);
      }
      driving = driving + parts_[k].wrap * circle.pitches_per_radian;
    }
    result.phase.push_back(0);  // the driving sprocket
    std::reverse(result.phase.begin(), result.phase.end());
    result.pitches = driving.slope;
    return result;
  }

  const PathInputs& in_;
  const LaidPath& solved_;
  Dual turned_;
  std::vector<Circle<Dual>> circles_{};
  std::vector<LoopPart<Dual>> parts_;
};

struct ArmSlopes {
  Slopes by_arm{};
  bool moves = false;
};

// The arm follows so that X stays: d(arm) = -dX / (dX/d(arm)).
double arm_follows(const ArmSlopes& arm, const Slopes& by) {
  return arm.moves ? -by.pitches / arm.by_arm.pitches : 0;
}

std::vector<double> with_arm_following(const ArmSlopes& arm, Slopes by) {
  const double turn = arm_follows(arm, by);
  if (turn != 0) {
    for (std::size_t j = 0; j < by.phase.size(); ++j) by.phase[j] += turn * arm.by_arm.phase[j];
  }
  return std::move(by.phase);
}

PhaseDerivatives no_derivatives(std::size_t element, std::size_t elements) {
  PhaseDerivatives d;
  d.element = element;
  d.per_wear.resize(elements);
  d.per_center_x.resize(elements);
  d.per_center_y.resize(elements);
  d.per_teeth.resize(elements);
  return d;
}

}  // namespace

Result<PathDerivatives> path_derivatives(const PathInputs& in) {
  const Result<Path> path = solve_path(in);
  if (!path) return tl::make_unexpected(path.error());
  const Result<int> sense = arm_sense(in);
  if (!sense) return tl::make_unexpected(sense.error());
  LaidPath laid = path_to_lay(in);
  const Dual turned{*sense * path->arm.si(), static_cast<double>(*sense)};
  if (const auto fault = lay_path(in, turned, laid)) return refuse(fault_text(in, *fault));

  SlopesOf slopes_of(in, laid, turned);
  ArmSlopes arm;
  if (laid.arm) {
    arm = {slopes_of({.what = Varied::arm}), true};
    if (!(arm.by_arm.pitches > 0)) {
      return refuse(fmt::format("the arm \"{}\" takes up no chain at this angle",
                                in.elements[*laid.arm].name));
    }
  }
  const double stroke_per_arm =
      path->stroke ? path->stroke_per_length * path->pitches_per_arm * worn_pitch<double>(in, {})
                   : 0;

  const std::size_t n = in.elements.size();
  PathDerivatives all;
  all.stroke_per_wear.resize(n);
  for (const std::size_t element : laid.order) {
    if (is_sprocket(in, element)) all.sprockets.push_back(no_derivatives(element, n));
  }
  const auto each = [&](const Slopes& by, auto&& store) {
    const std::vector<double> total = with_arm_following(arm, by);
    for (std::size_t j = 0; j < total.size(); ++j) store(all.sprockets[j], total[j]);
  };

  const Slopes by_elongation = slopes_of({.what = Varied::elongation});
  each(by_elongation, [](PhaseDerivatives& d, double v) { d.per_elongation = v; });
  all.arm_per_elongation = arm_follows(arm, by_elongation);
  all.stroke_per_elongation = stroke_per_arm * all.arm_per_elongation;
  for (const std::size_t i : laid.order) {
    each(slopes_of({Varied::center_x, i}),
         [&](PhaseDerivatives& d, double v) { d.per_center_x[i] = v; });
    each(slopes_of({Varied::center_y, i}),
         [&](PhaseDerivatives& d, double v) { d.per_center_y[i] = v; });
    if (is_sprocket(in, i)) {
      each(slopes_of({Varied::teeth, i}),
           [&](PhaseDerivatives& d, double v) { d.per_teeth[i] = v; });
    } else {
      const Slopes by_wear = slopes_of({Varied::wear, i});
      each(by_wear, [&](PhaseDerivatives& d, double v) { d.per_wear[i] = v; });
      all.stroke_per_wear[i] = stroke_per_arm * arm_follows(arm, by_wear);
    }
  }
  return all;
}

Result<std::vector<Angle>> phase_change(const PathInputs& as_new, const PathInputs& worn) {
  const Result<Path> before = solve_path(as_new);
  if (!before) return tl::make_unexpected(before.error());
  const Result<Path> after = solve_path(worn);
  if (!after) return tl::make_unexpected(after.error());
  const std::vector<SprocketPhase> from = sprocket_phases(as_new, *before);
  const std::vector<SprocketPhase> to = sprocket_phases(worn, *after);
  bool same = from.size() == to.size() && as_new.turn == worn.turn;
  for (std::size_t j = 0; same && j < from.size(); ++j) {
    same = from[j].element == to[j].element &&
           as_new.elements[from[j].element].teeth == worn.elements[to[j].element].teeth;
  }
  if (!same) return refuse("the two drives to compare have different sprockets");
  const auto clock_change = [&](std::size_t j) {
    return std::remainder((to[j].clock - from[j].clock).si(), kTurn);
  };
  std::vector<Angle> change{Angle{}};
  for (std::size_t j = 1; j < from.size(); ++j) {
    const double teeth = teeth_of(as_new, from[j].element);
    change.push_back(Angle::from_si(clock_change(j) -
                                    teeth_of(as_new, 0) / teeth * clock_change(0) +
                                    kTurn / teeth * (to[j].driving - from[j].driving)));
  }
  return change;
}

}  // namespace tautmark
