// SPDX-License-Identifier: Apache-2.0
// What must hold of every drive, over thousands of random ones; new ones in every run.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <numbers>
#include <optional>
#include <random>

#include "geometry/phase.h"
#include "geometry/test_drives.h"

namespace tautmark {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kLeastTakenUp = 0.5;  // pitches per rad
constexpr Length kShortestStrand = mm(15);
constexpr int kDrivesPerCase = 30;  // times 100 cases of rapidcheck

class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}
  double between(double low, double high) {
    return low + (high - low) * static_cast<double>(engine_()) / 4294967295.0;
  }
  int count(int low, int high) {
    return low + static_cast<int>(engine_() % static_cast<unsigned>(high - low + 1));
  }
  bool one_in(unsigned n) { return engine_() % n == 0; }

 private:
  std::mt19937 engine_;
};

// A shoe or guide that bows the strand from (x, y) to the next wheel, by somewhat more or less than
// touching.
PathElement random_guide(Dice& dice, const char* name, Point from, Point to, double reach) {
  const double part = dice.between(0.3, 0.7);
  const double radius = dice.between(60, 400);
  const double dx = in_mm(to.x - from.x);
  const double dy = in_mm(to.y - from.y);
  const double length = std::hypot(dx, dy);
  // Clockwise loop: outside is left of travel.
  const double out = radius + reach + dice.between(-6, 1);
  return guide(name, in_mm(from.x) + part * dx - dy / length * out,
               in_mm(from.y) + part * dy + dx / length * out, radius);
}

PathInputs random_layout(Dice& dice) {
  PathInputs in;
  in.pitch = mm(dice.between(6, 10));
  in.belt = dice.one_in(5);
  in.rides_out = !dice.one_in(4);
  in.elongation = Ratio::from_si(dice.between(0, 0.005));
  const int driving = dice.count(16, 24);
  const int cams = dice.count(1, 2);
  const double height = dice.between(250, 450);
  const double apart = 2 * in_mm(in.pitch) * 2 * driving / (2 * kPi) * dice.between(1.1, 1.4);
  in.elements.push_back(sprocket("crank", 0, 0, driving));
  for (int i = 0; i < cams; ++i) {
    const double x = cams == 1 ? dice.between(-40, 40) : (i - 0.5) * apart;
    in.elements.push_back(sprocket("cam", x, height + dice.between(-10, 10), 2 * driving));
  }
  return in;
}

// About the straight strand: the pitch radius stands between the centers and the pin line.
double rim(const PathInputs& in, const PathElement& e) {
  return in_mm(in.pitch) * e.teeth / (2 * kPi);
}

double reach(const PathInputs& in, const PathElement& a, const PathElement& b) {
  return (rim(in, a) + rim(in, b)) / 2;
}

// Mostly on the slack strand; on the driving one it moves the phase, and stands there alone.
void add_arm(Dice& dice, PathInputs& in, bool driving) {
  const PathElement& from = driving ? in.elements.back() : in.elements.front();
  const PathElement& to = driving ? in.elements.front() : in.elements[1];
  PathElement arm = random_guide(dice, "arm", from.center, to.center, reach(in, from, to) + 3);
  arm.kind = ElementKind::arm;
  const double out = driving ? -0.7 : 0.7;  // the pivot lies towards the chain from the center
  in.pivot = point_mm(in_mm(arm.center.x) + in_mm(arm.radius) * out,
                      in_mm(arm.center.y) - dice.between(60, 90));
  in.plunger = Plunger{point_mm(-80, 150), deg(dice.between(-20, 20)), point_mm(-60, 150), mm(6)};
  in.elements.insert(driving ? in.elements.end() : in.elements.begin() + 1, arm);
}

void add_guides(Dice& dice, PathInputs& in) {
  const bool driving_arm = dice.one_in(5);
  if (!driving_arm && !dice.one_in(3)) {
    const PathElement& last = in.elements.back();
    const PathElement& crank = in.elements.front();
    PathElement worn =
        random_guide(dice, "guide", last.center, crank.center, reach(in, last, crank));
    worn.wear = mm(dice.between(0, 1));
    in.elements.push_back(worn);
  }
  if (driving_arm) {
    add_arm(dice, in, true);
  } else if (!dice.one_in(3)) {
    add_arm(dice, in, false);
  }
}

std::optional<PathInputs> random_drive(Dice& dice) {
  PathInputs in = random_layout(dice);
  add_guides(dice, in);
  in.links = 100;
  const auto held = path_at(in, Angle{});
  if (!held) return std::nullopt;
  in.links = static_cast<int>(std::ceil(held->pitches));
  const auto path = solve_path(in);
  if (!path) return std::nullopt;
  // An arm that takes up next to nothing moves as a square root; differences say nothing there.
  if (in.pivot && path->pitches_per_arm < kLeastTakenUp) return std::nullopt;
  // So it is where two elements all but touch each other.
  for (const PathStrand& strand : path->strands) {
    if (strand.length < kShortestStrand) return std::nullopt;
  }
  return in;
}

// Calls `holds` with valid random drives; most tries must give one.
template <class Holds>
void for_random_drives(unsigned seed, Holds&& holds) {
  Dice dice(seed);
  int valid = 0;
  for (int i = 0; i < kDrivesPerCase; ++i) {
    const auto in = random_drive(dice);
    if (!in) continue;
    ++valid;
    holds(*in);
  }
  RC_ASSERT(valid > kDrivesPerCase / 3);
}

#define NEAR(a, b, tolerance) RC_ASSERT(std::abs((a) - (b)) <= (tolerance))

Point center_on(const PathInputs& in, const Path& path, std::size_t element) {
  const PathElement& e = in.elements[element];
  return e.kind == ElementKind::arm ? path.arm_center : e.center;
}

// Strands and wraps add up to the chain; strands run from point to point, square to the radii.
RC_GTEST_PROP(PathProperty, StrandsAndWrapsMakeTheChain, (unsigned seed)) {
  for_random_drives(seed, [](const PathInputs& in) {
    const Path path = *solve_path(in);
    double pitches = path.spare;
    double turns = 0;
    for (std::size_t k = 0; k < path.contacts.size(); ++k) {
      const PathContact& contact = path.contacts[k];
      const PathStrand& strand = path.strands[k];
      pitches += strand.pitches + contact.pitches;
      turns += (in.elements[contact.element].outside ? -1 : 1) * contact.wrap.si();
      const double x = (strand.arrives.x - strand.leaves.x).si();
      const double y = (strand.arrives.y - strand.leaves.y).si();
      NEAR(std::hypot(x, y), strand.length.si(), 1e-12);
      const Point center = center_on(in, path, contact.element);
      NEAR(x * (strand.leaves.x - center.x).si() + y * (strand.leaves.y - center.y).si(), 0, 1e-12);
      RC_ASSERT(strand.to == path.contacts[(k + 1) % path.contacts.size()].element);
    }
    NEAR(pitches, in.links, 1e-10);
    NEAR(turns, 2 * kPi, 1e-10);
    RC_ASSERT(path.contacts.size() + path.not_touched.size() == in.elements.size());
  });
}

bool same_contacts(const Path& a, const Path& b) { return a.not_touched == b.not_touched; }

// Central difference of the phases by one thing; nothing where a contact comes or goes between.
template <class Change>
std::optional<std::vector<double>> difference(const PathInputs& in, double h, Change&& change) {
  PathInputs less = in;
  PathInputs more = in;
  change(less, -h);
  change(more, h);
  const auto a = solve_path(less);
  const auto b = solve_path(more);
  if (!a || !b || !same_contacts(*a, *solve_path(in)) || !same_contacts(*a, *b)) {
    return std::nullopt;
  }
  std::vector<double> slopes;
  const std::vector<Angle> change_of_phase = phase_change(less, more).value();
  for (const Angle angle : change_of_phase) slopes.push_back(angle.si() / (2 * h));
  return slopes;
}

// Relative, and absolute below 1 rad per 1 or per m.
void same_slopes(const std::optional<std::vector<double>>& by_difference,
                 const PathDerivatives& exact, auto&& of) {
  if (!by_difference) return;
  for (std::size_t j = 0; j < exact.sprockets.size(); ++j) {
    const double wanted = (*by_difference)[j];
    NEAR(of(exact.sprockets[j]), wanted, 1e-5 * std::max(1.0, std::abs(wanted)));
  }
}

RC_GTEST_PROP(PathProperty, DerivativesAreDifferences, (unsigned seed)) {
  for_random_drives(seed, [](const PathInputs& in) {
    const auto exact = path_derivatives(in);
    RC_ASSERT(exact.has_value());
    same_slopes(difference(in, 1e-5,
                           [](PathInputs& d, double h) {
                             d.elongation = Ratio::from_si(d.elongation.si() + h);
                           }),
                *exact, [](const PhaseDerivatives& d) { return d.per_elongation; });
    for (std::size_t i = 0; i < in.elements.size(); ++i) {
      constexpr double kStep = 1e-6;  // m
      same_slopes(difference(in, kStep,
                             [&](PathInputs& d, double h) {
                               d.elements[i].center.x = d.elements[i].center.x + Length::from_si(h);
                             }),
                  *exact, [&](const PhaseDerivatives& d) { return d.per_center_x[i]; });
      same_slopes(difference(in, kStep,
                             [&](PathInputs& d, double h) {
                               d.elements[i].center.y = d.elements[i].center.y + Length::from_si(h);
                             }),
                  *exact, [&](const PhaseDerivatives& d) { return d.per_center_y[i]; });
      same_slopes(difference(in, kStep,
                             [&](PathInputs& d, double h) {
                               d.elements[i].wear = d.elements[i].wear + Length::from_si(h);
                             }),
                  *exact, [&](const PhaseDerivatives& d) { return d.per_wear[i]; });
    }
  });
}

// Arm and stroke against differences of the solved path, their error of second order removed: near
// the angle at which it first touches, an arm moves as a square root, and the differences hold to
// some millionths only.
RC_GTEST_PROP(PathProperty, StrokeFollowsElongation, (unsigned seed)) {
  for_random_drives(seed, [](const PathInputs& in) {
    const Path path = *solve_path(in);
    if (!path.stroke) return;
    const auto exact = path_derivatives(in);
    RC_ASSERT(exact.has_value());
    constexpr double kStep = 1e-6;
    const auto worn = [&](double steps) {
      PathInputs other = in;
      other.elongation = Ratio::from_si(in.elongation.si() + steps * kStep);
      return solve_path(other);
    };
    const auto a = worn(-2), b = worn(-1), c = worn(1), d = worn(2);
    if (!a || !b || !c || !d || !same_contacts(*a, *d)) return;
    const auto slope = [&](auto&& of) {
      return (8 * (of(*c) - of(*b)) - (of(*d) - of(*a))) / (12 * kStep);
    };
    const double stroke = slope([](const Path& p) { return p.stroke->si(); });
    NEAR(exact->stroke_per_elongation, stroke, 1e-5 * std::max(1.0, std::abs(stroke)));
    const double turn = slope([](const Path& p) { return p.arm.si(); });
    NEAR(exact->arm_per_elongation, turn, 1e-5 * std::max(1.0, std::abs(turn)));
  });
}

// The same for the wear of guide and shoe.
RC_GTEST_PROP(PathProperty, StrokeFollowsWear, (unsigned seed)) {
  for_random_drives(seed, [](const PathInputs& in) {
    const Path path = *solve_path(in);
    if (!path.stroke) return;
    const PathDerivatives exact = path_derivatives(in).value();
    for (std::size_t i = 0; i < in.elements.size(); ++i) {
      constexpr double kStep = 1e-6;  // m
      const auto worn = [&](double steps) {
        PathInputs other = in;
        other.elements[i].wear = Length::from_si(in.elements[i].wear.si() + steps * kStep);
        return solve_path(other);
      };
      const auto a = worn(-2), b = worn(-1), c = worn(1), d = worn(2);
      if (!a || !b || !c || !d || !same_contacts(*a, *d)) continue;
      const double slope =
          (8 * (*c->stroke - *b->stroke) - (*d->stroke - *a->stroke)).si() / (12 * kStep);
      NEAR(exact.stroke_per_wear[i], slope, 1e-5 * std::max(1.0, std::abs(slope)));
    }
  });
}

// Whatever is typed: a refusal with a sentence, or a finite path whose parts make the chain.
RC_GTEST_PROP(PathProperty, AnyNumbersGiveAPathOrASentence, (unsigned seed)) {
  Dice dice(seed);
  const double odd[] = {0, -1, 1e-300, 1e300, NAN, INFINITY, 0.1};
  const auto length = [&](double low, double high) {
    if (dice.one_in(60)) return Length::from_si(odd[dice.count(0, 6)]);
    return mm(dice.between(low, high));
  };
  for (int run = 0; run < 20; ++run) {
    PathInputs in;
    in.turn = dice.one_in(3) ? 1 : -1;
    in.pitch = length(5, 10);
    in.links = dice.one_in(20) ? dice.count(-5, 200'000) : dice.count(60, 200);
    in.belt = dice.one_in(4);
    const int elements = dice.count(1, 7);
    for (int i = 0; i < elements; ++i) {
      PathElement e;
      e.kind = i == 0 ? ElementKind::sprocket : static_cast<ElementKind>(dice.count(0, 3));
      e.center = {length(-200, 200), length(-200, 400)};
      e.outside = i > 0 && dice.one_in(3);
      e.teeth = dice.one_in(50) ? dice.count(-1, 200'000) : dice.count(12, 50);
      e.radius = length(5, 300);
      e.wear = length(0, 1);
      in.elements.push_back(e);
    }
    in.pivot = Point{length(-200, 200), length(-200, 400)};
    in.plunger = Plunger{{length(-9, 9), length(-9, 9)}, deg(30), {length(0, 9), length(0, 9)}, {}};
    const auto path = solve_path(in);
    if (!path) {
      RC_ASSERT(path.error().why.size() > 10);
      continue;
    }
    RC_ASSERT(std::isfinite(path->length.si()) && std::isfinite(path->arm.si()));
    double pitches = path->spare;
    for (const PathStrand& strand : path->strands) pitches += strand.pitches;
    for (const PathContact& contact : path->contacts) pitches += contact.pitches;
    NEAR(pitches, in.links, 1e-9 * (in.links + path->pitches));
    for (const Point& pin : pin_points(in, *path, 0.5)) {
      RC_ASSERT(std::isfinite(pin.x.si()) && std::isfinite(pin.y.si()));
    }
    if (const auto slopes = path_derivatives(in)) {
      for (const auto& d : slopes->sprockets) RC_ASSERT(std::isfinite(d.per_elongation));
    }
  }
}

Point mirrored(Point p) { return {-p.x, p.y}; }

PathInputs mirrored(PathInputs in) {
  for (PathElement& e : in.elements) e.center = mirrored(e.center);
  in.turn = -in.turn;
  if (in.pivot) in.pivot = mirrored(*in.pivot);
  if (in.plunger) {
    in.plunger->base = mirrored(in.plunger->base);
    in.plunger->pad = mirrored(in.plunger->pad);
    in.plunger->axis = Angle::from_si(kPi - in.plunger->axis.si());
  }
  return in;
}

RC_GTEST_PROP(PathProperty, MirroredDriveGivesMirroredResult, (unsigned seed)) {
  for_random_drives(seed, [](const PathInputs& in) {
    const PathInputs other = mirrored(in);
    const Path a = *solve_path(in);
    const auto b = solve_path(other);
    RC_ASSERT(b.has_value());
    NEAR(a.arm.si(), b->arm.si(), 1e-11);
    NEAR(a.length.si(), b->length.si(), 1e-12);
    RC_ASSERT(a.stroke.has_value() == b->stroke.has_value());
    if (a.stroke) NEAR(a.stroke->si(), b->stroke->si(), 1e-11);
    const auto from = sprocket_phases(in, a);
    const auto to = sprocket_phases(other, *b);
    RC_ASSERT(from.size() == to.size());
    for (std::size_t j = 0; j < from.size(); ++j) {
      NEAR(from[j].clock.si(), to[j].clock.si(), 1e-11);
      NEAR(from[j].driving, to[j].driving, 1e-9);
    }
    const auto pins = pin_points(in, a, 0.3);
    const auto pins_too = pin_points(other, *b, 0.3);
    for (std::size_t i = 0; i < pins.size(); ++i) {
      NEAR(pins[i].x.si(), -pins_too[i].x.si(), 1e-11);
      NEAR(pins[i].y.si(), pins_too[i].y.si(), 1e-11);
    }
  });
}

double apart(Point a, Point b) { return std::hypot((a.x - b.x).si(), (a.y - b.y).si()); }

// Forward by n and back: the row of pins moves on by n places and returns.
RC_GTEST_PROP(PathProperty, TurningForwardAndBackReturnsThePins, (unsigned seed)) {
  for_random_drives(seed, [seed](const PathInputs& in) {
    const Path path = *solve_path(in);
    const double start = (seed % 1000) / 1000.0;
    const int forward = static_cast<int>(seed % 977) - 400;
    const auto before = pin_points(in, path, start);
    const auto moved = pin_points(in, path, start + forward);
    const auto back = pin_points(in, path, start + forward - forward);
    RC_ASSERT(before.size() == static_cast<std::size_t>(in.links));
    for (int i = 0; i < in.links; ++i) {
      const int ahead = ((i + forward) % in.links + in.links) % in.links;
      NEAR(apart(moved[static_cast<std::size_t>(i)], before[static_cast<std::size_t>(ahead)]), 0,
           1e-10);
      NEAR(apart(back[static_cast<std::size_t>(i)], before[static_cast<std::size_t>(i)]), 0, 1e-10);
    }
  });
}

// Pins on the driving sprocket stand on its pitch circle, 2 pi / N apart.
RC_GTEST_PROP(PathProperty, PinsOnTheSprocketStandTeethApart, (unsigned seed)) {
  for_random_drives(seed, [](const PathInputs& in) {
    const Path path = *solve_path(in);
    const auto pins = pin_points(in, path, 0.25);
    const PathContact& driving = path.contacts.front();
    const Point center = in.elements.front().center;
    const double radius = apart(driving.arrives, center);
    const double chord = 2 * radius * std::sin(kPi / in.elements.front().teeth);
    for (std::size_t i = 0; static_cast<double>(i) + 1.25 < driving.pitches; ++i) {
      NEAR(apart(pins[i], center), radius, 1e-12);
      NEAR(apart(pins[i], pins[i + 1]), chord, 1e-12);
    }
  });
}

}  // namespace
}  // namespace tautmark
