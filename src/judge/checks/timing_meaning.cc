// SPDX-License-Identifier: Apache-2.0
// What the cam phases mean together: right, wear, a whole tooth (which cam, how many, which way),
// both, a slipped sensor wheel, the crank's reference, a phaser off its base. The windows decide
// pass or fail of each camshaft; here nothing passes that a window did not pass, and a camshaft
// inside its window can still show wear.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "judge/case_recordings.h"
#include "judge/checks/checks.h"
#include "judge/drive_sensors.h"
#include "judge/recording_meaning.h"
#include "judge/verdict.h"
#include "recording/evidence.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "timing-meaning";
constexpr double kAlike = 1.5;  // degrees: all cams moved by nearly the same angle
constexpr double kListed = 0.01;

struct Evidence {
  std::vector<PhaseEvidence> cams;
  std::vector<std::string> entries;
  bool base_known = true;
  bool one_recording = true;
  bool as_found = false;        // the drive was opened since
  bool all_read = true;         // false: a camshaft is not known, or its recording not to be judged
  std::vector<double> zeros{};  // angles that the crank's wheel leaves open
};

Evidence gathered(const CheckInput& input, const std::vector<RecordingSeen>& recordings) {
  Evidence out;
  const Drive& drive = input.drive->drive;
  for (const EnginePlace& place : input.places) {
    if (place.type != PlaceType::camshaft || place.camshaft == nullptr) continue;
    const auto history = history_of(recordings, place.path);
    auto cam = cam_of_drive(drive, place.path);
    if (history.empty() || !cam || !history.front().in->contradictions.empty() ||
        !history.front().seen->doubtful.empty()) {
      out.all_read = false;
      continue;
    }
    const CamAgainstNominal& seen = history.front().seen->against;
    cam->phase = seen.phase;
    cam->phaser_at_base = at_base(history.front().in->body->phasers.value_or(PhasersAt::unknown));
    cam->statistical = seen.statistical;
    cam->tolerance = std::hypot(cam->tolerance, seen.detail.systematic);
    out.cams.push_back(std::move(*cam));
    const Entry* entry = history.front().in->entry;
    if (std::find(out.entries.begin(), out.entries.end(), entry->id) == out.entries.end())
      out.entries.push_back(entry->id);
    out.one_recording = out.one_recording && out.entries.size() == 1;
    if (const auto& decoded = history.front().in->decoded)
      for (const double zero : common_angles(decoded->crank.wheel))
        if (std::find(out.zeros.begin(), out.zeros.end(), zero) == out.zeros.end())
          out.zeros.push_back(zero);
    out.as_found = out.as_found || opened_after(input, entry) != nullptr;
    if (!at_base(history.front().in->body->phasers.value_or(PhasersAt::unknown)))
      out.base_known = false;
  }
  return out;
}

std::string answer_words(const MeaningAnswer& answer) {
  return fmt::format("{} ({})", answer.words, probability_text(answer.posterior));
}

// What each answer asks for.
std::vector<std::string> what_next(const MeaningAnswer& answer) {
  switch (answer.meaning) {
    case Meaning::right:
      return {};
    case Meaning::elongation:
      return {"measure the chain over a counted number of links, three places",
              "read the tensioner's extension before it is relieved"};
    case Meaning::jump:
    case Meaning::jump_and_elongation:
      return {"do not start it; open, and count the links between the marks before anything moves",
              "find out why: tensioner, guides, chain"};
    case Meaning::slipped:
      return {
          "whole teeth do not explain it: look at the sensor wheel, the joint of camshaft and "
          "phaser with its dowel, and the phaser's lock",
          "make sure that the angle is in crank degrees: twice as much would be cam degrees"};
    case Meaning::crank_reference:
      return {
          "prove top dead center by a positive stop, then look at key, crank sprocket and the "
          "crank's sensor wheel"};
    case Meaning::phaser:
      return {"record again with the actuator not driven; then prove the phaser's lock by hand"};
  }
  return {};
}

bool all_alike(const Evidence& evidence) {
  if (evidence.cams.size() < 2) return false;
  const auto [low, high] = std::minmax_element(
      evidence.cams.begin(), evidence.cams.end(),
      [](const PhaseEvidence& a, const PhaseEvidence& b) { return a.phase < b.phase; });
  return high->phase - low->phase < kAlike && std::abs(high->phase) > 2 * kAlike;
}

// Verdicts of the camshafts by their windows: nothing passes here that did not pass there.
bool every(const std::vector<Finding>& findings, Verdict verdict) {
  return std::all_of(findings.begin(), findings.end(),
                     [&](const Finding& finding) { return finding.verdict == verdict; });
}
bool some(const std::vector<Finding>& findings, Verdict verdict) {
  return std::any_of(findings.begin(), findings.end(),
                     [&](const Finding& finding) { return finding.verdict == verdict; });
}

void set_verdict(Finding& finding, const Evidence& evidence, const MeaningReport& report,
                 const std::vector<Finding>& by_window) {
  const MeaningAnswer& first = report.answers.front();
  const auto open = [&](OpenBecause because) {
    finding.verdict = Verdict::open;
    finding.open_because = because;
  };
  if (report.none_fits) return open(OpenBecause::outside_model);
  if (!evidence.base_known && first.meaning != Meaning::jump &&
      first.meaning != Meaning::jump_and_elongation)
    return open(OpenBecause::not_measured);
  const bool harmless = is_harmless(report);
  if (!harmless && some(by_window, Verdict::fail) &&
      (report.separated || first.posterior > kLevel)) {
    finding.verdict = Verdict::fail;
    return;
  }
  if (!evidence.all_read) return open(OpenBecause::not_measured);
  if (harmless && every(by_window, Verdict::pass)) {
    finding.verdict = Verdict::pass;
    return;
  }
  open(OpenBecause::too_close);
}

}  // namespace

std::vector<Finding> timing_meaning(const CheckInput& input) {
  if (input.drive == nullptr) return {};
  const Evidence evidence = gathered(input, *input.recordings);
  if (evidence.cams.empty()) return {};
  const auto report = weigh_meanings(evidence.cams, kDefaultPriors, evidence.zeros);
  if (!report)
    return {open_finding(std::string(kCheck), "camshafts", OpenBecause::not_in_drive,
                         report.error().why)};
  Finding finding;
  finding.check = kCheck;
  finding.subject = evidence.as_found ? "camshafts together, as found" : "camshafts together";
  finding.evidence = evidence.entries;
  std::vector<Finding> by_window = cam_timing(input);
  // The drive as put together is another question; a camshaft that was not read is none.
  std::erase_if(by_window, [](const Finding& cam) { return cam.subject == kAsPutTogether; });
  set_verdict(finding, evidence, *report, by_window);
  finding.limit = FindingLimit{};
  finding.limit->shown = "each camshaft inside its window";
  for (const Finding& cam : by_window)
    if (cam.limit) {
      finding.limit->origin = cam.limit->origin;
      finding.limit->source = cam.limit->source;
      finding.limit->checked_by = cam.limit->checked_by;
    }
  std::vector<std::string> seen, others;
  for (const PhaseEvidence& cam : evidence.cams)
    seen.push_back(fmt::format("{} {}", cam.cam, phase_words(cam.phase)));
  const MeaningAnswer& first = report->answers.front();
  for (std::size_t i = 1; i < report->answers.size(); ++i)
    if (report->answers[i].posterior >= kListed) others.push_back(answer_words(report->answers[i]));
  finding.why = fmt::format("{}: {}{}", joined(seen, "; "),
                            report->none_fits ? "none of the known causes fits; nearest: " : "",
                            answer_words(first));
  if (!others.empty())
    finding.why += fmt::format("{}{}",
                               report->separated ? "; less likely: "
                                                 : "; cannot be "
                                                   "separated from: ",
                               joined(others, ", "));
  finding.value = FindingValue{.value = first.posterior,
                               .unit = "1",
                               .U = 0,
                               .k = 2,
                               .shown = fmt::format("{} ({})", meaning_name(first.meaning),
                                                    probability_text(first.posterior))};
  if (finding.verdict == Verdict::pass) finding.follows.push_back(answer_words(first));
  finding.next = what_next(first);
  if (finding.verdict == Verdict::pass && first.meaning == Meaning::right)
    finding.next = {"nothing to be done for the timing; keep the recording as reference"};
  if (finding.verdict == Verdict::open && !report->separated && report->answers.size() > 1)
    for (std::string& more : what_next(report->answers[1])) finding.next.push_back(std::move(more));
  if (all_alike(evidence))
    finding.next.push_back(
        "all camshafts moved alike: wear moves them in the ratio of their strands, key or crank "
        "sensor wheel by one angle; a positive stop at top dead center decides");
  if (!evidence.base_known) finding.next.push_back("enter whether the phasers stood at their base");
  if (evidence.cams.size() == 1)
    finding.next.push_back(
        "record the other camshafts together with it: one alone cannot tell a "
        "tooth of its own from a cause common to all");
  if (!evidence.one_recording)
    finding.cautions.push_back("the camshafts were not recorded together");
  finding.sources = {
      "normal densities of the phases under each cause, one elongation for each chain; priors 0.68 "
      "right, 0.15 worn, 0.10 tooth, 0.05 sensor wheel, 0.02 tooth and wear, program default"};
  finding.budget = {"an equal and opposite error of crank wheel and chain is invisible"};
  return {finding};
}

}  // namespace tautmark::checks
