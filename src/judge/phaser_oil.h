// SPDX-License-Identifier: Apache-2.0
// What a vane phaser can have at most from the pressure read at its head: between the port and its
// chambers pressure is only lost, so torque and pin have what the port has, or less. Where even
// that is too little it is too little for certain; where it is enough nothing is shown.
//
//   T <= V_th p_head     pin not free where p_head < F_spring / A: friction and side load only add
//
// Source: oil.md 5.1, 5.2. Not for phasers that live on the alternating torque of the cam; a check
// valve in the supply can make a real one fare better. Vanes count as known to 2 %, the pin to 1 %
// (own judgement); torques and the force of the spring as the definition states them: without a ±
// they do not count, but for one of 0.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "drive/drive.h"
#include "judge/port_reads.h"
#include "oil/lock_pin.h"
#include "oil/phaser.h"

namespace tautmark {

inline constexpr double kVanesU = 0.02;  // of their displacement, relative

oil::Estimated<Pressure> estimated(const GaugeRead& gauge);

bool tells_vanes(const Phaser& phaser);
bool tells_pin(const Phaser& phaser);
// Keys that the definition still lacks, with what of them; empty: nothing.
std::vector<std::string> torque_lacks(const Phaser& phaser);
std::vector<std::string> pin_lacks(const Phaser& phaser);

// Refuse what lacks something, and what the library refuses.
Result<double> displacement_of(const Phaser& phaser);  // m³/rad
Result<oil::PhaserLoad> load_of(const Phaser& phaser);

struct PhaserAtMost {
  oil::Authority authority{};  // its `high` is the bound, 95 %
  oil::Travel travel{};        // the way that asks for more
};
Result<PhaserAtMost> phaser_at_most(const Phaser& phaser, const oil::Estimated<Pressure>& head);

struct PinAtMost {
  Pressure free_at{};  // at least
  // `free` means that the head has enough, which proves nothing of the passage; `home` that the pin
  // is not free: the definition has no force of the spring at rest.
  oil::StuckAtLockAnswer answer{};
  bool is_short_hot = false, is_short_cold = false;  // for certain
};
Result<PinAtMost> pin_at_most(const Phaser& phaser,
                              const std::optional<oil::Estimated<Pressure>>& hot,
                              const std::optional<oil::Estimated<Pressure>>& cold);

// Alike in all that the ratio of two banks leaves out.
bool has_equal_vanes(const Phaser& one, const Phaser& other);

}  // namespace tautmark
