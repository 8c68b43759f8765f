// SPDX-License-Identifier: Apache-2.0
#include "judge/pressure_read.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/text.h"
#include "drive/drive_fields.h"
#include "judge/against_fit.h"
#include "judge/case_recordings.h"
#include "judge/oil_condition.h"
#include "measure/statistics.h"
#include "oil/grade.h"

namespace tautmark {

namespace {

using OilEntry = EntryOf<OilFound>;

// Those with a grade, in force, before and after a reading.
struct OilEntries {
  std::vector<OilEntry> before, after;
};

OilEntries oil_entries(const CheckInput& input, const Entry* reading) {
  OilEntries out;
  bool reached = false;
  for (const Entry* entry : input.entries) {
    reached = reached || entry == reading;
    const auto* oil = std::get_if<OilFound>(&entry->body);
    if (oil != nullptr && names_grade(*oil))
      (reached ? out.after : out.before).push_back({entry, oil});
  }
  return out;
}

}  // namespace

bool is_same_grade(const std::string& a, const std::string& b) {
  const std::string name = oil::grade_name(a);
  return name.empty() ? folded(a) == folded(b) : name == oil::grade_name(b);
}

ConditionCheck oil_in_it(const CheckInput& input, const EntryOf<PressureReading>& reading,
                         std::vector<std::string>& evidence) {
  const auto& grade = input.drive->drive.oil->grade;
  if (!grade) return {Met::not_entered, "the drive names no oil grade, so the limit has no oil"};
  const OilEntries entries = oil_entries(input, reading.entry);
  for (const OilEntry& oil : entries.before) {
    std::erase(evidence, oil.entry->id);
    evidence.push_back(oil.entry->id);
  }
  const OilFound* before = entries.before.empty() ? nullptr : entries.before.back().body;
  const bool right = before != nullptr && is_same_grade(*before->grade, *grade);
  if (reading.body->oil == OilState::other)
    return {Met::no, fmt::format("taken with another oil than {}", *grade)};
  if (before != nullptr && !right) {
    if (reading.body->oil == OilState::as_specified)
      return {Met::no, fmt::format("the reading says the specified oil, the oil entry says {}",
                                   *before->grade)};
    return {Met::no,
            fmt::format("{} was in the engine; the limit is for {}", *before->grade, *grade)};
  }
  if (right || reading.body->oil == OilState::as_specified) return {};
  return {Met::not_entered,
          entries.after.empty()
              ? fmt::format("which oil was in it? The limit is for {}", *grade)
              : fmt::format("the oil was entered after the pressure: was {} in it then?", *grade)};
}

std::optional<GradeInIt> grade_in_it(const CheckInput& input,
                                     const EntryOf<PressureReading>& reading) {
  const auto& grade = input.drive->drive.oil->grade;
  if (!grade) return std::nullopt;
  const OilEntries entries = oil_entries(input, reading.entry);
  const auto is_right = [&](const OilEntry& oil) {
    return is_same_grade(*oil.body->grade, *grade);
  };
  const auto says = reading.body->oil;
  if (!entries.before.empty()) {
    const OilEntry& last = entries.before.back();
    if (says == (is_right(last) ? OilState::other : OilState::as_specified)) return std::nullopt;
    return GradeInIt{is_right(last) ? *grade : *last.body->grade, false};
  }
  if (says == OilState::other) return std::nullopt;
  if (says == OilState::as_specified) return GradeInIt{*grade, false};
  if (!std::all_of(entries.after.begin(), entries.after.end(), is_right)) return std::nullopt;
  return GradeInIt{*grade, true};
}

std::optional<oil::OilComparison> against_specified(const CheckInput& input,
                                                    const std::string& grade) {
  const auto& specified = input.drive->drive.oil->grade;
  if (!specified) return std::nullopt;
  const oil::OilOfLibrary* own = oil::oil_of_grade(oil::known_oils(), grade);
  const oil::OilOfLibrary* wanted = oil::oil_of_grade(oil::known_oils(), *specified);
  if (own == nullptr || wanted == nullptr) return std::nullopt;
  const auto in_it = oil::properties_of(*own), right = oil::properties_of(*wanted);
  if (!in_it || !right) return std::nullopt;
  const auto compared = oil::compare_oils(*in_it, *right, degC(100));
  return compared ? std::optional(*compared) : std::nullopt;
}

std::string_view oil_effect(const std::optional<oil::OilComparison>& oil) {
  if (!oil)
    return "a thicker oil hides clearance at the journals and slows a phaser, a thinner one lowers "
           "the pressure: look which it is";
  return oil->ratio < 1
             ? "a thinner oil lowers the pressure: a low one is no proof of a worn journal"
             : "a thicker oil hides clearance at the journals and slows a phaser";
}

bool oil_words_say(const std::string& typed, std::span<const std::string_view> words) {
  static constexpr std::array<std::string_view, 4> kDenied = {"no", "not", "without", "none"};
  const auto is_one = [](std::span<const std::string_view> of, std::string_view word) {
    return std::find(of.begin(), of.end(), word) != of.end();
  };
  std::string text = lower_ascii(typed);
  std::replace_if(
      text.begin(), text.end(), [](char c) { return c == ';' || c == '.'; }, ',');
  for (const std::string& clause : split(text, ',')) {
    bool denied = false;
    for (const std::string& word : split(folded(clause), ' ')) {
      denied = denied || is_one(kDenied, word);
      if (!denied && is_one(words, word)) return true;
    }
  }
  return false;
}

TemperatureDifference oil_temperature_u(const CheckInput& input, const PressureReading& reading) {
  if (!reading.oil_temperature) return {};
  return TemperatureDifference::from_si(instrument_data(*input.value, reading.thermometer,
                                                        Kind::temperature_difference,
                                                        reading.oil_temperature->value.si(), 1)
                                            .expanded_U /
                                        2);
}

std::vector<ConditionCheck> limit_conditions(const CheckInput& input, const PressureLimit& limit,
                                             const EntryOf<PressureReading>& from,
                                             std::vector<std::string>& evidence) {
  const PressureReading& reading = *from.body;
  // Of the speed nothing: the tachometer of the engine is good.
  return {range_check(limit.speed, reading.speed, "engine speed", 0),
          range_check(limit.oil_temperature, reading.oil_temperature, "oil temperature",
                      oil_temperature_u(input, reading).si()),
          oil_in_it(input, from, evidence)};
}

void keep_since_opened(const CheckInput& input, std::vector<EntryOf<PressureReading>>& here) {
  const Entry* last = opened_after(input, here.back().entry);
  std::erase_if(here, [&](const auto& one) { return opened_after(input, one.entry) != last; });
}

std::string port_and_limit(const EnginePlace& port, const PressureLimit& limit) {
  return limit.speed ? fmt::format("{} at {}", port.path, limit.speed->text) : port.path;
}

std::optional<PooledPressure> pooled_pressure(
    const CheckInput& input, const std::vector<EntryOf<PressureReading>>& entries) {
  PooledPressure taken;
  InstrumentData gauge;
  std::vector<double> all;
  std::vector<std::pair<double, std::string>> means;
  for (const auto& [entry, reading] : entries) {
    const AnyQuantity& first = reading->values.value.values.front();
    const double step = std::pow(10.0, -first.decimals) * first.unit->factor;
    const InstrumentData data =
        instrument_data(*input.value, reading->instrument, Kind::pressure, first.si, step);
    if (data.expanded_U >= gauge.expanded_U) gauge = data;
    std::vector<double> values;
    for (const AnyQuantity& value : reading->values.value.values) values.push_back(value.si);
    const auto summary = summarize(values);
    if (!summary) return std::nullopt;
    means.emplace_back(summary->mean, fmt::format("{} ({})", reading->values.text, entry->id));
    all.insert(all.end(), values.begin(), values.end());
    taken.evidence.push_back(entry->id);
  }
  const auto summary = summarize(all);
  if (!summary) return std::nullopt;
  const double sd = std::max(summary->sd.value_or(gauge.expanded_U / 2), gauge.repeatability_sd);
  const double nu =
      summary->sd && *summary->sd >= gauge.repeatability_sd ? summary->n - 1 : kInfiniteNu;
  const auto budget = combine({{"repeat", sd / std::sqrt(summary->n), nu},
                               {"resolution", resolution_u(gauge.resolution)},
                               {"calibration", gauge.expanded_U / 2}});
  if (!budget) return std::nullopt;
  taken.budget = {gauge.words};
  taken.value = {{summary->mean, budget->u, budget->nu}, sd, summary->n, gauge.expanded_U};
  // Two entries further apart than two gauges can explain, and a tenth of the pressure.
  const double apart = 3 * std::hypot(gauge.expanded_U, gauge.expanded_U) / 2;
  for (const auto& a : means)
    for (const auto& b : means)
      if (a.first < b.first && b.first - a.first > std::max(apart, 0.1 * b.first))
        taken.contradiction = fmt::format(
            "{} and {} under the same conditions contradict each other", a.second, b.second);
  return taken;
}

}  // namespace tautmark
