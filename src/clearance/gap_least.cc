// SPDX-License-Identifier: Apache-2.0
// The least gap over a cycle: steps of a quarter crank degree, then golden section around the best.
#include <algorithm>
#include <cmath>
#include <limits>

#include "clearance/bounds.h"
#include "clearance/gap_table.h"

namespace tautmark::clearance {
namespace {

constexpr double kStep = 0.25 * kRadiansPerDegree;
constexpr int kSteps = 2880;
constexpr double kFull = kSteps * kStep;

template <class Value>
LeastGap least_of_cycle(const Value& value, Nearest nearest) {
  double least = std::numeric_limits<double>::infinity(), at = 0;
  for (int i = 0; i < kSteps; ++i) {
    const double here = value(i * kStep);
    if (here < least) {
      least = here;
      at = i * kStep;
    }
  }
  constexpr double kGolden = 0.6180339887498949;
  double from = at - kStep, to = at + kStep;
  for (int i = 0; i < 40; ++i) {
    const double left = to - kGolden * (to - from), right = from + kGolden * (to - from);
    if (value(left) < value(right))
      to = right;
    else
      from = left;
  }
  const double fine = value((from + to) / 2);
  if (fine < least) {
    least = fine;
    at = (from + to) / 2;
  }
  return {Length::from_si(least), CrankAngle::from_si(std::fmod(at + kFull, kFull)), nearest};
}

double drop_at(const EngineValve& valve, double angle) {
  return drop(valve.slider, CrankAngle::from_si(angle)).si();
}

}  // namespace

LeastGap least_axial(const EngineValve& valve, CrankAngle early, CrankAngle within) {
  const GapNumbers n = gap_numbers(valve.site);
  const double off = valve.taken_off.si();
  return least_of_cycle(
      [&](double angle) {
        const double open = largest_lift(*valve.lift, angle + early.si(), within.si());
        return n.axial(drop_at(valve, angle), open) - off;
      },
      valve.site.flat_crown ? Nearest::crown : Nearest::floor);
}

std::optional<LeastGap> least_wall(const EngineValve& valve, CrankAngle early, CrankAngle within) {
  const GapNumbers n = gap_numbers(valve.site);
  if (!n.has_wall) return std::nullopt;
  const double off = valve.taken_off_wall.si();
  return least_of_cycle(
      [&](double angle) {
        const double open = largest_lift(*valve.lift, angle + early.si(), within.si());
        const double s = drop_at(valve, angle);
        return std::max(n.radial(s), n.axial(s, open) - n.wall_height) - off;
      },
      Nearest::wall);
}

std::optional<CrankAngle> phase_at_gap(const EngineValve& valve, Length level, bool towards_early) {
  const double sign = towards_early ? 1 : -1;
  const auto above = [&](double phase) {
    return (least_axial(valve, CrankAngle::from_si(sign * phase)).least - level).si();
  };
  if (above(0) <= 0) return CrankAngle{};
  constexpr double kCoarse = 2 * kRadiansPerDegree;
  double clear = 0, reached = kCoarse;
  while (above(reached) > 0) {
    clear = reached;
    reached += kCoarse;
    if (reached > kFull) return std::nullopt;
  }
  while (reached - clear > 1e-10) {
    const double middle = (clear + reached) / 2;
    (above(middle) > 0 ? clear : reached) = middle;
  }
  return CrankAngle::from_si(sign * reached);
}

int teeth_to_contact(CrankAngle phase, int cam_teeth) {
  constexpr double kWhole = 1e-9;
  return static_cast<int>(std::ceil(std::abs(phase.si()) * cam_teeth / kFull - kWhole));
}

}  // namespace tautmark::clearance
