// SPDX-License-Identifier: Apache-2.0
#include "clearance/top_dead_center.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tautmark::clearance {
namespace {

constexpr double kNearest = 5, kFurthest = 90, kBestFrom = 20, kBestTo = 50;  // crank deg

struct Means {
  double middle = 0, half = 0;  // rad
  double middle_u = 0;          // from the scatter of the pairs; 0 with one pair
};

Means means(const std::vector<StopPair>& pairs) {
  const auto n = static_cast<double>(pairs.size());
  Means out;
  for (const StopPair& pair : pairs) {
    out.middle += (pair.after - pair.before).si() / 2 / n;
    out.half += (pair.after + pair.before).si() / 2 / n;
  }
  if (pairs.size() < 2) return out;
  double squares = 0;
  for (const StopPair& pair : pairs)
    squares += std::pow((pair.after - pair.before).si() / 2 - out.middle, 2);
  out.middle_u = std::sqrt(squares / (n - 1) / n);
  return out;
}

struct Stop {
  double middle_from_top = 0;  // rad
  Length drop{};
};

Stop stop_at(const Slider& slider, double half) {
  const double r = slider.half_throw.si(), l = slider.rod.si(), d = slider.pin_offset.si();
  const double side = r * std::sin(half);
  const double reach = r * std::cos(half) + std::sqrt((l - side) * (l + side));
  const double middle = std::asin(d / (l + r)) - std::asin(d / reach);
  return {middle, drop(slider, CrankAngle::from_si(middle + half))};
}

std::string words_for(double reads, double half) {
  const double off = std::abs(reads);
  const std::string both = fmt::format("both stops read {:.1f}°", half);
  if (off < 0.05) return "the wheel reads 0.0° at top dead center: " + both + ", leave it";
  const bool before = reads < 0;
  return fmt::format(
      "the wheel reads {0:.1f}° {1} top dead center when the piston is there: set wheel or pointer "
      "until {2}, or add {0:.1f}° to every reading {3} and take {0:.1f}° off every reading {1}",
      off, before ? "before" : "after", both, before ? "after" : "before");
}

std::vector<std::string> cautions_for(double half, bool has_slider) {
  std::vector<std::string> out;
  if (half < kBestFrom)
    out.push_back(
        "the stop is close to the top, where the piston hardly moves: with a longer reach down, 20 "
        "to 50° from the top, the same stop is sharper");
  if (half > kBestTo)
    out.push_back(
        "the stop is far from the top: wheel and crank twist show more there; 20 to 50° is best");
  if (!has_slider)
    out.push_back(
        "stroke, rod and pin offset are not known: the middle is not corrected, and the repeat of "
        "the stop is not in the uncertainty");
  out.push_back(
      "turn by hand, never with the starter; with the chain on, look first whether the crank may "
      "be turned at all");
  out.push_back("press the piston upwards against the stop from both sides");
  out.push_back("a stop finds a top dead center, not which one: look at the valves for that");
  return out;
}

}  // namespace

Result<TopFound> top_from_stop(const StopInputs& in) {
  if (in.pairs.empty()) return refuse("two readings are needed, one on either side of the top");
  if (in.slider)
    if (const auto fine = check(*in.slider); !fine) return tl::make_unexpected(fine.error());
  if (!(in.reading_u.si() >= 0) || !(in.stop_u.si() >= 0))
    return refuse("an uncertainty cannot be negative");
  const Means mean = means(in.pairs);
  const double half = mean.half / kRadiansPerDegree;
  if (!std::isfinite(mean.middle) || !std::isfinite(mean.half))
    return refuse("a reading of the wheel is not a number");
  if (half < kNearest)
    return refuse(
        fmt::format("the stops are only {:.1f}° from the top, where the piston hardly moves: let "
                    "the stop reach further down, 20 to 50° from the top",
                    half));
  if (half > kFurthest)
    return refuse(
        fmt::format("the stops are {:.1f}° from the top, past the middle of the stroke: these are "
                    "not the two sides of one top dead center, or the stop is far too long",
                    half));
  TopFound out;
  const auto pairs = static_cast<double>(in.pairs.size());
  double variance = std::pow(in.reading_u.si(), 2) / 2 / pairs;
  if (in.slider) {
    const Stop stop = stop_at(*in.slider, mean.half);
    const double at = stop.middle_from_top;
    const double slope = (drop_slope(*in.slider, CrankAngle::from_si(at + mean.half)) -
                          drop_slope(*in.slider, CrankAngle::from_si(at - mean.half))) /
                         2;
    variance += std::pow(in.stop_u.si() / slope, 2) / 2 / pairs;
    out.offset_correction = CrankAngle::from_si(at);
    out.drop = stop.drop;
  }
  // The pairs' own scatter counts where it is worse than what was promised.
  out.u = CrankAngle::from_si(std::max(std::sqrt(variance), mean.middle_u));
  out.half_angle = CrankAngle::from_si(mean.half);
  out.wheel_reads = CrankAngle::from_si(mean.middle) - out.offset_correction;
  out.words = words_for(in_crank_deg(out.wheel_reads), half);
  out.cautions = cautions_for(half, in.slider.has_value());
  return out;
}

CrankAngle true_angle(const TopFound& top, CrankAngle wheel_reading) {
  return wheel_reading - top.wheel_reads;
}

std::optional<CrankAngle> dwell_half_angle(const Slider& slider, Length within) {
  const auto edges = angles_at_drop(slider, within);
  if (!edges) return std::nullopt;
  return (edges->down - edges->up) / 2;
}

}  // namespace tautmark::clearance
