// SPDX-License-Identifier: Apache-2.0
#include "measure/instrument.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "base/text.h"
#include "measure/statistics.h"

namespace tautmark {
namespace {

constexpr double kMicrometer = 1e-6;
constexpr double kDegree = kRadiansPerDegree;
constexpr double kPerMinute = 1.0 / 60;
constexpr double kLiter = 1e-3;

// name, kind, relative, expanded U (k = 2), repeatability, resolution, note
constexpr std::array kTypes = {
    InstrumentType{"micrometer 0.01", Kind::length, false, 6 * kMicrometer, 3 * kMicrometer,
                   5 * kMicrometer,
                   "graduated 0.01 mm, halves estimated; zero checked on a master"},
    InstrumentType{"micrometer 0.001", Kind::length, false, 4 * kMicrometer, 1.5 * kMicrometer,
                   1 * kMicrometer, "reads 0.001 mm; zero checked on a master"},
    InstrumentType{"caliper", Kind::length, false, 50 * kMicrometer, 20 * kMicrometer,
                   10 * kMicrometer, "digital or dial caliper; inside jaws read small in a bore"},
    InstrumentType{"bore gauge", Kind::length, false, 8 * kMicrometer, 4 * kMicrometer,
                   5 * kMicrometer, "two-point, set on a ring or a micrometer, rocked"},
    InstrumentType{"dial indicator", Kind::length, false, 20 * kMicrometer, 5 * kMicrometer,
                   10 * kMicrometer, "travel up to 10 mm, stem in line with the motion"},
    InstrumentType{"depth gauge", Kind::length, false, 30 * kMicrometer, 15 * kMicrometer,
                   10 * kMicrometer, "depth micrometer or digital depth gauge on a clean face"},
    InstrumentType{"feeler blades", Kind::length, false, 20 * kMicrometer, 15 * kMicrometer,
                   50 * kMicrometer, "steps of 0.05 mm; give the go and no-go blades where known"},
    InstrumentType{"plastic strip", Kind::length, false, 25 * kMicrometer, 10 * kMicrometer,
                   25 * kMicrometer, "clearance strip, read in steps of its printed scale"},
    InstrumentType{"ruler", Kind::length, false, 500 * kMicrometer, 200 * kMicrometer,
                   500 * kMicrometer, "steel ruler in millimeters, halves estimated"},
    InstrumentType{"unknown", Kind::length, false, 100 * kMicrometer, 50 * kMicrometer,
                   50 * kMicrometer, "nothing is known of the gauge"},

    InstrumentType{"degree wheel", Kind::crank_angle, false, 1.0 * kDegree, 0.3 * kDegree,
                   0.5 * kDegree, "graduated in degrees, top dead center found from both sides"},
    InstrumentType{"scan tool", Kind::crank_angle, false, 2.0 * kDegree, 0.5 * kDegree,
                   1.0 * kDegree, "angle as the control unit reports it"},
    InstrumentType{"unknown", Kind::crank_angle, false, 4.0 * kDegree, 1.0 * kDegree, 1.0 * kDegree,
                   "nothing is known of the instrument"},
    InstrumentType{"degree wheel", Kind::cam_angle, false, 1.0 * kDegree, 0.3 * kDegree,
                   0.5 * kDegree, "on the camshaft, cam degrees"},
    InstrumentType{"scan tool", Kind::cam_angle, false, 1.0 * kDegree, 0.3 * kDegree, 0.5 * kDegree,
                   "angle as the control unit reports it, cam degrees"},
    InstrumentType{"unknown", Kind::cam_angle, false, 3.0 * kDegree, 1.0 * kDegree, 1.0 * kDegree,
                   "nothing is known of the instrument"},
    InstrumentType{"angle gauge", Kind::angle, false, 4.0 * kDegree, 1.5 * kDegree, 2.0 * kDegree,
                   "tightening angle, gauge held by a magnetic arm"},
    InstrumentType{"protractor", Kind::angle, false, 1.0 * kDegree, 0.4 * kDegree, 0.5 * kDegree,
                   "on a clean straight face"},
    InstrumentType{"unknown", Kind::angle, false, 8.0 * kDegree, 3.0 * kDegree, 5.0 * kDegree,
                   "angle by eye or nothing known"},

    InstrumentType{"thermometer", Kind::temperature, false, 2.0, 0.5, 0.5,
                   "contact thermometer, left until it no longer moves"},
    InstrumentType{"infrared thermometer", Kind::temperature, false, 8.0, 2.0, 1.0,
                   "on a dull or taped spot; bright metal reads far too low"},
    InstrumentType{"scan tool", Kind::temperature, false, 5.0, 1.0, 1.0,
                   "sensor of the engine, not of the part"},
    InstrumentType{"unknown", Kind::temperature, false, 10.0, 2.0, 1.0,
                   "nothing is known of the instrument"},
    InstrumentType{"thermometer", Kind::temperature_difference, false, 2.0, 0.5, 0.5,
                   "one thermometer at both places"},
    InstrumentType{"unknown", Kind::temperature_difference, false, 10.0, 2.0, 1.0,
                   "nothing is known of the instrument"},

    InstrumentType{"pressure gauge", Kind::pressure, false, 20e3, 5e3, 10e3,
                   "mechanical, full scale 1 MPa, class 1.6; not for full scales above that"},
    InstrumentType{"pressure sensor", Kind::pressure, false, 10e3, 3e3, 1e3,
                   "electrical, full scale 1 MPa, zero checked"},
    InstrumentType{"compression gauge", Kind::pressure, false, 60e3, 30e3, 20e3,
                   "mechanical, full scale 2 MPa, with check valve"},
    InstrumentType{"scan tool", Kind::pressure, false, 30e3, 5e3, 5e3,
                   "sensor of the engine as the control unit reports it"},
    InstrumentType{"unknown", Kind::pressure, false, 50e3, 20e3, 20e3,
                   "nothing is known of the gauge"},

    InstrumentType{"torque wrench", Kind::torque, true, 0.06, 0.02, 0.01,
                   "click or dial type in the upper four fifths of its range"},
    InstrumentType{"electronic torque wrench", Kind::torque, true, 0.03, 0.01, 0.002,
                   "indicating, in the upper four fifths of its range"},
    InstrumentType{"unknown", Kind::torque, true, 0.20, 0.08, 0.05,
                   "nothing is known of the wrench"},
    InstrumentType{"spring balance", Kind::force, true, 0.05, 0.02, 0.02,
                   "pulled in line, in the upper half of its range"},
    InstrumentType{"unknown", Kind::force, true, 0.20, 0.08, 0.05,
                   "nothing is known of the instrument"},

    InstrumentType{"tachometer", Kind::rotational_speed, false, 20 * kPerMinute, 8 * kPerMinute,
                   10 * kPerMinute, "optical or inductive, steady idle"},
    InstrumentType{"scan tool", Kind::rotational_speed, false, 15 * kPerMinute, 10 * kPerMinute,
                   1 * kPerMinute, "speed as the control unit reports it"},
    InstrumentType{"unknown", Kind::rotational_speed, false, 100 * kPerMinute, 30 * kPerMinute,
                   50 * kPerMinute, "dashboard or nothing known"},
    InstrumentType{"stopwatch", Kind::time, false, 0.4, 0.15, 0.01,
                   "by hand; the reaction of the person, not the watch"},
    InstrumentType{"unknown", Kind::time, false, 2.0, 0.5, 1.0, "clock or counted seconds"},
    InstrumentType{"measuring cylinder", Kind::volume, true, 0.03, 0.01, 0.01,
                   "read level, at eye height"},
    InstrumentType{"oil can", Kind::volume, false, 0.2 * kLiter, 0.1 * kLiter, 0.1 * kLiter,
                   "by the marks of a can or a dipstick"},
    InstrumentType{"unknown", Kind::volume, true, 0.20, 0.05, 0.05,
                   "nothing is known of the vessel"},
    InstrumentType{"leak-down tester", Kind::ratio, false, 0.05, 0.02, 0.01,
                   "share of the supply lost, tester zeroed at its supply pressure"},
    InstrumentType{"scan tool", Kind::ratio, false, 0.02, 0.01, 0.005,
                   "duty or position as the control unit reports it"},
    InstrumentType{"unknown", Kind::ratio, false, 0.10, 0.03, 0.05,
                   "nothing is known of the instrument"},
};

// What people call an entry of the list, written as plain_name() leaves it. A word that fits a fine
// and a coarse gauge means the coarse one.
struct Alias {
  std::string_view said;
  std::string_view name;
};
constexpr std::array kAliases = {
    Alias{"micrometer", "micrometer 0.01"},
    Alias{"outside micrometer", "micrometer 0.01"},
    Alias{"external micrometer", "micrometer 0.01"},
    Alias{"mike", "micrometer 0.01"},
    Alias{"mic", "micrometer 0.01"},
    Alias{"vernier caliper", "caliper"},
    Alias{"vernier", "caliper"},
    Alias{"digital caliper", "caliper"},
    Alias{"dial caliper", "caliper"},
    Alias{"dial bore gauge", "bore gauge"},
    Alias{"cylinder bore gauge", "bore gauge"},
    Alias{"dial gauge", "dial indicator"},
    Alias{"dial test indicator", "dial indicator"},
    Alias{"test indicator", "dial indicator"},
    Alias{"depth micrometer", "depth gauge"},
    Alias{"feeler gauge", "feeler blades"},
    Alias{"feeler blade", "feeler blades"},
    Alias{"feeler", "feeler blades"},
    Alias{"plastic gauging strip", "plastic strip"},
    Alias{"gauging strip", "plastic strip"},
    Alias{"clearance strip", "plastic strip"},
    Alias{"rule", "ruler"},
    Alias{"steel rule", "ruler"},
    Alias{"steel ruler", "ruler"},
    Alias{"degree disc", "degree wheel"},
    Alias{"degree disk", "degree wheel"},
    Alias{"timing disc", "degree wheel"},
    Alias{"timing disk", "degree wheel"},
    Alias{"contact thermometer", "thermometer"},
    Alias{"infrared gun", "infrared thermometer"},
    Alias{"ir thermometer", "infrared thermometer"},
    Alias{"pyrometer", "infrared thermometer"},
    Alias{"oil pressure gauge", "pressure gauge"},
    Alias{"manometer", "pressure gauge"},
    Alias{"compression tester", "compression gauge"},
    Alias{"spring scale", "spring balance"},
    Alias{"rev counter", "tachometer"},
    Alias{"scanner", "scan tool"},
    Alias{"leakdown tester", "leak down tester"},
};

// Spellings of one word, American and British, one and several.
constexpr std::array kSpellings = {
    Alias{"gage", "gauge"},
    Alias{"gages", "gauge"},
    Alias{"gauges", "gauge"},
    Alias{"gaging", "gauging"},
    Alias{"calliper", "caliper"},
    Alias{"callipers", "caliper"},
    Alias{"calipers", "caliper"},
    Alias{"micrometre", "micrometer"},
    Alias{"micrometers", "micrometer"},
    Alias{"micrometres", "micrometer"},
    Alias{"feelers", "feeler"},
    Alias{"strips", "strip"},
};

std::string_view usual_spelling(std::string_view word) {
  for (const Alias& spelling : kSpellings)
    if (spelling.said == word) return spelling.name;
  return word;
}

// "Bore-Gauge", "bore  gage" and "bore gauge" are one name.
std::string plain_name(std::string_view name) {
  std::string blanks;
  for (const char c : name) blanks += c == '-' || c == '_' ? ' ' : c;
  std::string result;
  for (const std::string& word : split(folded(blanks), ' ')) {
    if (!result.empty()) result += ' ';
    result += usual_spelling(word);
  }
  return result;
}

bool is_alias(std::string_view said, std::string_view plain_entry) {
  return std::any_of(kAliases.begin(), kAliases.end(), [&](const Alias& alias) {
    return alias.said == said && alias.name == plain_entry;
  });
}

bool is_usable(const InstrumentType& type) {
  for (const double value : {type.expanded_U, type.repeatability_sd, type.resolution}) {
    if (!std::isfinite(value) || value < 0) return false;
  }
  return true;
}

}  // namespace

std::span<const InstrumentType> instrument_types() { return kTypes; }

Result<InstrumentType> instrument_type(std::string_view name, Kind kind) {
  const std::string wanted = plain_name(name);
  std::string names;
  for (const InstrumentType& type : kTypes) {
    if (type.kind != kind) continue;
    const std::string plain = plain_name(type.name);
    if (plain == wanted || is_alias(wanted, plain)) return type;
    names += names.empty() ? "" : ", ";
    names += type.name;
  }
  if (names.empty()) return refuse("no instrument is known for such a quantity");
  return refuse(
      fmt::format("no instrument \"{}\" for such a quantity; known are: {}", name, names));
}

std::vector<std::string> instrument_words(Kind kind) {
  std::vector<std::string> words;
  for (const InstrumentType& type : kTypes) {
    if (type.kind != kind) continue;
    words.emplace_back(type.name);
    for (const Alias& alias : kAliases)
      if (alias.name == plain_name(type.name)) words.emplace_back(alias.said);
  }
  return words;
}

Result<InstrumentType> instrument_at(const InstrumentType& type, double reading) {
  if (!std::isfinite(reading)) return refuse("the reading is not a finite number");
  if (!is_usable(type)) return refuse("the instrument has a negative or non-finite uncertainty");
  if (!type.relative) return type;
  InstrumentType result = type;
  result.relative = false;
  result.expanded_U *= std::abs(reading);
  result.repeatability_sd *= std::abs(reading);
  result.resolution *= std::abs(reading);
  if (!is_usable(result)) return refuse("the reading is too large");
  return result;
}

std::vector<InstrumentType> instruments_within(Kind kind, double reading, double needed_U) {
  std::vector<InstrumentType> result;
  for (const InstrumentType& type : kTypes) {
    if (type.kind != kind) continue;
    const Result<InstrumentType> here = instrument_at(type, reading);
    if (here && here->expanded_U <= needed_U) result.push_back(*here);
  }
  std::stable_sort(
      result.begin(), result.end(),
      [](const InstrumentType& a, const InstrumentType& b) { return a.expanded_U > b.expanded_U; });
  return result;
}

Result<ReadingResult> reading_result(std::span<const double> repeats, const InstrumentType& type,
                                     std::vector<Contribution> more) {
  const Result<Summary> summary = summarize(repeats);
  if (!summary) return refuse(summary.error().why);
  const Result<InstrumentType> here = instrument_at(type, summary->mean);
  if (!here) return refuse(here.error().why);

  ReadingResult result;
  result.value = summary->mean;
  result.n = summary->n;
  result.repeat_sd = here->repeatability_sd;
  double repeat_nu = kInfiniteNu;
  if (summary->sd && *summary->sd > here->repeatability_sd) {
    result.repeat_sd = *summary->sd;
    result.repeat_sd_is_default = false;
    repeat_nu = summary->n - 1;
  }
  std::vector<Contribution> terms = {
      {"repeat", result.repeat_sd / std::sqrt(static_cast<double>(summary->n)), repeat_nu, 1},
      {"resolution", resolution_u(here->resolution), kInfiniteNu, 1},
      {"calibration", certificate_u(here->expanded_U, 2), kInfiniteNu, 1},
  };
  terms.insert(terms.end(), std::make_move_iterator(more.begin()),
               std::make_move_iterator(more.end()));
  Result<Budget> budget = combine(std::move(terms));
  if (!budget) return refuse(budget.error().why);
  result.budget = std::move(*budget);
  return result;
}

}  // namespace tautmark
