// SPDX-License-Identifier: Apache-2.0
#include "judge/phaser_held.h"

#include <algorithm>
#include <cmath>

#include "oil/bulk_modulus.h"

namespace tautmark {
namespace {

constexpr Pressure kOilBulk = kPa(1.4e6);  // without air (oil.md 5.5)
constexpr double kLeastAir = 0.005, kMostAir = 0.05;

std::optional<CamAngle> swing_of(const PhaserTold& phaser, const ChambersAt& at, double leakage,
                                 double air) {
  const double displacement = phaser.asked.displacement.value;
  const auto bulk = oil::bulk_modulus(kOilBulk, Ratio::from_si(air), at.mean + oil::kAtmosphere);
  if (!bulk) return std::nullopt;
  const double half = to_cam(phaser.written.range->value).si() / 2;
  const auto held = oil::hold({.displacement = {displacement, 0},
                               .leakage = {leakage, 0},
                               .mean = {Torque::from_si(0), 0},
                               .alternating = phaser.written.cam_torque_swing->value,
                               .events = oil::event_frequency(phaser.events, at.crankshaft),
                               .chamber = Volume::from_si(displacement * half),
                               .bulk = *bulk});
  if (!held) return std::nullopt;
  return 2 * held->swing;
}

std::optional<oil::SawTooth> saw_tooth_of(const Phaser& phaser, const PhaserHeld& held) {
  if (!phaser.control_band || !phaser.control_delay || !held.back ||
      held.back->state != oil::SlewState::moves)
    return std::nullopt;
  const auto tooth = oil::saw_tooth({.band = to_cam(phaser.control_band->value),
                                     .drift = held.drift,
                                     .correction = held.back->slew.in_a_second,
                                     .dead = phaser.control_delay->value});
  // More than its travel: it runs from stop to stop.
  if (!tooth || (phaser.range && tooth->height >= to_cam(phaser.range->value))) return std::nullopt;
  return *tooth;
}

}  // namespace

double relative_U(const oil::Interval& range) {
  return std::max(range.high - range.median, range.median - range.low) / range.median;
}

std::optional<PhaserHeld> phaser_held(const PhaserTold& phaser, const ChambersAt& at) {
  const oil::PhaserLoad& load = phaser.asked.load;
  const Torque mean = load_against(load, oil::Travel::advance);
  if (!phaser.written.bias_spring || !(at.leakage.median > 0) || !(mean.si() > 0))
    return std::nullopt;
  const double turns_U =
      std::hypot(load.mean.value.si() * load.mean.U, load.spring.value.si() * load.spring.U) /
      mean.si();
  const auto drift = oil::drift(phaser.asked.displacement,
                                {at.leakage.median, relative_U(at.leakage)}, {mean, turns_U});
  if (!drift) return std::nullopt;
  PhaserHeld out{drift->in_a_second, drift->U};
  if (phaser.events > 0 && phaser.written.range && phaser.written.cam_torque_swing) {
    const auto least = swing_of(phaser, at, at.leakage.low, kLeastAir),
               most = swing_of(phaser, at, at.leakage.high, kMostAir);
    if (least && most) out.swing = PhaserHeld::Swing{*least, *most};
  }
  if (const auto back = oil::network_slew({.supply = at.supply,
                                           .supply_U = relative_U(at.difference),
                                           .displacement = phaser.asked.displacement,
                                           .load = load,
                                           .travel = oil::Travel::advance}))
    out.back = *back;
  out.saw_tooth = saw_tooth_of(phaser.written, out);
  return out;
}

}  // namespace tautmark
