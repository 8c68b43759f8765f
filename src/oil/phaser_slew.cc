// SPDX-License-Identifier: Apache-2.0
#include "oil/phaser_slew.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <utility>
#include <vector>

namespace tautmark::oil {
namespace {

constexpr double kFirstStep = 0.125;  // rad/s: about what a tired phaser does
constexpr int kDigits = 44;           // bits of the speed
constexpr std::uintmax_t kMostCalls = 200;

// The numbers of one solution: values, not what is known of them.
struct Point {
  double displacement = 0;
  double supply = 1;  // factor on its pressure difference
  double against = 0;
  double friction = 0;
};

// Torque the supply gives at a speed, or what it refuses.
Result<double> torque_at(const PhaserSupply& supply, const Point& at, double speed) {
  const auto difference = supply(Flow::from_si(at.displacement * speed));
  if (!difference) return tl::make_unexpected(difference.error());
  if (!std::isfinite(difference->si()))
    return refuse("the supply of the phaser gives no number for its pressure difference");
  return at.displacement * at.supply * difference->si();
}

Result<double> speed(const PhaserSupply& supply, const Point& at) {
  const auto stall = torque_at(supply, at, 0);
  if (!stall) return stall;
  double sign = 0;
  if (*stall > at.against + at.friction) sign = 1;
  if (*stall < at.against - at.friction) sign = -1;
  if (sign == 0) return 0.0;
  const double balance = at.against + sign * at.friction;
  // toms748 cannot carry a refusal: it is kept here, and 0 ends the search.
  Result<void> refused;
  const auto surplus = [&](double size) {
    const auto torque = torque_at(supply, at, sign * size);
    if (torque) return sign * (*torque - balance);
    refused = tl::make_unexpected(torque.error());
    return 0.0;
  };
  double slow = 0, fast = kFirstStep, at_slow = sign * (*stall - balance), at_fast = 0;
  while ((at_fast = surplus(fast)) > 0) {
    if (fast >= kFastestSlew)
      return refuse(
          fmt::format("no speed of the phaser up to {:.0f}° of the camshaft a second "
                      "balances its torque: the supply does not sag under its flow",
                      kFastestSlew / kRadiansPerDegree));
    slow = fast;
    at_slow = at_fast;
    fast *= 2;
  }
  if (!refused) return tl::make_unexpected(refused.error());
  if (at_fast == 0) return sign * fast;
  std::uintmax_t calls = kMostCalls;
  const auto found =
      boost::math::tools::toms748_solve(surplus, slow, fast, at_slow, at_fast,
                                        boost::math::tools::eps_tolerance<double>(kDigits), calls);
  if (!refused) return tl::make_unexpected(refused.error());
  return sign * (found.first + found.second) / 2;
}

SlewState state_of(double speed) {
  if (speed == 0) return SlewState::held_by_friction;
  return speed > 0 ? SlewState::moves : SlewState::runs_backwards;
}

}  // namespace

Result<Slew> two_edge_slew(const TwoEdges& in) {
  if (!is_stated(in.supply) || !is_stated(in.area) || !is_stated(in.density) ||
      !is_stated(in.displacement) || !is_stated(in.needed))
    return refuse(
        "supply, valve edge, density, displacement and torque each need a value and its "
        "uncertainty");
  const double area = in.area.value, rho = in.density.value.si(), v = in.displacement.value;
  if (!(area > 0) || !(rho > 0) || !(v > 0))
    return refuse("valve edge, density and displacement are above 0");
  const double held = in.needed.value.si() / v;
  const double spare = in.supply.value.si() - held;
  if (!(spare > 0))
    return refuse(
        "the supply does not hold the torque: the phaser stands or runs backwards, which "
        "the form of two ideal edges cannot tell");
  const double slew = area * std::sqrt(spare / rho) / v;
  // d ln θ' by d ln of each input.
  const double by_supply = in.supply.value.si() / spare / 2;
  const double by_torque = held / spare / 2;
  const std::vector<double> parts = {by_supply * in.supply.U, in.area.U, in.density.U / 2,
                                     (by_torque - 1) * in.displacement.U, by_torque * in.needed.U};
  double squares = 0;
  for (const double part : parts) squares += part * part;
  return Slew{CamAngle::from_si(slew), CamAngle::from_si(slew * std::sqrt(squares))};
}

Result<NetworkSlew> network_slew(const NetworkSlewInputs& in) {
  if (const auto fine = check_load(in.load); !fine) return tl::make_unexpected(fine.error());
  if (!in.supply) return refuse("the slew needs the network that feeds the phaser");
  if (!is_stated(in.displacement) || !is_stated(in.supply_U))
    return refuse("displacement and supply need their uncertainty");
  if (!(in.displacement.value > 0)) return refuse("a phaser has a displacement above 0");
  const Point best{in.displacement.value, 1, load_against(in.load, in.travel).si(),
                   in.load.friction.value.si()};
  const auto found = speed(in.supply, best);
  if (!found) return tl::make_unexpected(found.error());
  const auto stall = in.supply(Flow{});
  if (!stall) return tl::make_unexpected(stall.error());

  const std::pair<double Point::*, double> parts[] = {
      {&Point::displacement, in.displacement.U * best.displacement},
      {&Point::supply, in.supply_U},
      {&Point::against, std::hypot(in.load.mean.U * in.load.mean.value.si(),
                                   in.load.spring.U * in.load.spring.value.si())},
      {&Point::friction, in.load.friction.U * best.friction}};
  double squares = 0;
  for (const auto& [which, U] : parts) {
    if (U == 0) continue;
    // Half the way across, not the slope: near stall the two differ much.
    double across = 0;
    for (const double sign : {1.0, -1.0}) {
      Point moved = best;
      moved.*which += sign * U;
      if (!(moved.displacement > 0))
        return refuse("the displacement is not known well enough for a slew");
      moved.friction = std::max(moved.friction, 0.0);
      const auto there = speed(in.supply, moved);
      if (!there) return tl::make_unexpected(there.error());
      across += sign * *there / 2;
    }
    squares += across * across;
  }
  return NetworkSlew{
      state_of(*found), {CamAngle::from_si(*found), CamAngle::from_si(std::sqrt(squares))}, *stall};
}

Result<BothSlews> both_slews(const PhaserSupply& to_advance, const PhaserSupply& to_retard,
                             NetworkSlewInputs in) {
  BothSlews out;
  for (const Travel travel : {Travel::advance, Travel::retard}) {
    const bool advance = travel == Travel::advance;
    in.travel = travel;
    in.supply = advance ? to_advance : to_retard;
    const auto slew = network_slew(in);
    if (!slew) return tl::make_unexpected(slew.error());
    (advance ? out.advance : out.retard) = *slew;
  }
  if (out.advance.state == SlewState::moves && out.retard.state == SlewState::moves)
    out.retard_to_advance = out.retard.slew.in_a_second / out.advance.slew.in_a_second;
  return out;
}

}  // namespace tautmark::oil
