// SPDX-License-Identifier: Apache-2.0
#include "oil/phaser.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <tuple>

namespace tautmark::oil {
namespace {

constexpr double kTurn = 2 * std::numbers::pi;
constexpr CamAngle kWidestGap = cam_deg(30);
constexpr double kRounding = 1e-9;
constexpr double kNoEnd = std::numeric_limits<double>::infinity();
// Own judgement, oil.md 5.1.
constexpr double kComfortable = 2;
constexpr double kMoves = 1.3;
constexpr double kHolds = 1;

AuthorityBand band_of(double margin) {
  if (margin == kNoEnd) return AuthorityBand::load_helps;
  if (margin >= kComfortable) return AuthorityBand::comfortable;
  if (margin >= kMoves) return AuthorityBand::slow;
  return margin >= kHolds ? AuthorityBand::holds_only : AuthorityBand::drifts;
}

Result<void> check_curve(std::span<const CamTorqueSample> curve) {
  if (curve.empty()) return refuse("a torque of the cam over its turn needs samples");
  for (std::size_t i = 0; i < curve.size(); ++i) {
    const CamTorqueSample& sample = curve[i];
    if (!std::isfinite(sample.at.si()) || !std::isfinite(sample.torque.si()))
      return refuse(fmt::format("sample {} of the cam torque is no number", i + 1));
    const bool last = i + 1 == curve.size();
    const double next = last ? curve[0].at.si() + kTurn : curve[i + 1].at.si();
    const double gap = next - sample.at.si();
    if (!(gap > 0))
      return refuse(fmt::format(
          "sample {} of the cam torque is not before the next one within one turn", i + 1));
    if (gap > kWidestGap.si() + kRounding)
      return refuse(
          fmt::format("the cam torque has a gap of {:.0f}° behind {:.1f}°: samples "
                      "further than {:.0f}° apart miss the flank of a lobe",
                      gap / kRadiansPerDegree, in_cam_deg(sample.at), in_cam_deg(kWidestGap)));
  }
  return {};
}

// Calls with the width of a piece and the torque at both ends.
template <class Take>
void each_piece(std::span<const CamTorqueSample> curve, const Take& take) {
  for (std::size_t i = 0; i < curve.size(); ++i) {
    const bool last = i + 1 == curve.size();
    const CamTorqueSample& next = curve[last ? 0 : i + 1];
    take(next.at.si() + (last ? kTurn : 0) - curve[i].at.si(), curve[i].torque.si(),
         next.torque.si());
  }
}

}  // namespace

Result<double> displacement(const Vanes& vanes) {
  if (vanes.count < 1) return refuse("a phaser without vanes moves nothing");
  const double inner = vanes.inner.si(), outer = vanes.outer.si();
  if (!(inner > 0 && outer > inner) || !std::isfinite(outer))
    return refuse("the vanes need an inner radius above 0 and a larger outer one");
  if (!is_positive(vanes.width.si())) return refuse("vanes need a width");
  return vanes.count * vanes.width.si() * (outer * outer - inner * inner) / 2;
}

Result<double> displacement(int vanes, double area, Length mean_radius) {
  if (vanes < 1) return refuse("a phaser without vanes moves nothing");
  if (!is_positive(area) || !is_positive(mean_radius.si()))
    return refuse("the vanes need an area and a mean radius above 0");
  return vanes * area * mean_radius.si();
}

Torque available_torque(double displacement, Pressure difference) {
  return Torque::from_si(displacement * difference.si());
}

Torque load_against(const PhaserLoad& load, Travel travel) {
  const Torque retards = load.mean.value - load.spring.value;
  return travel == Travel::advance ? retards : -retards;
}

Torque needed_torque(const PhaserLoad& load, Travel travel) {
  return load_against(load, travel) + load.friction.value;
}

Torque needed_U(const PhaserLoad& load) {
  return Torque::from_si(std::hypot(load.mean.U * load.mean.value.si(),
                                    load.spring.U * load.spring.value.si(),
                                    load.friction.U * load.friction.value.si()));
}

Result<void> check_load(const PhaserLoad& load) {
  if (!is_stated(load.mean) || !is_stated(load.spring) || !is_stated(load.friction))
    return refuse("cam torque, bias spring and friction each need a value and its uncertainty");
  if (load.friction.value.si() < 0) return refuse("friction cannot push");
  return {};
}

Result<CamTorqueSummary> cam_torque_summary(std::span<const CamTorqueSample> curve) {
  if (const auto fine = check_curve(curve); !fine) return tl::make_unexpected(fine.error());
  double area = 0, lowest = kNoEnd, highest = -kNoEnd;
  each_piece(curve, [&](double width, double from, double to) {
    area += width * (from + to) / 2;
    lowest = std::min(lowest, from);
    highest = std::max(highest, from);
  });
  return CamTorqueSummary{Torque::from_si(area / kTurn), Torque::from_si((highest - lowest) / 2)};
}

Result<double> share_short(std::span<const CamTorqueSample> curve, const PhaserLoad& load,
                           Travel travel, Torque available) {
  if (const auto fine = check_curve(curve); !fine) return tl::make_unexpected(fine.error());
  PhaserLoad rest = load;
  rest.mean = {Torque{}, 0};
  if (const auto fine = check_load(rest); !fine) return tl::make_unexpected(fine.error());
  if (!std::isfinite(available.si())) return refuse("the torque available is no number");
  const double sign = travel == Travel::advance ? 1 : -1;
  const double spare = (available - needed_torque(rest, travel)).si();
  double missing = 0;
  each_piece(curve, [&](double width, double from, double to) {
    const double a = sign * from - spare, b = sign * to - spare;
    if (a > 0 && b > 0)
      missing += width;
    else if (a > 0 || b > 0)
      missing += width * std::max(a, b) / std::abs(a - b);
  });
  return missing / kTurn;
}

Result<Authority> authority(const AuthorityInputs& in) {
  if (const auto fine = check_load(in.load); !fine) return tl::make_unexpected(fine.error());
  if (!is_stated(in.displacement) || !is_stated(in.difference))
    return refuse("displacement and pressure difference each need a value and its uncertainty");
  if (!(in.displacement.value > 0)) return refuse("a phaser has a displacement above 0");
  Authority out;
  out.available = available_torque(in.displacement.value, in.difference.value);
  const double available_share = std::hypot(in.displacement.U, in.difference.U);
  out.available_U = Torque::from_si(available_share * std::abs(out.available.si()));
  out.needed = needed_torque(in.load, in.travel);
  out.needed_U = needed_U(in.load);
  const double available = out.available.si(), needed = out.needed.si();
  const double most = needed + out.needed_U.si(), least = needed - out.needed_U.si();
  if (needed > 0) out.margin = available / needed;
  if (least > 0) {
    // A ratio spreads by a factor: symmetric in its logarithm.
    const double spread = std::exp(std::hypot(available_share, out.needed_U.si() / needed));
    std::tie(out.low, out.high) = std::minmax({*out.margin / spread, *out.margin * spread});
  } else {
    // The load itself may help or not: no factor holds, so both at their worst.
    const double worst = available - out.available_U.si();
    out.low = most > 0 ? worst / most : worst >= most ? kNoEnd : -kNoEnd;
    out.high = available + out.available_U.si() >= least ? kNoEnd : -kNoEnd;
  }
  out.band = out.margin            ? band_of(*out.margin)
             : available >= needed ? AuthorityBand::load_helps
                                   : AuthorityBand::drifts;
  out.worst = band_of(out.low);
  out.best = band_of(out.high);
  return out;
}

Result<Estimated<double>> authority_ratio(const Estimated<Pressure>& here,
                                          const Estimated<Pressure>& there) {
  if (!is_stated(here) || !is_stated(there))
    return refuse("both pressure differences need a value and its uncertainty");
  if (!(there.value.si() > 0)) return refuse("the side to compare with has no pressure difference");
  return Estimated<double>{here.value / there.value, std::hypot(here.U, there.U)};
}

}  // namespace tautmark::oil
