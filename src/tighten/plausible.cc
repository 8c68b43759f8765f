// SPDX-License-Identifier: Apache-2.0
#include "tighten/plausible.h"

#include <algorithm>
#include <cmath>

#include "tighten/preload.h"

namespace tautmark::tighten {
namespace {

constexpr double kLowFriction = 0.08;
constexpr double kHighFriction = 0.16;
constexpr double kUsualFriction = 0.12;
constexpr double kOfYield = 0.9;
constexpr double kLeastShare = 0.3;
constexpr double kRingPerDiameter = 1.3;

struct UnitOfTorque {
  std::string_view written;
  double newton_metres;
};
constexpr UnitOfTorque kUnits[] = {{"N·m", 1},
                                   {"lbf·ft", 1.3558179483314004},
                                   {"lbf·in", 0.1129848290276167},
                                   {"kgf·m", 9.80665},
                                   {"kgf·cm", 0.0980665}};

Force preload_with(Torque torque, const Thread& thread, double friction) {
  return preload_of(torque,
                    torque_per_force(thread, {friction, friction}, usual_ring(thread)).all());
}

struct Classes {
  std::string strongest, weakest;
  double high_friction = kHighFriction;  // at which too high is judged
};

Plausible answer_for(Torque torque, const TorqueWritten& written, const Classes& classes) {
  const auto every = [&](auto holds) {
    return std::all_of(written.thread.possible.begin(), written.thread.possible.end(), holds);
  };
  const bool high = every([&](const Thread& thread) {
    const Strength most = strength(classes.strongest, thread.nominal).value();
    return preload_with(torque, thread, classes.high_friction) >
           preload_at(thread, classes.high_friction, most.yield, kOfYield);
  });
  if (high) return Plausible::too_high;
  const bool low = !written.more_follows && every([&](const Thread& thread) {
    const Strength least = strength(classes.weakest, thread.nominal).value();
    return preload_with(torque, thread, kLowFriction) <
           preload_at(thread, kLowFriction, least.yield, kOfYield) * kLeastShare;
  });
  return low ? Plausible::too_low : Plausible::usual;
}

}  // namespace

Length usual_ring(const Thread& thread) {
  if (const std::optional<BearingFace> face = hexagon_face(thread)) return ring_mean(*face);
  return thread.nominal * kRingPerDiameter;
}

Result<Plausibility> plausibility(const TorqueWritten& written, double figure) {
  if (!(written.torque.si() > 0) || !std::isfinite(written.torque.si()) || !(figure > 0)) {
    return refuse("a torque is above zero");
  }
  const Classes classes = {written.strength_class.value_or("10.9"),
                           written.strength_class.value_or("8.8"),
                           written.strength_class ? kHighFriction : kUsualFriction};
  for (const Thread& thread : written.thread.possible) {
    if (Result<Strength> known = strength(classes.strongest, thread.nominal); !known) {
      return tl::make_unexpected(known.error());
    }
  }
  Plausibility result{.answer = answer_for(written.torque, written, classes)};
  if (result.answer == Plausible::usual) return result;
  for (const UnitOfTorque& unit : kUnits) {
    const Torque other = newton_metre(figure * unit.newton_metres);
    if (std::abs(other / written.torque - 1) < 1e-6) continue;
    if (answer_for(other, written, classes) == Plausible::usual) {
      result.fits_in.emplace_back(unit.written);
    }
  }
  return result;
}

}  // namespace tautmark::tighten
