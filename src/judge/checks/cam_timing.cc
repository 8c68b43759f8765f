// SPDX-License-Identifier: Apache-2.0
// The phase of each camshaft by the last sensor recording of it, against the drive's nominal edge
// and window. The window decides pass or fail; what a phase means is the next check's. It passes
// only with the phaser known to be at its base. Once the drive was opened, what was recorded before
// is told as found, and the drive as put together is open. A phase that no phaser can explain fails
// whatever the phaser did.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/unit.h"
#include "judge/case_recordings.h"
#include "judge/checks/checks.h"
#include "judge/drive_sensors.h"
#include "judge/recording_meaning.h"
#include "judge/verdict.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "cam-timing";
constexpr int kFewCycles = 8, kFewestTyped = 3;

std::string edge_words(const CamAgainstNominal& seen) {
  const double edge = seen.first_edge - 720 * std::floor(seen.first_edge / 720);
  return fmt::format("edge at {:.1f}° after the gap, {}", edge, phase_words(seen.phase));
}

std::string change_words(const CamHistory& now, const CamHistory& before) {
  const double change = now.seen->against.phase - before.seen->against.phase;
  const double U = 2 * std::hypot(now.seen->against.statistical, before.seen->against.statistical);
  const std::string of =
      fmt::format("{} ({})", before.in->entry->id, edge_words(before.seen->against));
  if (std::abs(change) <= U) return fmt::format("as in {}, within {:.1f}°", of, U);
  return fmt::format("{:.1f}° {} than in {}", std::abs(change), change > 0 ? "earlier" : "later",
                     of);
}

LimitInUse window_limit(const CheckInput& input, const CamSensor& sensor) {
  const double window = sensor.window->value.si();
  WrittenAnyRange range;
  range.value = {Kind::crank_angle, -window, window, &default_unit(Kind::crank_angle), 1};
  LimitInUse limit = limit_from(range, sensor.source, input.drive);
  limit.applies_to = AppliesTo::mean;
  limit.checked_by = sensor.cross_checked_by.value_or("");
  limit.shown = fmt::format("within {:.1f}° of {} after the gap, either way",
                            in_crank_deg(sensor.window->value), sensor.edges.front().at.text);
  return limit;
}

// What the phaser alone could do to the phase as it was recorded.
bool phaser_could_explain(const PhaseEvidence& cam, const CamAgainstNominal& seen, double window) {
  if (!cam.travel_from || !cam.travel_to) return true;  // how far it goes is not known
  return seen.phase > *cam.travel_from - window && seen.phase < *cam.travel_to + window;
}

void apply_phaser(Finding& finding, const Camshaft& camshaft, const CamHistory& now,
                  const PhaseEvidence& cam, double window) {
  const auto at = now.in->body->phasers.value_or(PhasersAt::unknown);
  if (at_base(at)) return;
  if (camshaft.phaser && finding.verdict == Verdict::fail && at == PhasersAt::unknown &&
      !phaser_could_explain(cam, now.seen->against, window)) {
    finding.why += "; no position of the phaser explains it";
    return;
  }
  finding.verdict = Verdict::open;
  finding.open_because =
      at == PhasersAt::commanded ? OpenBecause::outside_model : OpenBecause::not_measured;
  finding.why = fmt::format(
      "{}: {}", edge_words(now.seen->against),
      at == PhasersAt::commanded ? "recorded with the phaser commanded; the window is for its base"
      : camshaft.phaser          ? "whether the phaser stood at its base was not entered"
                        : "whether it has a phaser, and where that stood, was not entered");
  finding.next = {at == PhasersAt::commanded
                      ? "record again with the phaser at its base, actuator not driven"
                      : "enter where the phaser stood and how that was known, or record again with "
                        "the actuator not driven"};
}

void apply_doubts(Finding& finding, const CheckInput& input, const CamHistory& now) {
  const auto open = [&](OpenBecause because, const std::string& why, std::string next) {
    finding.verdict = Verdict::open;
    finding.open_because = because;
    finding.why = fmt::format("{}: {}", edge_words(now.seen->against), why);
    finding.next = {std::move(next)};
  };
  if (!now.in->contradictions.empty())
    open(OpenBecause::implausible, now.in->contradictions.front(),
         "make sure of the variant, and of the channel that the crank is on");
  const CamAgainstNominal& seen = now.seen->against;
  if (seen.detail.cycles.empty() && seen.other_places != 0 &&
      std::abs(seen.other_places) < std::abs(seen.phase))
    open(OpenBecause::implausible,
         fmt::format("by another edge of its wheel it would be {}: which edge was read?",
                     phase_words(seen.other_places)),
         "read the edge that the definition names first, or say which one it was");
  if (now.in->decoded && !now.in->decoded->cycle_resolved)
    open(OpenBecause::outside_model, "angles are known modulo 360° only",
         "record a camshaft's sensor whose wheel tells the turns of the cycle apart");
  if (finding.verdict == Verdict::pass && now.in->decoded)
    if (const std::string why = pass_forbidden(*now.in->decoded, now.seen->against); !why.empty())
      open(OpenBecause::too_close, why, "record eight cycles or more, the engine running steadily");
  if (finding.verdict == Verdict::pass && now.seen->against.cycles < kFewestTyped)
    open(OpenBecause::too_close,
         fmt::format("{} readings; {} are needed", now.seen->against.cycles, kFewestTyped),
         "read the edge in more cycles, or record it");
  if (!now.seen->doubtful.empty())
    open(OpenBecause::implausible, now.seen->doubtful, "mend sensor and wiring, and record again");
  if (now.seen->against.change != 0) {
    finding.why += fmt::format("; it moved by {:.1f}° {} (crank) inside the recording and stayed",
                               std::abs(now.seen->against.change),
                               now.seen->against.change > 0 ? "earlier" : "later");
    finding.follows.push_back("do not go on running it before it is known what moved");
  }
  if (const Entry* opened = opened_after(input, now.in->entry))
    finding.why += fmt::format("; as found, before the drive was opened ({})", opened->id);
}

// A camshaft does not come back by itself: the recording before says otherwise, both were taken at
// the phaser's base, and nobody opened the drive between them.
bool cannot_heal(const CheckInput& input, const std::vector<CamHistory>& history) {
  constexpr double kMoved = 5;  // degrees
  const CamHistory &now = history[0], &before = history[1];
  const auto base = [](const CamHistory& h) {
    return h.in->body->phasers && at_base(*h.in->body->phasers);
  };
  const double apart = std::abs(now.seen->against.phase - before.seen->against.phase);
  const double u = std::hypot(now.seen->against.statistical, before.seen->against.statistical);
  const Entry* opened = opened_after(input, before.in->entry);
  return base(now) && base(before) && apart > kMoved + 3 * u &&
         (opened == nullptr || opened == opened_after(input, now.in->entry));
}

Finding judged(const CheckInput& input, const EnginePlace& place,
               const std::vector<CamHistory>& history) {
  const CamHistory& now = history.front();
  const CamSensor& sensor = *place.camshaft->sensor;
  Finding finding;
  if (!sensor.window) {
    finding =
        open_finding("", "", OpenBecause::not_in_drive,
                     fmt::format("{}: the drive gives no window", edge_words(now.seen->against)),
                     {"enter the maker's window; without one only a comparison is possible"});
  } else {
    const LimitInUse limit = window_limit(input, sensor);
    ValueInUse value;
    value.estimate.value = now.seen->against.phase * kRadiansPerDegree;
    value.estimate.u = phase_uncertainty(sensor, now.seen->against) * kRadiansPerDegree;
    value.repeat_sd = now.seen->against.sd * kRadiansPerDegree;
    value.n = now.seen->against.cycles;
    decide_finding(finding, value, std::nullopt, limit);
    const std::string seen = fmt::format("{} ± {:.1f}°", edge_words(now.seen->against),
                                         2 * value.estimate.u / kRadiansPerDegree);
    const std::string plain = fmt::format("{} against {}", finding.value->shown, limit.shown);
    if (finding.verdict != Verdict::open)
      finding.why = fmt::format("{}: proven {} the window of {} ± {:.1f}°", seen,
                                finding.verdict == Verdict::pass ? "inside" : "outside",
                                sensor.edges.front().at.text, in_crank_deg(sensor.window->value));
    else if (finding.why.starts_with(plain))
      finding.why.replace(0, plain.size(), seen);
    finding.value->shown = phase_words(now.seen->against.phase);
    if (finding.open_because == OpenBecause::too_close)
      finding.next = {"record longer, under steady conditions"};
    const auto cam = cam_of_drive(input.drive->drive, place.path);
    apply_phaser(finding, *place.camshaft, now, cam ? *cam : PhaseEvidence{},
                 in_crank_deg(sensor.window->value));
  }
  apply_doubts(finding, input, now);
  finding.evidence = {now.in->entry->id};
  if (history.size() > 1 && finding.verdict == Verdict::pass && cannot_heal(input, history)) {
    finding.verdict = Verdict::open;
    finding.open_because = OpenBecause::implausible;
    finding.next = {"find out which recording is wrong, or enter what was done between them"};
    finding.why += "; the recordings contradict each other, and nothing was done between them";
  }
  if (history.size() > 1) {
    finding.why += "; " + change_words(now, history[1]);
    // Compared across an opening, it is no ground of the verdict.
    if (opened_after(input, history[1].in->entry) == opened_after(input, now.in->entry))
      finding.evidence.push_back(history[1].in->entry->id);
  }
  if (now.seen->against.cycles < kFewCycles)
    finding.cautions.push_back(
        fmt::format("{} cycles only; eight or more are wanted", now.seen->against.cycles));
  if (now.seen->against.detail.systematic > 0)
    finding.budget.push_back(
        fmt::format("few teeth on the crank's wheel: ± {:.1f}°, the same in every cycle",
                    2 * now.seen->against.detail.systematic));
  finding.budget.push_back(fmt::format("{} cycles, standard deviation {:.2f}°",
                                       now.seen->against.cycles, now.seen->against.sd));
  if (finding.verdict == Verdict::fail)
    finding.follows.push_back("do not start the engine before it is known what it means");
  return finding;
}

Finding unusable(const RecordingSeen& recording) {
  Finding finding = open_finding(std::string(kCheck), "recording " + recording.entry->id,
                                 OpenBecause::implausible, recording.problem, {recording.decides});
  finding.evidence = {recording.entry->id};
  return finding;
}

}  // namespace

std::vector<Finding> cam_timing(const CheckInput& input) {
  std::vector<Finding> findings;
  const std::vector<RecordingSeen>& recordings = *input.recordings;
  if (recordings.empty()) return findings;
  for (const RecordingSeen& recording : recordings)
    if (!recording.problem.empty()) findings.push_back(unusable(recording));
  bool any_nominal = false;
  const Entry* opened = nullptr;
  for (const EnginePlace& place : input.places) {
    if (place.type != PlaceType::camshaft || place.camshaft == nullptr || !place.camshaft->sensor ||
        place.camshaft->sensor->edges.empty())
      continue;
    any_nominal = true;
    const auto history = history_of(recordings, place.path);
    Finding finding =
        history.empty()
            ? open_finding("", "", OpenBecause::not_measured, "no usable recording of it",
                           {"record its sensor together with the crank's"})
            : judged(input, place, history);
    finding.check = kCheck;
    finding.subject = place.path;
    if (!history.empty())
      if (const Entry* since = opened_after(input, history.front().in->entry)) {
        finding.subject += ", as found";
        opened = since;
      }
    finding.cautions.push_back(
        "running engine: keep hands, hair and cables clear of belts and fans");
    findings.push_back(std::move(finding));
  }
  if (opened != nullptr) {
    Finding finding = open_finding(
        std::string(kCheck), std::string(kAsPutTogether), OpenBecause::not_measured,
        fmt::format("not recorded since the drive was opened ({})", opened->id),
        {"record again once it runs, under the same conditions, phasers at their base"});
    finding.evidence = {opened->id};
    findings.push_back(std::move(finding));
  }
  if (!any_nominal && recordings.back().problem.empty()) {
    Finding finding = open_finding(
        std::string(kCheck), "recording " + recordings.back().entry->id, OpenBecause::not_in_drive,
        "no edges known to be right to compare with: only bank against bank, before against after, "
        "and whether a phase holds; an error that is equal on all cams is invisible",
        {"enter the maker's sensor edges, or learn them from engines known to be good"});
    finding.evidence = {recordings.back().entry->id};
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace tautmark::checks
