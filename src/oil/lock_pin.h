// SPDX-License-Identifier: Apache-2.0
// The pin that locks a phaser while there is no oil pressure, and why one stays locked.
//
//   p = (F_spring(x) + F_friction + F_side) / A,   A = π d² / 4
//
// p at the pin, gauge. It starts out at the force of the spring at rest, is free at that of the
// spring compressed; between the two it rattles half-way. F_side is what cam torque and command
// press the pin with sideways, so it comes and goes with the torque. A pin that stays home below
// its pressure does as it should. Which passage lifts it is a fact of the design: ask. Source:
// oil.md 5.2.
#pragma once

#include <optional>
#include <string_view>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "oil/estimated.h"

namespace tautmark::oil {

struct LockPin {
  Estimated<Length> diameter{};
  Estimated<Force> spring_at_rest{};
  Estimated<Force> spring_compressed{};
  Estimated<Force> friction{};  // 0 or more
  Estimated<Force> side{};      // what of the side load holds it back, 0 or more
};
struct LockPinRelease {
  Estimated<Pressure> start{};
  Estimated<Pressure> full{};
};
// Refuses what is not stated, a diameter or spring not above 0, a spring that gets weaker, friction
// or side load below 0.
Result<LockPinRelease> lock_pin_release(const LockPin& pin);

enum class PinState { not_known, home, half_way, not_free, free };  // not_free: home or half-way
// Only what both uncertainties allow; absent pressure: not known. A relative uncertainty says
// little near no pressure: below some 0.3 bar give it from the gauge's own in bar.
PinState pin_state(const LockPinRelease& release, const std::optional<Estimated<Pressure>>& at_pin);

enum class PinPassage { not_known, advance, retard, either, supply };
enum class StuckAtLock {
  cannot_tell,
  pressure_short,       // hot and cold
  pressure_short_hot,   // leak or thin oil
  pressure_short_cold,  // not built up yet, or the way is blocked
  pressure_enough,      // pin pressed sideways, valve, debris: not the pressure
};
struct StuckAtLockInputs {
  LockPinRelease release{};
  PinPassage passage = PinPassage::not_known;
  // At the pin, in the passage that lifts it, while the phaser is told to leave the lock.
  std::optional<Estimated<Pressure>> hot{};
  std::optional<Estimated<Pressure>> cold{};
};
struct StuckAtLockAnswer {
  StuckAtLock cause = StuckAtLock::cannot_tell;
  PinState hot = PinState::not_known;
  PinState cold = PinState::not_known;
};
// A pin half-way counts as short: it is not free. A short pin with the other temperature not known
// is `cannot_tell` with its state: short where, is the next thing to measure. Enough is said only
// for both: a pin may be free at one temperature and not at the other. Refuses what is not stated.
Result<StuckAtLockAnswer> stuck_at_lock(const StuckAtLockInputs& in);
std::string_view meaning(StuckAtLock cause);

}  // namespace tautmark::oil
