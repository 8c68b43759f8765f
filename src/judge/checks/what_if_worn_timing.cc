// SPDX-License-Identifier: Apache-2.0
// How late the measured wear of its chains makes each camshaft stand. A forecast: nothing is judged
// by it; it tells wear from a jumped tooth, and names what was not measured.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "geometry/counts.h"
#include "judge/chain_wear.h"
#include "judge/checks/checks.h"
#include "judge/verdict.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "what-if-worn-timing";
constexpr int kDeepest = 8;

// What lies between a camshaft and the crank, the camshaft's own first.
struct Stages {
  std::vector<std::pair<const Chain*, std::string>> chains;  // and the wheel driven by each
  double play = 0;  // of gears, crank radians: turned forward last, springs can push it early
};

double play_of(const Drive& drive, const GearPair& gear) {
  const auto turns = shaft_turns(drive, gear.driven);
  if (!gear.backlash || !gear.radius || !turns) return 0;
  return gear.backlash->value.si() / gear.radius->value.si() * static_cast<double>(turns->under) /
         static_cast<double>(turns->over);
}

Stages stages_of(const Drive& drive, std::string shaft) {
  Stages stages;
  for (int step = 0; step < kDeepest && !same_place(shaft, kCrank); ++step) {
    const auto gear = std::find_if(drive.gears.begin(), drive.gears.end(),
                                   [&](const GearPair& g) { return same_place(g.driven, shaft); });
    if (gear != drive.gears.end()) {
      stages.play += play_of(drive, *gear);
      shaft = gear->driver;
      continue;
    }
    const auto chain = std::find_if(drive.chains.begin(), drive.chains.end(), [&](const Chain& c) {
      const auto wheels = wheels_of(drive, c);
      return std::any_of(wheels.begin() + (wheels.empty() ? 0 : 1), wheels.end(),
                         [&](const std::string& wheel) { return same_place(wheel, shaft); });
    });
    if (chain == drive.chains.end()) break;
    stages.chains.emplace_back(&*chain, shaft);
    shaft = driver_of(drive, *chain);
  }
  return stages;
}

std::string late_words(double least, double most, bool exact) {
  const auto degrees = [](double radians) { return std::abs(radians) / kRadiansPerDegree; };
  const std::string_view word = most >= 0 ? "late" : "early";
  if (exact)
    return fmt::format("{:.1f}° {} (crank), {:.1f}° cam", degrees(most), word, degrees(most) / 2);
  return fmt::format("between {:.1f}° and {:.1f}° {} (crank)", degrees(least), degrees(most), word);
}

void add_sentence(Finding& finding, const Drive& drive, const EnginePlace& place,
                  const std::vector<std::string>& measured,
                  const std::vector<std::string>& unmeasured, const WornLate& late) {
  finding.why =
      fmt::format("the measured wear of {} alone would make it {}", joined(measured, ", "),
                  late_words(late.least, late.most, late.from_path));
  if (!late.from_path)
    finding.why += "; a range, since the drive has no coordinates (straight strands, usual guides)";
  if (!unmeasured.empty())
    finding.why += fmt::format("; {} not measured, comes on top", joined(unmeasured, ", "));
  const Chain* chain = chain_of(drive, *place.in_bank, *place.camshaft);
  const auto teeth = chain != nullptr ? teeth_under(drive, *chain, place.path) : std::nullopt;
  const auto turns = shaft_turns(drive, place.path);
  if (!teeth || !turns) return;
  const double tooth =
      360.0 / *teeth * static_cast<double>(turns->under) / static_cast<double>(turns->over);
  const double most = std::abs(late.most) / kRadiansPerDegree + late.U / kRadiansPerDegree;
  finding.why +=
      most < tooth / 2
          ? fmt::format("; one tooth is {:.1f}°, wear like this is no jump", tooth)
          : fmt::format("; one tooth is {:.1f}°: wear and a jump can be confused", tooth);
}

std::optional<Finding> forecast(const CheckInput& input, const EnginePlace& place) {
  const Drive& drive = input.drive->drive;
  WornLate sum{0, 0, 0, true};
  double squares = 0;
  std::vector<std::string> measured, unmeasured;
  Finding finding = open_finding(std::string(kCheck), place.path, OpenBecause::forecast, "");
  const Stages stages = stages_of(drive, place.path);
  for (const auto& [chain, wheel] : stages.chains) {
    const auto wear = measured_wear(input, *chain);
    const auto late = wear ? worn_late(drive, *chain, *wear, wheel) : std::nullopt;
    if (!late) {
      unmeasured.push_back(chain->name);
      continue;
    }
    measured.push_back(chain->name);
    sum.least += late->least;
    sum.most += late->most;
    sum.from_path = sum.from_path && late->from_path;
    squares += late->U * late->U;
    finding.evidence.insert(finding.evidence.end(), wear->evidence.begin(), wear->evidence.end());
  }
  if (measured.empty()) return std::nullopt;
  sum.U = std::sqrt(squares);
  finding.forecast = true;
  add_sentence(finding, drive, place, measured, unmeasured, sum);
  if (stages.play > 0)
    finding.why += fmt::format("; play of the gears lets it stand up to {:.1f}° early (crank)",
                               stages.play / kRadiansPerDegree);
  if (sum.from_path) {
    finding.value = FindingValue{.value = -sum.most,
                                 .unit = std::string(si_symbol(Kind::crank_angle)),
                                 .U = sum.U,
                                 .k = 2,
                                 .shown = late_words(sum.most, sum.most, true)};
  }
  finding.next = {"compare with a recording of crank and cam signals, or count the links"};
  finding.sources = {"solved path with worn pitch and worn faces; losses of chains in series add"};
  return finding;
}

}  // namespace

std::vector<Finding> what_if_worn_timing(const CheckInput& input) {
  std::vector<Finding> findings;
  if (input.drive == nullptr) return findings;
  for (const EnginePlace& place : input.places)
    if (place.type == PlaceType::camshaft && place.in_bank != nullptr)
      if (auto finding = forecast(input, place)) findings.push_back(std::move(*finding));
  return findings;
}

}  // namespace tautmark::checks
