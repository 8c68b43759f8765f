// SPDX-License-Identifier: Apache-2.0
#include "tighten/preload.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <numbers>
#include <string>

#include "base/text.h"

namespace tautmark::tighten {
namespace {

constexpr double kPi = std::numbers::pi;
const double kCos30 = std::numbers::sqrt3 / 2;

// Class E has no upper end in the table: 0.50 is taken.
constexpr FrictionClass kClasses[] = {
    {'A', 0.04, 0.10, "solid-film or wax-lubricated coating"},
    {'B', 0.08, 0.16, "oiled, greased or pasted steel"},
    {'C', 0.14, 0.24, "as delivered, faintly oily, or plated without lubricant"},
    {'D', 0.20, 0.35, "dry galvanized or rough"},
    {'E', 0.30, 0.50, "stainless steel or aluminum on aluminum, dry"},
};

// The torsion per tension of the plastic section: τ √3 / σ = √3 · 3/2 · (d2/d_s) (P/(π d2) +
// μ/cos).
double torsion_share(const Thread& thread, double thread_friction) {
  const ThreadSizes sizes = thread_sizes(thread);
  return 1.5 * (sizes.pitch_diameter / sizes.stress_diameter) *
         (thread.pitch.si() / (kPi * sizes.pitch_diameter.si()) + thread_friction / kCos30);
}

}  // namespace

Length ring_mean(const BearingFace& face) { return (face.outer + face.hole) / 2; }

Length ring_uniform(const BearingFace& face) {
  const double w = face.outer.si();
  const double h = face.hole.si();
  return Length::from_si(2.0 / 3 * (w * w * w - h * h * h) / (w * w - h * h));
}

TorquePerForce torque_per_force(const Thread& thread, const Friction& friction, Length head_mean) {
  const ThreadSizes sizes = thread_sizes(thread);
  return {.pitch = thread.pitch / (2 * kPi),
          .thread = sizes.pitch_diameter * (friction.thread / (2 * kCos30)),
          .head = head_mean * (friction.head / 2)};
}

Length torque_per_force_exact(const Thread& thread, const Friction& friction, Length head_mean) {
  const ThreadSizes sizes = thread_sizes(thread);
  const double rho = std::atan(friction.thread / kCos30);
  return sizes.pitch_diameter * (std::tan(sizes.helix.si() + rho) / 2) +
         head_mean * (friction.head / 2);
}

Force preload_of(Torque torque, Length per_force) {
  return Force::from_si(torque.si() / per_force.si());
}

ShankStress shank_stress(const Thread& thread, Force preload, Length in_shank) {
  const ThreadSizes sizes = thread_sizes(thread);
  const double d = sizes.stress_diameter.si();
  const double tension = preload.si() / sizes.stress_area;
  const double torsion = preload.si() * in_shank.si() / (kPi * d * d * d / 12);
  return {.tension = Pressure::from_si(tension),
          .torsion = Pressure::from_si(torsion),
          .reduced = Pressure::from_si(std::sqrt(tension * tension + 3 * torsion * torsion))};
}

Force preload_at(const Thread& thread, double thread_friction, Pressure stress, double share) {
  const double t = torsion_share(thread, thread_friction);
  return Force::from_si(thread_sizes(thread).stress_area * share * stress.si() /
                        std::sqrt(1 + 3 * t * t));
}

std::span<const FrictionClass> friction_classes() { return kClasses; }

const FrictionClass* friction_of(std::string_view condition) {
  const std::string said = folded(condition);
  const auto says = [&](std::initializer_list<std::string_view> words) {
    return std::any_of(words.begin(), words.end(),
                       [&](std::string_view word) { return said.find(word) != std::string::npos; });
  };
  if (says({"lock", "seal", "patch", "unknown", "?"})) return nullptr;
  const bool dry =
      says({"dry", "unlubric", "not oil", "no oil", "oil-free", "oil free", "free of oil",
            "degreas", "without lubric", "without oil", "not lubric", "not greas", "no greas",
            "no lubric", "off oil", "off all oil", "clean of", "remove oil", "remove all oil"});
  if (dry)
    return says({"oiled", "head only", "threads only"}) && !says({"not oiled"}) ? nullptr
                                                                                : &kClasses[3];
  if (says({"wax", "solid film", "molybd"})) return &kClasses[0];
  if (says({"oil", "greas", "paste", "lubricat"})) return &kClasses[1];
  if (says({"as delivered", "as supplied"})) return &kClasses[2];
  return nullptr;
}

PreloadRange preload_range(Torque torque, double wrench_deviation, const Thread& thread,
                           Length head_mean, const FrictionClass& friction,
                           const Strength& strength) {
  struct End {
    Force force;
    double of_yield;
  };
  const auto at = [&](double mu, double factor) {
    const TorquePerForce per = torque_per_force(thread, {mu, mu}, head_mean);
    const Force force = preload_of(torque * factor, per.all());
    return End{force, shank_stress(thread, force, per.in_shank()).reduced / strength.yield};
  };
  const End low = at(friction.high, 1 - wrench_deviation);
  const End high = at(friction.low, 1 + wrench_deviation);
  return {.low = low.force,
          .high = high.force,
          .high_not_attainable = high.force > preload_at(thread, friction.low, strength.tensile),
          .of_yield_low = low.of_yield,
          .of_yield_high = high.of_yield};
}

}  // namespace tautmark::tighten
