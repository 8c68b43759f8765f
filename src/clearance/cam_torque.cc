// SPDX-License-Identifier: Apache-2.0
#include "clearance/cam_torque.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace tautmark::clearance {
namespace {

constexpr double kTurn = 2 * std::numbers::pi;
constexpr int kLooks = 3600;  // tenths of a cam degree
constexpr double kLook = kTurn / kLooks;

CrankAngle of_cycle(const SprungValve& valve, double cam) {
  return CrankAngle::from_si(2 * cam) - valve.top;
}

// Per rad of the camshaft.
double slope(const SprungValve& valve, double cam) {
  return 2 * lift_slope(*valve.lift, of_cycle(valve, cam));
}

double bend(const SprungValve& valve, double cam) {
  constexpr double kApart = 0.25 * kRadiansPerDegree;
  return (slope(valve, cam + kApart) - slope(valve, cam - kApart)) / (2 * kApart);
}

double torque(const CamSprings& springs, double cam) {
  double sum = 0;
  for (const SprungValve& valve : springs.valves)
    sum += (valve.preload.si() + valve.rate * lift(*valve.lift, of_cycle(valve, cam)).si()) *
           slope(valve, cam);
  return sum;
}

double wrapped(double cam) { return cam - kTurn * std::floor(cam / kTurn); }

// Torque this small is none: four lobes whose flanks cancel leave rounding.
double nothing(const CamSprings& springs) {
  double most = 0;
  for (int i = 0; i < kLooks; ++i) most = std::max(most, std::abs(torque(springs, i * kLook)));
  return 1e-9 * most;
}

// The angle between a and b where `holds` changes, on b's side.
template <class Holds>
double change(double a, double b, const Holds& holds) {
  const bool first = holds(a);
  for (int i = 0; i < 45; ++i) {
    const double middle = (a + b) / 2;
    (holds(middle) == first ? a : b) = middle;
  }
  return b;
}

}  // namespace

Torque spring_torque(const CamSprings& springs, CamAngle at) {
  return Torque::from_si(torque(springs, at.si()));
}

double stored_energy(const CamSprings& springs, CamAngle at) {
  double sum = 0;
  for (const SprungValve& valve : springs.valves) {
    const double open = lift(*valve.lift, of_cycle(valve, at.si())).si();
    sum += valve.preload.si() * open + valve.rate * open * open / 2;
  }
  return sum;
}

Torque driving_torque(const CamSprings& springs, CamAngle at, RotationalSpeed turns) {
  const double omega = kTurn * turns.si();
  double sum = torque(springs, at.si());
  for (const SprungValve& valve : springs.valves)
    sum += valve.moving_mass * omega * omega * slope(valve, at.si()) * bend(valve, at.si());
  return Torque::from_si(sum);
}

RotationalSpeed lift_off_speed(const SprungValve& valve) {
  const double nose = (valve.lift->nose + valve.top).si() / 2;
  const double force = valve.preload.si() + valve.rate * valve.lift->highest.si();
  return RotationalSpeed::from_si(
      std::sqrt(force / (valve.moving_mass * std::max(-bend(valve, nose), 0.0))) / kTurn);
}

std::vector<RestPlace> rest_places(const CamSprings& springs) {
  const double none = nothing(springs);
  const auto sign = [&](double cam) {
    const double t = torque(springs, cam);
    return t > none ? 1 : t < -none ? -1 : 0;
  };
  // Start where it is pushed, so that no range of rest lies across the start.
  int start = 0;
  while (start < kLooks && sign(start * kLook) == 0) ++start;
  if (start == kLooks) return {{{}, cam_deg(360), true, stored_energy(springs, {})}};
  std::vector<RestPlace> places;
  int before = sign(start * kLook);
  double last_pushed = start * kLook;
  for (int i = start + 1; i <= start + kLooks; ++i) {
    const int here = sign(i * kLook);
    if (here == 0) continue;
    if (here != before) {
      const int push = before;
      const double from =
          change(last_pushed, i * kLook, [&](double cam) { return sign(cam) == push; });
      const double to =
          change(i * kLook, last_pushed, [&](double cam) { return sign(cam) == here; });
      const double begin = wrapped(std::min(from, to));
      places.push_back({.from = CamAngle::from_si(begin),
                        .to = CamAngle::from_si(begin + std::abs(to - from)),
                        .stable = before < 0,
                        .energy = stored_energy(springs, CamAngle::from_si((from + to) / 2))});
    }
    before = here;
    last_pushed = i * kLook;
  }
  std::sort(places.begin(), places.end(),
            [](const RestPlace& a, const RestPlace& b) { return a.from < b.from; });
  return places;
}

std::vector<HeldRange> held_by_friction(const CamSprings& springs) {
  const double friction = std::max(springs.friction.si(), nothing(springs));
  const auto held = [&](double cam) { return std::abs(torque(springs, cam)) <= friction; };
  int start = 0;
  while (start < kLooks && held(start * kLook)) ++start;
  if (start == kLooks) return {{{}, cam_deg(360)}};
  std::vector<HeldRange> ranges;
  double from = 0;
  for (int i = start + 1; i <= start + kLooks; ++i) {
    const double before = (i - 1) * kLook, here = i * kLook;
    if (held(here) == held(before)) continue;
    if (held(here)) {
      from = change(before, here, held);
      continue;
    }
    const double begin = wrapped(from);
    ranges.push_back(
        {CamAngle::from_si(begin), CamAngle::from_si(begin + change(here, before, held) - from)});
  }
  std::sort(ranges.begin(), ranges.end(),
            [](const HeldRange& a, const HeldRange& b) { return a.from < b.from; });
  return ranges;
}

Snap tends_to_snap(const CamSprings& springs, CamAngle at) {
  const double friction = std::max(springs.friction.si(), nothing(springs));
  const double push = -torque(springs, at.si());
  if (std::abs(push) <= friction) return {.to = CamAngle::from_si(wrapped(at.si()))};
  const double way = push > 0 ? 1 : -1;
  const auto pushed = [&](double moved) {
    return -way * torque(springs, at.si() + way * moved) > friction;
  };
  double moved = kLook;
  while (moved < kTurn && pushed(moved)) moved += kLook;
  const double by = way * change(moved - kLook, moved, pushed);
  return {.way = way > 0 ? Tendency::forwards : Tendency::backwards,
          .with = Torque::from_si(std::abs(push) - friction),
          .to = CamAngle::from_si(wrapped(at.si() + by)),
          .by = CamAngle::from_si(by)};
}

}  // namespace tautmark::clearance
