// SPDX-License-Identifier: Apache-2.0
#include "judge/port_reads.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <utility>

#include "casework/view.h"
#include "judge/case_recordings.h"
#include "judge/pressure_read.h"
#include "judge/verdict.h"

namespace tautmark {
namespace {

constexpr double kIdle = per_min(1000).si();
constexpr double kHot = degC(80).si();
constexpr double kCold = degC(40).si();

const EnginePlace* port_of(const CheckInput& input, const PressureReading& reading) {
  const EnginePlace* place = find_place(input.places, reading.place);
  return place != nullptr && place->type == PlaceType::oil_port ? place : nullptr;
}

std::optional<PortRead> port_read(const CheckInput& input, const Entry& entry) {
  const auto* reading = std::get_if<PressureReading>(&entry.body);
  if (reading == nullptr || !reading->speed || !reading->oil_temperature) return std::nullopt;
  const EnginePlace* place = port_of(input, *reading);
  if (place == nullptr) return std::nullopt;
  const EntryOf<PressureReading> from{&entry, reading};
  std::vector<std::string> unused;
  if (oil_in_it(input, from, unused).met == Met::no) return std::nullopt;
  const auto pooled = pooled_pressure(input, {from});
  if (!pooled) return std::nullopt;
  Estimate estimate = pooled->value.estimate;
  // A gauge that shows nothing is a reading, the worst; one that shows less than nothing is not.
  if (!(estimate.value >= -2 * estimate.u)) return std::nullopt;
  estimate.value = std::max(estimate.value, 0.0);
  const FindingValue shown = shown_value(estimate, default_unit(Kind::pressure));
  PortRead read;
  read.gauge.mean = Pressure::from_si(estimate.value);
  read.gauge.U = Pressure::from_si(shown.U);
  read.gauge.shown = shown.shown;
  read.gauge.place = place->path;
  read.gauge.entry = entry.id;
  read.gauge.bank = place->bank;
  read.place = place;
  read.speed = reading->speed->value.si();
  read.oil = reading->oil_temperature->value.si();
  read.condition =
      fmt::format("{}, oil at {}", reading->speed->text, reading->oil_temperature->text);
  return read;
}

bool is_of_bearing(const Entry& entry) {
  const auto* reading = std::get_if<Reading>(&entry.body);
  return reading != nullptr && (reading->quantity == Measurand::journal_diameter ||
                                reading->quantity == Measurand::bore_diameter ||
                                reading->quantity == Measurand::journal_clearance);
}

template <class Is>
const PortRead* slowest(const std::vector<PortRead>& reads, const EnginePlace& place, Is is) {
  const PortRead* found = nullptr;
  for (const PortRead& read : reads)
    if (read.place == &place && is(read) && (found == nullptr || read.speed <= found->speed))
      found = &read;
  return found;
}

}  // namespace

std::vector<PortRead> ports_read(const CheckInput& input, GaugesOf state) {
  if (input.drive == nullptr || !input.drive->drive.oil) return {};
  std::vector<std::pair<const Entry*, PortRead>> all;
  for (const Entry* entry : entries_in_order_of_work(*input.value)) {
    if (std::find(input.entries.begin(), input.entries.end(), entry) == input.entries.end())
      continue;
    if (state == GaugesOf::as_found && is_of_bearing(*entry)) break;
    if (auto read = port_read(input, *entry))
      all.emplace_back(opened_after(input, entry), std::move(*read));
  }
  std::vector<PortRead> reads;
  for (auto& [opened, read] : all)
    if (state == GaugesOf::as_found || opened == all.back().first) reads.push_back(std::move(read));
  return reads;
}

std::string port_to_read(const std::string& place) {
  return fmt::format("the pressure at {}, hot idle, specified oil, with speed and oil temperature",
                     place);
}

const PortRead* hot_idle_at(const std::vector<PortRead>& reads, const EnginePlace& place) {
  return slowest(reads, place,
                 [](const PortRead& read) { return read.speed <= kIdle && read.oil >= kHot; });
}

const PortRead* cold_at(const std::vector<PortRead>& reads, const EnginePlace& place) {
  return slowest(reads, place, [](const PortRead& read) { return read.oil <= kCold; });
}

bool is_any_port_read(const CheckInput& input) {
  const auto all = all_of_kind<PressureReading>(input.entries);
  return std::any_of(all.begin(), all.end(),
                     [&](const auto& one) { return port_of(input, *one.body) != nullptr; });
}

}  // namespace tautmark
