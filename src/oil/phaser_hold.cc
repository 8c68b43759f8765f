// SPDX-License-Identifier: Apache-2.0
#include "oil/phaser_hold.h"

#include <cmath>
#include <complex>
#include <limits>
#include <numbers>

namespace tautmark::oil {
namespace {

constexpr double kMostSteps = 1e6;

Result<void> check(const TwoStates& phaser) {
  if (!is_positive(phaser.viscous))
    return refuse(
        "the two-state model needs viscous friction above 0: without it the angle follows "
        "from the pressure alone");
  if (!is_positive(phaser.displacement) || !is_positive(phaser.chamber.si()) ||
      !is_positive(phaser.bulk.si()))
    return refuse("displacement, chamber and bulk modulus are above 0");
  if (!is_not_negative(phaser.leakage)) return refuse("a leakage is not below 0");
  return {};
}

}  // namespace

Frequency event_frequency(int events_for_a_cam_turn, RotationalSpeed crankshaft) {
  return Frequency::from_si(events_for_a_cam_turn * crankshaft.si() / 2);
}

Result<Drift> drift(Estimated<double> displacement, Estimated<double> leakage,
                    Estimated<Torque> mean) {
  if (!is_stated(displacement) || !is_stated(leakage) || !is_stated(mean))
    return refuse("displacement, leakage and cam torque each need a value and its uncertainty");
  if (!(displacement.value > 0) || !(leakage.value >= 0))
    return refuse("the displacement is above 0, the leakage not below");
  Drift out;
  out.in_a_second = CamAngle::from_si(mean.value.si() * leakage.value /
                                      (displacement.value * displacement.value));
  out.U = std::hypot(mean.U, leakage.U, 2 * displacement.U) *
          CamAngle::from_si(std::abs(out.in_a_second.si()));
  return out;
}

Result<Hold> hold(const HoldInputs& in) {
  const auto drifts = drift(in.displacement, in.leakage, in.mean);
  if (!drifts) return tl::unexpected(drifts.error());
  if (!is_positive(in.chamber.si()) || !is_positive(in.bulk.si()) || !is_positive(in.events.si()))
    return refuse("chamber, bulk modulus and event frequency are above 0");
  if (!is_not_negative(in.alternating.si()) || !is_not_negative(in.viscous))
    return refuse("alternating torque and friction are not below 0");
  const double v = in.displacement.value, c = in.leakage.value;
  const double oil = in.chamber.si() / (2 * in.bulk.si());
  Hold out;
  out.drift = drifts->in_a_second;
  out.drift_U = drifts->U;
  out.damper = c > 0 ? v * v / c : std::numeric_limits<double>::infinity();
  out.spring = v * v / oil;
  const std::complex<double> s(0, 2 * std::numbers::pi * in.events.si());
  out.swing =
      CamAngle::from_si(in.alternating.si() / std::abs(in.viscous * s + v * v * s / (s * oil + c)));
  return out;
}

Result<SteadyTravel> steady_travel(const TwoStates& phaser, Flow valve, Torque load) {
  if (const auto fine = check(phaser); !fine) return tl::make_unexpected(fine.error());
  if (!std::isfinite(valve.si()) || !std::isfinite(load.si()))
    return refuse("flow and torque of a phaser are numbers");
  const double v = phaser.displacement, c = phaser.leakage, b = phaser.viscous;
  const double both = v * v + b * c;
  return SteadyTravel{CamAngle::from_si((valve.si() * v - c * load.si()) / both),
                      Pressure::from_si((b * valve.si() + v * load.si()) / both),
                      Time::from_si(phaser.chamber.si() / (2 * phaser.bulk.si()) * b / both)};
}

Result<std::vector<PhaserState>> travelled(const TwoStates& phaser, const Travelling& in) {
  if (const auto fine = check(phaser); !fine) return tl::make_unexpected(fine.error());
  if (!in.valve || !in.torque) return refuse("a travel needs the flow of the valve and the torque");
  if (!is_positive(in.until.si()) || !is_positive(in.step.si()))
    return refuse("a travel needs a duration and a step above 0");
  if (in.until / in.step > kMostSteps)
    return refuse("the travel would take more than a million steps: make it shorter");
  const double v = phaser.displacement, b = phaser.viscous, h = in.step.si();
  const double oil = phaser.chamber.si() / (2 * phaser.bulk.si());
  const double fade = (phaser.leakage + v * v / b) / oil;  // 1/τ
  const auto push = [&](double t) {
    return (in.valve(Time::from_si(t)).si() + v * in.torque(Time::from_si(t)).si() / b) / oil;
  };
  const auto turn = [&](double p, double t) {
    return (v * p - in.torque(Time::from_si(t)).si()) / b;
  };
  // Alexander's two stages: L-stable, so what is faster than a step dies out instead of ringing.
  constexpr double kGamma = 1 - std::numbers::sqrt2 / 2;
  std::vector<PhaserState> out{in.start};
  double angle = in.start.angle.si(), p = in.start.load.si();
  const auto steps = static_cast<std::size_t>(std::floor(in.until / in.step * (1 + 1e-12)));
  for (std::size_t i = 0; i < steps; ++i) {
    const double t = in.start.at.si() + h * static_cast<double>(i);
    const double first_t = t + kGamma * h, last_t = t + h;
    const double first = (p + h * kGamma * push(first_t)) / (1 + h * kGamma * fade);
    const double first_rate = push(first_t) - fade * first;
    const double last =
        (p + h * ((1 - kGamma) * first_rate + kGamma * push(last_t))) / (1 + h * kGamma * fade);
    angle += h * ((1 - kGamma) * turn(first, first_t) + kGamma * turn(last, last_t));
    p = last;
    if (!std::isfinite(angle) || !std::isfinite(p))
      return refuse("flow or torque of the phaser is no number on the way");
    out.push_back({Time::from_si(last_t), CamAngle::from_si(angle), Pressure::from_si(p)});
  }
  return out;
}

}  // namespace tautmark::oil
