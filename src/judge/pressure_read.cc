// SPDX-License-Identifier: Apache-2.0
#include "judge/pressure_read.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "drive/drive_fields.h"
#include "judge/against_fit.h"
#include "measure/statistics.h"

namespace tautmark {

ConditionCheck oil_in_it(const CheckInput& input, const EntryOf<PressureReading>& reading,
                         std::vector<std::string>& evidence) {
  const auto& grade = input.drive->drive.oil->grade;
  if (!grade) return {Met::not_entered, "the drive names no oil grade, so the limit has no oil"};
  const OilFound* before = nullptr;
  bool later = false;
  bool reached = false;
  for (const Entry* entry : input.entries) {
    reached = reached || entry == reading.entry;
    const auto* oil = std::get_if<OilFound>(&entry->body);
    if (oil == nullptr || !oil->grade) continue;
    later = later || reached;
    if (reached) continue;
    before = oil;
    evidence.erase(std::remove(evidence.begin(), evidence.end(), entry->id), evidence.end());
    evidence.push_back(entry->id);
  }
  const bool right = before != nullptr && folded(*before->grade) == folded(*grade);
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
          later ? fmt::format("the oil was entered after the pressure: was {} in it then?", *grade)
                : fmt::format("which oil was in it? The limit is for {}", *grade)};
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
