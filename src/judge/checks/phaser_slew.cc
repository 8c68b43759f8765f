// SPDX-License-Identifier: Apache-2.0
// A phaser that followed its recorded command slowly: one way or both, and what that means
// (oil/phaser_step.h). Forecasts, always open: nothing is said of one that is not slow.
#include "judge/phaser_slew.h"

#include <fmt/format.h>

#include <cmath>

#include "judge/case_recordings.h"
#include "judge/checks/checks.h"
#include "judge/oil_told.h"
#include "judge/phaser_oil.h"
#include "judge/recorded_phaser.h"
#include "judge/verdict.h"
#include "oil/library.h"

namespace tautmark::checks {
namespace {

constexpr double kSameSpeed = 0.05;  // relative
constexpr double kSameOil = 5;       // K

bool is_slow(const std::optional<oil::StepComparison>& one) {
  return one && (one->speed == oil::StepSpeed::slower || one->speed == oil::StepSpeed::stuck);
}

std::string way_words(const std::optional<oil::StepComparison>& one) {
  if (!one) return "not recorded";
  if (!one->ratio) return "no answer";
  return fmt::format("{:.1f} ± {:.1f}°/s", in_cam_deg(one->seen), in_cam_deg(one->seen_U));
}

// The pressure at this head under the condition of the recording.
const PortRead* read_beside(const std::vector<PortRead>& reads, const EnginePlace& camshaft,
                            const RecordedPhaser& recorded) {
  const auto& oil = recorded.in->body->oil_temperature;
  const double speed = recorded.behaviour.quiet_per_minute / 60;
  if (!oil) return nullptr;
  for (const PortRead& read : reads)
    if (read.place->bank && read.place->bank == camshaft.bank &&
        std::abs(read.speed - speed) <= kSameSpeed * speed &&
        std::abs(read.oil - oil->value.si()) <= kSameOil)
      return &read;
  return nullptr;
}

void add_most(const CheckInput& input, const EnginePlace& camshaft, const RecordedPhaser& recorded,
              Finding& finding) {
  if (!input.drive->drive.oil || !input.drive->drive.oil->grade) return;
  const auto reads = ports_read(input);
  const PortRead* read = read_beside(reads, camshaft, recorded);
  const oil::OilOfLibrary* known =
      oil::oil_of_grade(oil::known_oils(), *input.drive->drive.oil->grade);
  if (read == nullptr || known == nullptr) return;
  const auto properties = oil::properties_of(*known);
  if (!properties) return;
  const auto at = oil::oil_at(*properties, Temperature::from_si(read->oil));
  if (!at) return;
  for (const OilElement& edge : input.drive->drive.oil->network) {
    if (!edge.from || !edge.to || !same_place(*edge.from, read->place->path) ||
        !same_place(*edge.to, camshaft.path + " / advance"))
      continue;
    const auto most =
        advance_at_most(*camshaft.camshaft->phaser, edge, estimated(read->gauge), at->density);
    if (!most) continue;
    finding.budget.push_back(fmt::format(
        "{:.0f} kPa at {} would make about {:.0f}°/s to advance, were the valve alone "
        "in its way",
        in_kPa(read->gauge.mean), read->gauge.place, in_cam_deg(most->in_a_second + most->U)));
    finding.evidence.push_back(read->gauge.entry);
  }
}

// What the network of the definition, fitted to the gauges, lets it do.
void add_network(const CheckInput& input, const EnginePlace& camshaft, Finding& finding) {
  const auto told = oil_told(input).told;
  if (!told || !told->phaser || told->phaser->place != camshaft.path || !told->holding ||
      !told->holding->back)
    return;
  const oil::NetworkSlew& back = *told->holding->back;
  finding.budget.push_back(
      back.state == oil::SlewState::moves
          ? fmt::format("by the oil network, as found, {}, it would come by {:.0f} ± {:.0f}°/s to "
                        "advance",
                        told->gauges.condition, in_cam_deg(back.slew.in_a_second),
                        in_cam_deg(back.slew.U))
          : fmt::format("by the oil network, as found, {}, it would not come to advance",
                        told->gauges.condition));
  finding.evidence.insert(finding.evidence.end(), told->evidence.begin(), told->evidence.end());
}

std::optional<Finding> of_camshaft(const CheckInput& input, const EnginePlace& place,
                                   const RecordedPhaser& recorded) {
  const PhaserBehaviour& seen = recorded.behaviour;
  const auto advance = slew_seen(seen.responses, oil::Travel::advance, seen.quiet_per_minute);
  const auto retard = slew_seen(seen.responses, oil::Travel::retard, seen.quiet_per_minute);
  if (!is_slow(advance) && !is_slow(retard)) return std::nullopt;
  const auto load = load_of(*place.camshaft->phaser);
  const bool is_turned = load && oil::load_against(*load, oil::Travel::advance).si() < 0;
  const auto diagnosis =
      oil::slew_diagnosis(advance, retard, is_turned ? oil::Travel::retard : oil::Travel::advance);
  Finding finding =
      open_finding("phaser-slew", place.path, OpenBecause::forecast,
                   fmt::format("to advance {}, to retard {} (camshaft): {}", way_words(advance),
                               way_words(retard), oil::meaning(diagnosis.pattern)));
  finding.forecast = true;
  if (diagnosis.uneven)
    finding.follows = {"against the load clearly more: look for a leak besides"};
  finding.next = {"the pressure at the head under the same speed and oil temperature"};
  finding.evidence = {recorded.in->entry->id};
  finding.sources = {
      fmt::format("slow: under {:.0f}°/s of the camshaft (program default)", kLeastSlew / 2)};
  if (!load)
    finding.budget.push_back(
        "the load of the camshaft is taken to retard it: the definition states no bias spring");
  add_most(input, place, recorded, finding);
  add_network(input, place, finding);
  return finding;
}

// A log of one camshaft is no fault of the other's; a log of none is worth a word.
Finding no_use(const RecordedPhaser& recorded) {
  Finding finding =
      open_finding("phaser-slew", "recording " + recorded.in->entry->id, OpenBecause::not_measured,
                   "the log of the command tells of no camshaft here: " + recorded.problem,
                   {"name the camshaft in the column of the command, and log the engine speed "
                    "beside it"});
  finding.forecast = true;
  finding.evidence = {recorded.in->entry->id};
  return finding;
}

}  // namespace

std::vector<Finding> phaser_slew(const CheckInput& input) {
  std::vector<Finding> findings;
  std::optional<RecordedPhaser> useless;
  bool is_any_used = false;
  for (const EnginePlace& place : input.places) {
    const auto history = history_of(*input.recordings, place.path);
    if (history.empty() || !history.front().in->body->command_log) continue;
    const auto recorded = recorded_phaser(input, place);
    if (!recorded) continue;
    if (!recorded->problem.empty()) {
      useless = recorded;
      continue;
    }
    is_any_used = true;
    if (auto finding = of_camshaft(input, place, *recorded))
      findings.push_back(std::move(*finding));
  }
  if (useless && !is_any_used) findings.push_back(no_use(*useless));
  return findings;
}

}  // namespace tautmark::checks
