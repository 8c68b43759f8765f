// SPDX-License-Identifier: Apache-2.0
#include "measure/plausibility.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "measure/all_finite.h"
#include "measure/distribution.h"
#include "measure/statistics.h"
#include "measure/uncertainty.h"

namespace tautmark {
namespace {

constexpr std::size_t kRepeatsToCompare = 3;
constexpr std::size_t kPositionsToCompare = 2;
// The repeatability of the instrument list is conservative; a steady hand scatters half as much.
constexpr double kSteadyHand = 0.5;
constexpr double kRareByChance = 0.05;
constexpr double kFarOutside = 1.5;  // times the expected range before a slip is looked for
constexpr std::size_t kDriftReadings = 20;
constexpr double kOnePercent = 2.326;
constexpr double kOutlier = 3.5;
constexpr double kMadToSd = 1.4826;

struct Range {
  double lower;
  double upper;
};

// What such a quantity can be at all on or near an engine, in SI. Wide on purpose.
Range physical_range(Kind kind) {
  constexpr double kTurn = 2 * std::numbers::pi;
  switch (kind) {
    case Kind::length:
      return {-5, 5};  // differences and interference are negative
    case Kind::crank_angle:
      return {-100 * kTurn, 100 * kTurn};
    case Kind::cam_angle:
      return {-50 * kTurn, 50 * kTurn};
    case Kind::angle:
      return {-100 * kTurn, 100 * kTurn};
    case Kind::temperature:
      return {200, 1600};  // exhaust gas at the top
    case Kind::temperature_difference:
      return {-1400, 1400};
    case Kind::pressure:
      return {-101.4e3, 300e6};  // vacuum below atmosphere; fuel rail
    case Kind::torque:
      return {-5000, 5000};
    case Kind::force:
      return {-1e6, 1e6};
    case Kind::rotational_speed:
      return {-500, 500};  // 30 000 1/min
    case Kind::time:
      return {0, 1e9};
    case Kind::volume:
      return {0, 1};
    case Kind::ratio:
      return {-10, 10};
    case Kind::expansion:
      return {-10e-6, 200e-6};
    case Kind::frequency:
      return {0, 1e10};  // clock of a recorder
    case Kind::voltage:
      return {-100e3, 100e3};  // ignition
    case Kind::kinematic_viscosity:
      return {0.3e-6, 1};
    case Kind::dynamic_viscosity:
      return {0.2e-3, 1e3};
    case Kind::density:
      return {500, 1500};
    case Kind::flow:
      return {-0.1, 0.1};
  }
  return {0, 0};
}

struct Slip {
  double factor;
  std::string_view words;
};

std::vector<Slip> slips(Kind kind) {
  std::vector<Slip> result = {
      {10, "one decimal place"}, {100, "two decimal places"}, {1000, "three decimal places"}};
  if (kind == Kind::length) {
    result.push_back({25.4, "inch and millimeter"});
    result.push_back({25400, "inch and micrometer"});
  }
  if (kind == Kind::pressure) result.push_back({6.894757, "psi and kPa"});
  if (kind == Kind::torque) {
    result.push_back({8.850746, "lbf·in and N·m"});
    result.push_back({12, "lbf·in and lbf·ft"});
  }
  if (kind == Kind::crank_angle || kind == Kind::cam_angle) {
    result.push_back({2, "crank and cam degrees"});
  }
  return result;
}

PlausibilityNote note(PlausibilityCode code, std::string sentence,
                      std::optional<int> position = std::nullopt,
                      std::optional<int> reading = std::nullopt) {
  return {.code = code, .sentence = std::move(sentence), .position = position, .reading = reading};
}

// "reading 3 at position 2", or just "reading 3" where there is one position.
std::string place_text(const ReadingSet& set, std::size_t position, std::size_t reading) {
  if (set.positions.size() == 1) return fmt::format("reading {}", reading + 1);
  return fmt::format("reading {} at position {}", reading + 1, position + 1);
}

bool is_known(double value) { return std::isfinite(value) && value > 0; }

// P(n readings show the same step) when the true value lies in the middle of a step, which makes
// equal readings as likely as they get.
double chance_of_equal(double n, double step_over_sd) {
  double chance = 0;
  for (int step = 0; step <= 50; ++step) {
    const double p = student_probability_between((step - 0.5) * step_over_sd,
                                                 (step + 0.5) * step_over_sd, kInfiniteNu);
    chance += (step == 0 ? 1 : 2) * std::pow(p, n);
  }
  return chance;
}

void add_identical(const ReadingSet& set, std::vector<PlausibilityNote>& notes) {
  if (!is_known(set.resolution) || !is_known(set.repeatability_sd)) return;
  const double step_over_sd = set.resolution / (kSteadyHand * set.repeatability_sd);
  double chance = 1;
  std::size_t repeated = 0;
  for (const std::vector<double>& repeats : set.positions) {
    if (repeats.size() < kRepeatsToCompare) continue;
    const bool are_equal =
        std::all_of(repeats.begin(), repeats.end(), [&](double x) { return x == repeats.front(); });
    if (!are_equal) return;
    ++repeated;
    chance *= chance_of_equal(static_cast<double>(repeats.size()), step_over_sd);
  }
  if (repeated < kPositionsToCompare || chance > kRareByChance) return;
  notes.push_back(note(
      PlausibilityCode::identical_readings,
      fmt::format("every repeat at {} positions is equal to the last digit, although this gauge "
                  "should show some scatter: were they read one by one, or copied?",
                  repeated)));
}

// Inside the range after its ends were moved outward by the factor `widened`. An end at or beyond
// zero has no factor of its own and moves as far as the larger end.
bool is_inside(double x, const Range& range, double widened) {
  const double spread = (widened - 1) * std::max(std::abs(range.lower), std::abs(range.upper));
  const double lower = range.lower > 0 ? range.lower / widened : range.lower - spread;
  const double upper = range.upper < 0 ? range.upper / widened : range.upper + spread;
  return x >= lower && x <= upper;
}

void add_slip(const ReadingSet& set, std::size_t position, std::vector<PlausibilityNote>& notes) {
  const Limits& expected = set.expected;
  if (!expected.lower || !expected.upper) return;
  const Range range{*expected.lower, *expected.upper};
  if (!measure::all_finite({range.lower, range.upper}) || !(range.lower <= range.upper)) return;
  const Result<Summary> summary = summarize(set.positions[position]);
  if (!summary || summary->mean == 0 || is_inside(summary->mean, range, kFarOutside)) return;

  // The smallest correction first: a range as wide as a decade takes more than one.
  std::vector<Slip> candidates = slips(set.kind);
  std::sort(candidates.begin(), candidates.end(),
            [](const Slip& a, const Slip& b) { return a.factor < b.factor; });
  const std::string who = set.positions.size() == 1
                              ? std::string("the value is")
                              : fmt::format("the value at position {} is", position + 1);
  for (const Slip& slip : candidates) {
    const bool too_large = is_inside(summary->mean / slip.factor, range, 1);
    const bool too_small = is_inside(summary->mean * slip.factor, range, 1);
    if (!too_large && !too_small) continue;
    notes.push_back(
        note(PlausibilityCode::unit_slip,
             fmt::format("{} far outside what is expected, but would fit if it were "
                         "{:.6g} times {}: {} mixed up?",
                         who, slip.factor, too_large ? "smaller" : "larger", slip.words),
             static_cast<int>(position + 1)));
    return;
  }
}

void add_not_physical(const ReadingSet& set, std::size_t position,
                      std::vector<PlausibilityNote>& notes) {
  const Range range = physical_range(set.kind);
  const std::vector<double>& repeats = set.positions[position];
  for (std::size_t i = 0; i < repeats.size(); ++i) {
    const double x = repeats[i];
    if (x >= range.lower && x <= range.upper) continue;  // NaN is in no range
    notes.push_back(note(
        PlausibilityCode::not_physical,
        fmt::format("{} {}", place_text(set, position, i),
                    std::isfinite(x) ? "is outside anything such a quantity can be on an engine"
                                     : "is not a number"),
        static_cast<int>(position + 1), static_cast<int>(i + 1)));
  }
}

void add_drift(const ReadingSet& set, std::size_t position, std::vector<PlausibilityNote>& notes) {
  const std::vector<double>& repeats = set.positions[position];
  if (repeats.size() < kDriftReadings) return;
  const Result<Summary> summary = summarize(repeats);
  if (!summary || !summary->lag1) return;
  const auto n = static_cast<double>(repeats.size());
  if (*summary->lag1 <= -1 / n + kOnePercent / std::sqrt(n)) return;
  notes.push_back(note(PlausibilityCode::drift,
                       fmt::format("{} readings creep instead of scattering (lag-1 "
                                   "autocorrelation {:.2f}): temperature, zero, or a moving part?",
                                   repeats.size(), *summary->lag1),
                       static_cast<int>(position + 1)));
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t half = values.size() / 2;
  return values.size() % 2 == 1 ? values[half] : values[half - 1] / 2 + values[half] / 2;
}

void add_outliers(const ReadingSet& set, std::size_t position,
                  std::vector<PlausibilityNote>& notes) {
  const std::vector<double>& repeats = set.positions[position];
  if (repeats.size() < 3 || !measure::all_finite(repeats)) return;
  const double center = median(repeats);
  std::vector<double> away;
  away.reserve(repeats.size());
  for (const double x : repeats) away.push_back(std::abs(x - center));
  double scatter = kMadToSd * median(away);
  if (is_known(set.repeatability_sd)) scatter = std::max(scatter, set.repeatability_sd);
  if (is_known(set.resolution)) scatter = std::max(scatter, resolution_u(set.resolution));
  // Rounding of typed decimals is no scatter: 24.97 and 24.970 may differ in the last bit.
  scatter = std::max(scatter, 1e-12 * std::abs(center));
  for (std::size_t i = 0; i < repeats.size(); ++i) {
    if (away[i] <= kOutlier * scatter) continue;
    notes.push_back(note(PlausibilityCode::outlier,
                         fmt::format("{} lies far from the others: it is kept; measure it again",
                                     place_text(set, position, i)),
                         static_cast<int>(position + 1), static_cast<int>(i + 1)));
  }
}

bool fits(double x, const Limits& limits) {
  return (limits.lower || limits.upper) && (!limits.lower || x >= *limits.lower) &&
         (!limits.upper || x <= *limits.upper);
}

}  // namespace

std::string_view plausibility_code_text(PlausibilityCode code) {
  switch (code) {
    case PlausibilityCode::identical_readings:
      return "identical readings";
    case PlausibilityCode::unit_slip:
      return "unit slip";
    case PlausibilityCode::swapped:
      return "swapped";
    case PlausibilityCode::not_physical:
      return "not physical";
    case PlausibilityCode::drift:
      return "drift";
    case PlausibilityCode::outlier:
      return "outlier";
  }
  return "";
}

std::vector<PlausibilityNote> plausibility_notes(const ReadingSet& readings) {
  std::vector<PlausibilityNote> notes;
  add_identical(readings, notes);
  for (const auto add : {add_slip, add_not_physical, add_drift, add_outliers}) {
    for (std::size_t i = 0; i < readings.positions.size(); ++i) add(readings, i, notes);
  }
  return notes;
}

std::optional<PlausibilityNote> swapped_bore_and_journal(double bore, double journal,
                                                         const Limits& expected_bore,
                                                         const Limits& expected_journal) {
  if (!measure::all_finite({bore, journal})) return std::nullopt;
  const bool cross_fits = fits(bore, expected_journal) && fits(journal, expected_bore);
  const bool straight_fits = fits(bore, expected_bore) && fits(journal, expected_journal);
  if (cross_fits && !straight_fits) {
    return note(PlausibilityCode::swapped,
                "bore and journal fit each other's expected size: were the two swapped?");
  }
  if (bore < journal) {
    return note(PlausibilityCode::swapped,
                "the bore is smaller than the journal: were the two swapped, or is one misread?");
  }
  return std::nullopt;
}

}  // namespace tautmark
