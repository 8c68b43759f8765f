// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "recording/health_parts.h"
#include "recording/slots.h"

namespace tautmark {
namespace {

constexpr double kManyMissed = 0.02;  // of all teeth: bad
constexpr double kOftenMissed = 0.1;  // of the turns, one tooth: bad
constexpr double kGapShift = 1;       // degrees beside a gap

// Tooth of the wheel at an unwrapped angle of a knot.
std::size_t tooth_at(const Wheel& wheel, double angle) {
  const double in_turn = angle - 360 * std::floor((angle + 1e-6) / 360);
  const auto at = std::lower_bound(wheel.angles.begin(), wheel.angles.end(), in_turn - 1e-6);
  return static_cast<std::size_t>(at - wheel.angles.begin()) % wheel.angles.size();
}

// Steps between the teeth as the signal shows them, degrees; empty: too few whole turns.
std::vector<double> shown_steps(const DecodedCrank& crank) {
  const std::size_t teeth = crank.wheel.angles.size();
  std::vector<std::vector<double>> runs;
  for (const Knots& knots : crank.pieces) {
    std::vector<double> run;
    std::size_t last = 0;
    const auto close = [&] {
      if (run.size() > 3 * teeth) runs.push_back(run);
      run.clear();
    };
    for (std::size_t i = 0; i < knots.time.size(); ++i) {
      const std::size_t tooth = tooth_at(crank.wheel, knots.angle[i]);
      if (!run.empty() && tooth != (last + 1) % teeth) close();
      if (!run.empty() || tooth == 0) run.push_back(knots.time[i]);
      last = tooth;
    }
    close();
  }
  return runs.empty() ? std::vector<double>{} : step_shares(runs, static_cast<int>(teeth));
}

// Teeth beside a gap that the signal shows elsewhere, after the speed around the gap.
void add_gap_asymmetry(const SignalTrains& trains, const DecodedCrank& crank,
                       recording::Findings& out) {
  const Wheel& wheel = crank.wheel;
  const std::size_t n = wheel.angles.size();
  if (wheel.slots == 0 || n < 10) return;
  const std::vector<double> steps = shown_steps(crank);
  if (steps.size() != n || !std::all_of(steps.begin(), steps.end(), [](double s) { return s > 0; }))
    return;
  const double slot = 360.0 / wheel.slots;
  const auto slots_of = [&](std::size_t k) {
    const double step = (k + 1 < n ? wheel.angles[k + 1] : 360) - wheel.angles[k];
    return std::round(step / slot);
  };
  for (std::size_t g = 0; g < n; ++g) {
    if (slots_of(g) < 1.5) continue;
    const std::size_t b1 = (g + n - 1) % n, b2 = (g + n - 2) % n, a1 = (g + 1) % n,
                      a2 = (g + 2) % n;
    if (slots_of(b1) > 1.5 || slots_of(b2) > 1.5 || slots_of(a1) > 1.5 || slots_of(a2) > 1.5)
      continue;
    const double scale = slot / ((steps[b2] + steps[a2]) / 2);
    const double before = scale * steps[b1], gap = scale * steps[g], after = scale * steps[a1];
    const double worst = std::max(
        {std::abs(before - slot), std::abs(after - slot), std::abs(gap - slots_of(g) * slot)});
    if (worst < kGapShift) continue;
    out.push_back(
        {HealthKind::gap_asymmetry,
         HealthSeverity::note,
         crank.channel,
         static_cast<int>(g) + 1,
         worst,
         "°",
         {},
         fmt::format("{}: the step before the gap after tooth {} is {:.1f}°, the gap {:.1f}°, the "
                     "step after it {:.1f}° instead of {:.4g}, {:.4g} and {:.4g}°: the sensor "
                     "shifts the teeth beside the gap; a cam edge there is off by as much",
                     recording::channel_words(trains, crank.channel), g + 1, before, gap, after,
                     slot, slots_of(g) * slot, slot)});
  }
}

// Teeth of `expected` that the found wheel lacks, from 1; empty: it is not that wheel less teeth.
std::vector<std::string> teeth_lacking(const Wheel& found, const Wheel& expected) {
  std::vector<std::string> best;
  if (found.slots == 0 || found.slots != expected.slots) return best;
  const auto slot_of = [&](double angle) {
    return static_cast<int>(std::lround(angle * expected.slots / 360)) % expected.slots;
  };
  for (int turn = 0; turn < expected.slots; ++turn) {
    std::vector<bool> present(static_cast<std::size_t>(expected.slots), false);
    for (const double angle : found.angles)
      present[static_cast<std::size_t>((slot_of(angle) + turn) % expected.slots)] = true;
    std::vector<std::string> lacking;
    std::size_t matched = 0;
    for (std::size_t t = 0; t < expected.angles.size(); ++t) {
      if (present[static_cast<std::size_t>(slot_of(expected.angles[t]))])
        ++matched;
      else
        lacking.push_back(std::to_string(t + 1));
    }
    if (matched != found.angles.size()) continue;
    if (best.empty() || lacking.size() < best.size()) best = std::move(lacking);
  }
  return best;
}

void add_wheel_finding(const SignalTrains& trains, const DecodedCrank& crank, const Wheel& expected,
                       recording::Findings& out) {
  if (crank.wheel.name == expected.name) return;
  const std::string who = recording::channel_words(trains, crank.channel);
  const std::vector<std::string> lacking = teeth_lacking(crank.wheel, expected);
  if (!lacking.empty() && 4 * lacking.size() < expected.angles.size()) {
    out.push_back(
        {HealthKind::missing_tooth,
         HealthSeverity::bad,
         crank.channel,
         std::stoi(lacking.front()),
         static_cast<double>(lacking.size()),
         "teeth",
         {},
         fmt::format("{}: {} instead of {}: tooth {} missing in every turn: broken off or "
                     "never seen; the zero may be another one",
                     who, crank.wheel.name, expected.name, joined(lacking, ", "))});
    return;
  }
  out.push_back(
      {HealthKind::other_wheel,
       HealthSeverity::bad,
       crank.channel,
       0,
       0,
       "",
       {},
       fmt::format("{}: the wheel is {}, expected {}: another wheel, another engine or the "
                   "wrong channel",
                   who, crank.wheel.name, expected.name)});
}

void add_counts(const SignalTrains& trains, const Decoded& decoded, recording::Findings& out) {
  const DecodedCrank& crank = decoded.crank;
  const ToothFaults faults = tooth_faults(trains, crank);
  const std::string who = recording::channel_words(trains, crank.channel);
  double passes = 0;
  for (const int count : faults.passes) passes += count;
  const auto add = [&](HealthKind kind, const std::vector<int>& counts, const char* what) {
    int all = 0;
    for (const int count : counts) all += count;
    if (all == 0) return;
    HealthFinding f{kind,
                    HealthSeverity::note,
                    crank.channel,
                    0,
                    all / passes,
                    "of the teeth",
                    {},
                    fmt::format("{}: {} {} in {:.0f} teeth", who, all, what, passes)};
    if (f.value > kManyMissed) f.severity = HealthSeverity::bad;
    if (const auto culprit = recording::culprit_of(counts)) {
      const int own = counts[culprit->index], turns = faults.passes[culprit->index];
      f.number = static_cast<int>(culprit->index) + 1;
      f.chance = culprit->chance;
      f.value = static_cast<double>(own) / std::max(1, turns);
      f.unit = "of the turns";
      if (f.value > kOftenMissed) f.severity = HealthSeverity::bad;
      f.words += fmt::format(
          ", {} of them at tooth {} ({:.1f}°), in {} of {} turns: that tooth is "
          "bent, broken, dirty or magnetised",
          own, f.number, crank.wheel.angles[culprit->index], own, turns);
    } else {
      f.words += ", at no tooth more than at others: sensor gap, wiring or noise";
    }
    out.push_back(std::move(f));
  };
  add(HealthKind::dropped_teeth, faults.missed, "edges dropped");
  add(HealthKind::extra_edges, faults.extra, "edges too many");
}

}  // namespace

ToothFaults tooth_faults(const SignalTrains& trains, const DecodedCrank& crank) {
  const std::size_t teeth = crank.wheel.angles.size();
  ToothFaults faults;
  faults.passes.assign(teeth, 0);
  faults.missed.assign(teeth, 0);
  faults.extra.assign(teeth, 0);
  const SignalTrain* train = train_of(trains, crank.channel);
  if (train == nullptr) return faults;
  const std::vector<double> times = times_of(*train, crank.polarity);
  for (const Knots& knots : crank.pieces) {
    auto edge = std::lower_bound(times.begin(), times.end(), knots.time.front());
    for (std::size_t i = 0; i < knots.time.size(); ++i) {
      const std::size_t tooth = tooth_at(crank.wheel, knots.angle[i]);
      ++faults.passes[tooth];
      if (i + 1 == knots.time.size()) break;
      const std::size_t next = tooth_at(crank.wheel, knots.angle[i + 1]);
      const double way = knots.angle[i + 1] - knots.angle[i];
      if (way > 359) continue;  // the count was lost
      for (std::size_t t = (tooth + 1) % teeth; t != next; t = (t + 1) % teeth) {
        ++faults.passes[t];
        ++faults.missed[t];
      }
      while (edge != times.end() && *edge <= knots.time[i]) ++edge;
      for (; edge != times.end() && *edge < knots.time[i + 1]; ++edge) ++faults.extra[tooth];
    }
  }
  return faults;
}

void recording::add_tooth_findings(const SignalTrains& trains, const Decoded& decoded,
                                   const HealthOptions& options, Findings& out) {
  add_counts(trains, decoded, out);
  add_gap_asymmetry(trains, decoded.crank, out);
  if (options.wheel) add_wheel_finding(trains, decoded.crank, *options.wheel, out);
  if (options.reference_crank_polarity * decoded.crank.polarity < 0)
    out.push_back({HealthKind::polarity_swap,
                   HealthSeverity::bad,
                   decoded.crank.channel,
                   0,
                   0,
                   "",
                   {},
                   fmt::format("{}: the {} edges are the sharp ones, in the reference the {}: the "
                               "two wires may be swapped; every cam angle moves by the width of a "
                               "tooth",
                               channel_words(trains, decoded.crank.channel),
                               decoded.crank.polarity > 0 ? "rising" : "falling",
                               decoded.crank.polarity > 0 ? "falling" : "rising")});
}

}  // namespace tautmark
