// SPDX-License-Identifier: Apache-2.0
#include "judge/phaser_oil.h"

#include <cmath>
#include <tuple>

#include "base/text.h"

namespace tautmark {
namespace {

constexpr double kPinU = 0.01;
// A relative uncertainty needs something to be relative to: 0 ± 0.1 keeps its 0.1.
constexpr double kNothing = 1e-9;

template <class Q>
std::optional<oil::Estimated<Q>> stated(const std::optional<WrittenMeasured>& it) {
  if (!it || it->value.value.kind != Q::kind) return std::nullopt;
  const double value = it->value.value.si;
  if (!it->value.expanded_si && value != 0) return std::nullopt;
  const double U = it->value.expanded_si.value_or(0) * 2 / it->value.coverage;
  const double shown = value == 0 ? kNothing : value;
  return oil::Estimated<Q>{Q::from_si(shown), U / std::abs(shown)};
}

template <class Q>
void ask_for(const std::optional<WrittenMeasured>& it, const char* key,
             std::vector<std::string>& lacks) {
  if (!stated<Q>(it)) lacks.push_back(std::string(key) + (it ? ", with its ±" : ""));
}

Result<double> refused(const std::vector<std::string>& lacks) {
  return refuse("not in the definition: " + joined(lacks, "; "));
}

}  // namespace

oil::Estimated<Pressure> estimated(const GaugeRead& gauge) {
  return {gauge.mean, gauge.U / gauge.mean};
}

bool tells_vanes(const Phaser& phaser) {
  return phaser.vanes || phaser.vane_inner || phaser.vane_outer || phaser.vane_width;
}

bool tells_pin(const Phaser& phaser) { return phaser.pin_diameter || phaser.pin_force; }

std::vector<std::string> torque_lacks(const Phaser& phaser) {
  std::vector<std::string> lacks;
  if (!phaser.vanes) lacks.emplace_back("vanes");
  if (!phaser.vane_inner) lacks.emplace_back("vane_inner");
  if (!phaser.vane_outer) lacks.emplace_back("vane_outer");
  if (!phaser.vane_width) lacks.emplace_back("vane_width");
  ask_for<Torque>(phaser.cam_torque, "cam_torque", lacks);
  ask_for<Torque>(phaser.bias_spring, "bias_spring", lacks);
  ask_for<Torque>(phaser.friction, "friction", lacks);
  return lacks;
}

std::vector<std::string> pin_lacks(const Phaser& phaser) {
  std::vector<std::string> lacks;
  if (!phaser.pin_diameter) lacks.emplace_back("pin_diameter");
  ask_for<Force>(phaser.pin_force, "pin_force", lacks);
  if (!phaser.pin_lifted_by) lacks.emplace_back("pin_lifted_by");
  return lacks;
}

Result<double> displacement_of(const Phaser& phaser) {
  if (!phaser.vanes || !phaser.vane_inner || !phaser.vane_outer || !phaser.vane_width)
    return refused(torque_lacks(phaser));
  return oil::displacement({*phaser.vanes, phaser.vane_inner->value, phaser.vane_outer->value,
                            phaser.vane_width->value});
}

Result<oil::PhaserLoad> load_of(const Phaser& phaser) {
  const auto mean = stated<Torque>(phaser.cam_torque);
  const auto spring = stated<Torque>(phaser.bias_spring);
  const auto friction = stated<Torque>(phaser.friction);
  if (!mean || !spring || !friction)
    return tl::make_unexpected(refused(torque_lacks(phaser)).error());
  const oil::PhaserLoad load{*mean, *spring, *friction};
  if (const auto fine = oil::check_load(load); !fine) return tl::make_unexpected(fine.error());
  return load;
}

Result<PhaserAtMost> phaser_at_most(const Phaser& phaser, const oil::Estimated<Pressure>& head) {
  const auto displacement = displacement_of(phaser);
  if (!displacement) return tl::make_unexpected(displacement.error());
  const auto load = load_of(phaser);
  if (!load) return tl::make_unexpected(load.error());
  const auto needed = [&](oil::Travel travel) { return oil::needed_torque(*load, travel); };
  const oil::Travel travel = needed(oil::Travel::retard) > needed(oil::Travel::advance)
                                 ? oil::Travel::retard
                                 : oil::Travel::advance;
  const auto authority = oil::authority({{*displacement, kVanesU}, head, *load, travel});
  if (!authority) return tl::make_unexpected(authority.error());
  return PhaserAtMost{*authority, travel};
}

Result<PinAtMost> pin_at_most(const Phaser& phaser,
                              const std::optional<oil::Estimated<Pressure>>& hot,
                              const std::optional<oil::Estimated<Pressure>>& cold) {
  const auto force = stated<Force>(phaser.pin_force);
  if (!phaser.pin_diameter || !force || !phaser.pin_lifted_by)
    return tl::make_unexpected(refused(pin_lacks(phaser)).error());
  const oil::Estimated<Force> none{Force{}, 0};
  const auto release =
      oil::lock_pin_release({{phaser.pin_diameter->value, kPinU}, *force, *force, none, none});
  if (!release) return tl::make_unexpected(release.error());
  // Every passage has the head's pressure at most, so which of them lifts the pin only matters for
  // being known.
  constexpr oil::PinPassage kPassages[] = {oil::PinPassage::advance, oil::PinPassage::retard,
                                           oil::PinPassage::either, oil::PinPassage::supply};
  const auto answer = oil::stuck_at_lock(
      {*release, kPassages[static_cast<std::size_t>(*phaser.pin_lifted_by)], hot, cold});
  if (!answer) return tl::make_unexpected(answer.error());
  PinAtMost out{release->full.value, *answer};
  const auto is_short = [](oil::PinState state) { return state == oil::PinState::home; };
  out.is_short_hot = is_short(answer->hot);
  out.is_short_cold = is_short(answer->cold);
  return out;
}

bool has_equal_vanes(const Phaser& one, const Phaser& other) {
  const auto load = [](const Phaser& phaser) {
    return std::tie(phaser.cam_torque, phaser.bias_spring, phaser.friction);
  };
  return one.vanes == other.vanes && one.vane_inner == other.vane_inner &&
         one.vane_outer == other.vane_outer && one.vane_width == other.vane_width &&
         load(one) == load(other);
}

}  // namespace tautmark
