// SPDX-License-Identifier: Apache-2.0
// Does each camshaft hold its phase at constant command? Standard deviation and peak to peak of the
// actual angle against the drive's limits, under the limits' own conditions. Warm oil is a
// condition: cold oil hides a leaking phaser.
//
// A standard deviation s of n samples has the interval s √((n-1)/χ²) (ISO 2854, chi-squared); its
// standard uncertainty is taken as s/√(2 (n - 1)).
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/text.h"
#include "base/unit.h"
#include "judge/case_recordings.h"
#include "judge/checks/checks.h"
#include "judge/conditions.h"
#include "judge/verdict.h"
#include "recording/phase_statistics.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "phase-stability";

struct Samples {
  const Entry* entry = nullptr;
  double sd = 0, peak_to_peak = 0;  // degrees; negative: not given
  int n = 0;
  double step = 0.1;
  std::optional<Written<RotationalSpeed>> speed;
  std::optional<Written<Temperature>> oil_temperature;
};

Samples samples_of(const Entry& entry, const PhaseSamples& body) {
  Samples out{&entry, -1, -1, body.count.value_or(0), 0.1, body.speed, body.oil_temperature};
  if (body.actual) {
    std::vector<double> degrees;
    for (const AnyQuantity& value : body.actual->value.values)
      degrees.push_back(value.si / kRadiansPerDegree);
    const PhaseStatistics s = phase_statistics(degrees);
    out.n = s.count;
    if (s.count > 1) out.sd = s.sd, out.peak_to_peak = s.peak_to_peak;
    out.step = std::pow(10.0, -body.actual->value.values.front().decimals);
  } else {
    if (body.sd) out.sd = in_crank_deg(body.sd->value);
    if (body.peak_to_peak) out.peak_to_peak = in_crank_deg(body.peak_to_peak->value);
  }
  return out;
}

std::vector<Samples> samples_at(const CheckInput& input, std::string_view place) {
  std::vector<Samples> all;
  for (const Entry* entry : entries_in_order_of_work(*input.value))
    if (const auto* body = std::get_if<PhaseSamples>(&entry->body);
        body != nullptr && same_place(body->place, place))
      all.push_back(samples_of(*entry, *body));
  return all;
}

std::vector<ConditionCheck> conditions(const Fit& fit, const Samples& samples) {
  return {range_check(fit.speed, samples.speed, "engine speed", 0),
          range_check(fit.oil_temperature, samples.oil_temperature, "oil temperature", 0)};
}

// The last of those that meet the conditions best.
const Samples* best_of(const Fit& fit, const std::vector<Samples>& all, bool scatter) {
  const Samples* best = nullptr;
  int least = std::numeric_limits<int>::max();
  for (const Samples& samples : all) {
    if ((scatter ? samples.sd : samples.peak_to_peak) < 0) continue;
    const int bad = badness(conditions(fit, samples));
    if (bad > least) continue;
    least = bad;
    best = &samples;
  }
  return best;
}

std::string other_words(const std::vector<Samples>& all, const Samples& used, bool scatter) {
  std::vector<std::string> words;
  for (const Samples& other : all) {
    const double value = scatter ? other.sd : other.peak_to_peak;
    if (&other == &used || value < 0) continue;
    words.push_back(fmt::format(
        "{:.2g}°{}{} ({})", value, other.speed ? " at " + other.speed->text : std::string(),
        other.oil_temperature ? " with oil at " + other.oil_temperature->text : std::string(),
        other.entry->id));
  }
  return words.empty() ? std::string() : "; other conditions: " + joined(words, ", ");
}

Finding judged(const CheckInput& input, const EnginePlace& place, const Fit& fit,
               const std::vector<Samples>& all, bool scatter) {
  const Samples* used = best_of(fit, all, scatter);
  Finding finding;
  const auto limit = limit_for(input, fit.quantity, place);
  if (used == nullptr || !limit) {
    finding = open_finding("", "", OpenBecause::not_measured, "no samples at constant command",
                           {"watch the actual angle at constant command, ten samples or more"});
  } else if (used->n < 2) {
    finding = open_finding("", "", OpenBecause::not_measured,
                           "how many samples it is of was not entered", {"enter the count"});
    finding.evidence = {used->entry->id};
  } else {
    ValueInUse value;
    const double size = scatter ? used->sd : used->peak_to_peak;
    const double u = scatter ? std::hypot(used->sd / std::sqrt(2.0 * (used->n - 1)),
                                          used->step / std::sqrt(12.0))
                             : used->step / std::sqrt(6.0);
    value.estimate = {size * kRadiansPerDegree, u * kRadiansPerDegree, kInfiniteNu};
    value.repeat_sd = u * kRadiansPerDegree;
    decide_finding(finding, value, std::nullopt, *limit);
    if (finding.open_because == OpenBecause::too_close)
      finding.next = {"take more samples, 30 or more, at the same command"};
    apply_conditions(finding, conditions(fit, *used),
                     {.again = "watch it again at the stated speed, oil hot: cold oil hides it",
                      .enter = "enter speed and oil temperature"});
    finding.why += other_words(all, *used, scatter);
    finding.evidence = {used->entry->id};
    finding.budget = {fmt::format("{} samples", used->n)};
    if (finding.verdict == Verdict::fail)
      finding.follows = {
          "exchange the actuators bank to bank: does it stay?",
          "measure the pressure at the head port, and the clearance of the journal that feeds the "
          "phaser, before a phaser is ordered"};
  }
  finding.check = kCheck;
  finding.subject =
      fmt::format("{}, {}", place.path, scatter ? "standard deviation" : "peak to peak");
  return finding;
}

}  // namespace

std::vector<Finding> phase_stability(const CheckInput& input) {
  std::vector<Finding> findings;
  if (input.drive == nullptr) return findings;
  for (const EnginePlace& place : input.places) {
    if (place.type != PlaceType::camshaft) continue;
    const std::vector<Samples> all = samples_at(input, place.path);
    if (all.empty()) continue;
    bool any = false;
    for (const Measurand quantity : {Measurand::phase_scatter, Measurand::phase_peak_to_peak}) {
      const Fit* fit = fit_for(input.drive->drive, quantity, place);
      if (fit == nullptr) continue;
      any = true;
      findings.push_back(judged(input, place, *fit, all, quantity == Measurand::phase_scatter));
    }
    if (any) continue;
    Finding finding = open_finding(std::string(kCheck), place.path, OpenBecause::not_in_drive,
                                   "cam phase watched, but the drive gives no limit",
                                   {"enter the maker's limit with its conditions"});
    for (const Samples& samples : all) finding.evidence.push_back(samples.entry->id);
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace tautmark::checks
