// SPDX-License-Identifier: Apache-2.0
#include "oil/lock_pin.h"

#include <cmath>
#include <numbers>

namespace tautmark::oil {
namespace {

Estimated<Pressure> release_at(const LockPin& pin, const Estimated<Force>& spring) {
  const double d = pin.diameter.value.si();
  const double force = spring.value.si() + pin.friction.value.si() + pin.side.value.si();
  const double force_U =
      std::hypot(spring.U * spring.value.si(), pin.friction.U * pin.friction.value.si(),
                 pin.side.U * pin.side.value.si());
  return {Pressure::from_si(force / (std::numbers::pi * d * d / 4)),
          std::hypot(force_U / force, 2 * pin.diameter.U)};
}

Result<void> check(const std::optional<Estimated<Pressure>>& pressure) {
  if (pressure && !is_stated(*pressure))
    return refuse("a pressure at the pin needs a value and its uncertainty");
  return {};
}

bool is_short(PinState state) { return state != PinState::not_known && state != PinState::free; }

StuckAtLock cause_of(PinState hot, PinState cold) {
  if (is_short(hot) && is_short(cold)) return StuckAtLock::pressure_short;
  if (is_short(hot) && cold == PinState::free) return StuckAtLock::pressure_short_hot;
  if (hot == PinState::free && is_short(cold)) return StuckAtLock::pressure_short_cold;
  if (hot == PinState::free && cold == PinState::free) return StuckAtLock::pressure_enough;
  return StuckAtLock::cannot_tell;
}

}  // namespace

Result<LockPinRelease> lock_pin_release(const LockPin& pin) {
  if (!is_stated(pin.diameter) || !is_stated(pin.spring_at_rest) ||
      !is_stated(pin.spring_compressed) || !is_stated(pin.friction) || !is_stated(pin.side))
    return refuse(
        "diameter, spring, friction and side load of the pin each need a value and its "
        "uncertainty");
  if (!(pin.diameter.value.si() > 0) || !(pin.spring_at_rest.value.si() > 0))
    return refuse("a lock pin has a diameter and a spring above 0");
  if (pin.spring_compressed.value < pin.spring_at_rest.value)
    return refuse("the spring of the pin is stronger compressed than at rest");
  if (pin.friction.value.si() < 0 || pin.side.value.si() < 0)
    return refuse("friction and side load of the pin are not below 0");
  return LockPinRelease{release_at(pin, pin.spring_at_rest),
                        release_at(pin, pin.spring_compressed)};
}

PinState pin_state(const LockPinRelease& release,
                   const std::optional<Estimated<Pressure>>& at_pin) {
  if (!at_pin) return PinState::not_known;
  const double p = at_pin->value.si();
  const auto above = [&](const Estimated<Pressure>& limit) {
    return p - limit.value.si() > std::hypot(at_pin->U * p, limit.U * limit.value.si());
  };
  const auto below = [&](const Estimated<Pressure>& limit) {
    return limit.value.si() - p > std::hypot(at_pin->U * p, limit.U * limit.value.si());
  };
  if (above(release.full)) return PinState::free;
  if (below(release.start)) return PinState::home;
  if (!below(release.full)) return PinState::not_known;
  return above(release.start) ? PinState::half_way : PinState::not_free;
}

Result<StuckAtLockAnswer> stuck_at_lock(const StuckAtLockInputs& in) {
  if (!is_stated(in.release.start) || !is_stated(in.release.full))
    return refuse("the pressures that lift the pin each need a value and its uncertainty");
  for (const auto* pressure : {&in.hot, &in.cold})
    if (const auto fine = check(*pressure); !fine) return tl::make_unexpected(fine.error());
  StuckAtLockAnswer out;
  // A pressure in the wrong passage says nothing of the pin.
  if (in.passage == PinPassage::not_known) return out;
  out.hot = pin_state(in.release, in.hot);
  out.cold = pin_state(in.release, in.cold);
  out.cause = cause_of(out.hot, out.cold);
  return out;
}

std::string_view meaning(StuckAtLock cause) {
  switch (cause) {
    case StuckAtLock::pressure_short:
      return "the pressure at the pin does not lift it, hot or cold: the pin does as it should, "
             "look "
             "for the pressure";
    case StuckAtLock::pressure_short_hot:
      return "the pressure at the pin lifts it cold but not hot: oil leaks on the way, or is thin";
    case StuckAtLock::pressure_short_cold:
      return "the pressure at the pin lifts it hot but not cold: it has not built up yet, or the "
             "way "
             "is partly blocked";
    case StuckAtLock::pressure_enough:
      return "the pressure at the pin is enough, hot and cold: pin pressed sideways, dirt, or the "
             "valve";
    case StuckAtLock::cannot_tell:
      break;
  }
  return "cannot tell: find out which passage lifts the pin, and measure its pressure hot and cold";
}

}  // namespace tautmark::oil
