// SPDX-License-Identifier: Apache-2.0
#include "judge/freed_camshafts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace tautmark {
namespace {

using clearance::CamSprings;

constexpr double kParkStep = 1;  // crank deg

struct Sprung {
  std::string camshaft{};
  CamSprings springs{};
};

// Valves of one kind in a cylinder: half of all where there are two kinds.
int alike(const Drive& drive, const std::vector<ValvesOfCam>& all) {
  const int in_all =
      drive.covers && drive.covers->valves_per_cylinder ? *drive.covers->valves_per_cylinder : 2;
  const bool has_two = std::any_of(
      all.begin(), all.end(), [&](const ValvesOfCam& one) { return one.name != all.front().name; });
  return std::max(1, in_all / (has_two ? 2 : 1));
}

std::vector<Sprung> sprung(const LoadedDrive& loaded, const std::vector<ValvesOfCam>& all,
                           const std::vector<CrankAngle>& tops,
                           std::vector<std::string>& not_known) {
  std::vector<Sprung> out;
  const int count = all.empty() ? 0 : alike(loaded.drive, all);
  for (const ValvesOfCam& one : all) {
    const Valves* written = one.written;
    if (written == nullptr || !written->spring_shut || !written->spring_open || !one.inputs.lift ||
        one.inputs.lift->highest <= Length{}) {
      not_known.push_back(one.inputs.name + ": lift, spring_shut and spring_open");
      continue;
    }
    if (out.empty() || out.back().camshaft != one.camshaft)
      out.push_back({.camshaft = one.camshaft});
    const double rate = (written->spring_open->value - written->spring_shut->value).si() /
                        one.inputs.lift->highest.si();
    for (const int cylinder : one.cylinders) {
      if (cylinder < 1 || static_cast<std::size_t>(cylinder) > tops.size()) {
        not_known.emplace_back("cylinders of each bank");
        return out;
      }
      out.back().springs.valves.push_back({.lift = one.inputs.lift,
                                           .top = tops[static_cast<std::size_t>(cylinder) - 1],
                                           .preload = written->spring_shut->value * count,
                                           .rate = rate * count});
    }
  }
  return out;
}

Torque push(const std::vector<Sprung>& all, CrankAngle crank) {
  Torque worst{};
  for (const Sprung& one : all) {
    const Torque torque = clearance::spring_torque(one.springs, CamAngle::from_si(crank.si() / 2));
    worst = std::max(worst, Torque::from_si(std::abs(torque.si())));
  }
  return worst;
}

// Where in the window, in this turn of the two, the springs push least.
ParkingPlace least_push(const std::vector<Sprung>& all, const clearance::CrankWindow& window,
                        CrankAngle turn) {
  ParkingPlace best{.crank = window.park + turn, .worst = push(all, window.park + turn)};
  for (CrankAngle at = crank_deg(std::ceil(in_crank_deg(window.from))); at <= window.to;
       at = at + crank_deg(kParkStep)) {
    const Torque here = push(all, at + turn);
    // Where they push nowhere the middle of the window is as good as its edge.
    if (here < best.worst) best = {.crank = at + turn, .worst = here};
  }
  for (const Sprung& one : all)
    best.camshafts.push_back(
        {.camshaft = one.camshaft,
         .snap = clearance::tends_to_snap(one.springs, CamAngle::from_si(best.crank.si() / 2))});
  while (best.crank >= crank_deg(720)) best.crank = best.crank - crank_deg(720);
  return best;
}

}  // namespace

FreedCamshafts freed_camshafts(const LoadedDrive& loaded, const std::vector<ValvesOfCam>& valves,
                               const FreeCamshafts& free) {
  FreedCamshafts out;
  const auto tops = firing_tops_of(loaded.drive);
  if (!tops) {
    out.not_known.push_back(tops.error().why);
    return out;
  }
  const std::vector<Sprung> all = sprung(loaded, valves, *tops, out.not_known);
  for (const Sprung& one : all) {
    FreedCamshaft freed{.camshaft = one.camshaft};
    for (double at = 0; at < 360; at += kParkStep)
      freed.most = std::max(
          freed.most,
          Torque::from_si(std::abs(clearance::spring_torque(one.springs, cam_deg(at)).si())));
    for (const clearance::RestPlace& rest : clearance::rest_places(one.springs))
      if (rest.stable) freed.rests.push_back(rest);
    out.camshafts.push_back(std::move(freed));
  }
  if (!out.not_known.empty()) return out;
  for (const clearance::CrankWindow& window : free.windows)
    for (const CrankAngle turn : {CrankAngle{}, crank_deg(360)})
      out.parking.push_back(least_push(all, window, turn));
  // To a millionth: the two turns of a pair of pistons differ by rounding only.
  const auto rounded = [](const ParkingPlace& place) {
    return std::llround(place.worst.si() * 1e6);
  };
  std::stable_sort(
      out.parking.begin(), out.parking.end(),
      [&](const ParkingPlace& a, const ParkingPlace& b) { return rounded(a) < rounded(b); });
  return out;
}

std::string push_words(const Pushed& pushed) {
  using clearance::Tendency;
  if (pushed.snap.way == Tendency::stays) return "the springs do not push it";
  return fmt::format("tends to snap {} by about {:.0f} deg cam, pushed with {:.1f} N·m",
                     pushed.snap.way == Tendency::forwards ? "forwards" : "backwards",
                     std::abs(in_cam_deg(pushed.snap.by)), std::abs(pushed.snap.with.si()));
}

}  // namespace tautmark
