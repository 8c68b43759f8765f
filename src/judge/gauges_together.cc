// SPDX-License-Identifier: Apache-2.0
#include "judge/gauges_together.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "casework/view.h"
#include "judge/case_recordings.h"
#include "judge/pressure_read.h"
#include "judge/verdict.h"

namespace tautmark {
namespace {

constexpr double kSameSpeed = 0.05;  // relative
constexpr double kSameOil = 5;       // K

struct Read {
  GaugeRead gauge;
  const EnginePlace* place = nullptr;
  double speed = 0, oil = 0;
  std::string condition;
};

bool is_of_bearing(const Entry& entry) {
  const auto* reading = std::get_if<Reading>(&entry.body);
  return reading != nullptr && (reading->quantity == Measurand::journal_diameter ||
                                reading->quantity == Measurand::bore_diameter ||
                                reading->quantity == Measurand::journal_clearance);
}

// A reading with the specified oil, its speed and its oil temperature; any other is compared with
// nothing.
std::optional<Read> read_of(const CheckInput& input, const Entry& entry) {
  const auto* reading = std::get_if<PressureReading>(&entry.body);
  if (reading == nullptr || !reading->speed || !reading->oil_temperature) return std::nullopt;
  const EnginePlace* place = find_place(input.places, reading->place);
  if (place == nullptr || place->type != PlaceType::oil_port) return std::nullopt;
  const EntryOf<PressureReading> from{&entry, reading};
  std::vector<std::string> unused;
  if (oil_in_it(input, from, unused).met == Met::no) return std::nullopt;
  const auto pooled = pooled_pressure(input, {from});
  if (!pooled || !(pooled->value.estimate.value > 0)) return std::nullopt;
  const Estimate& estimate = pooled->value.estimate;
  const FindingValue shown = shown_value(estimate, default_unit(Kind::pressure));
  return Read{{Pressure::from_si(estimate.value), Pressure::from_si(shown.U), shown.shown,
               place->path, entry.id, place->bank},
              place,
              reading->speed->value.si(),
              reading->oil_temperature->value.si(),
              fmt::format("{}, oil at {}", reading->speed->text, reading->oil_temperature->text)};
}

bool is_in_force(const CheckInput& input, const Entry* entry) {
  return std::find(input.entries.begin(), input.entries.end(), entry) != input.entries.end();
}

// Before the first bearing was measured: those of the engine as found.
std::vector<Read> as_found(const CheckInput& input) {
  std::vector<Read> reads;
  for (const Entry* entry : entries_in_order_of_work(*input.value)) {
    if (!is_in_force(input, entry)) continue;
    if (is_of_bearing(*entry)) break;
    if (auto read = read_of(input, *entry)) reads.push_back(std::move(*read));
  }
  return reads;
}

// Since the drive was last opened, or all where nothing was read since: the engine as it is now.
std::vector<Read> latest(const CheckInput& input) {
  std::vector<std::pair<const Entry*, Read>> all;
  for (const Entry* entry : entries_in_order_of_work(*input.value))
    if (is_in_force(input, entry))
      if (auto read = read_of(input, *entry))
        all.emplace_back(opened_after(input, entry), std::move(*read));
  std::vector<Read> reads;
  for (auto& [opened, read] : all)
    if (opened == all.back().first) reads.push_back(std::move(read));
  return reads;
}

bool is_same(const Read& a, const Read& b) {
  return std::abs(a.speed - b.speed) <= kSameSpeed * std::min(a.speed, b.speed) &&
         std::abs(a.oil - b.oil) <= kSameOil;
}

// The latest at this place under the same condition.
const Read* beside(const std::vector<Read>& reads, const Read& one, const EnginePlace& place) {
  const Read* found = nullptr;
  for (const Read& other : reads)
    if (other.place == &place && is_same(one, other)) found = &other;
  return found;
}

std::vector<Read> reads_of(const CheckInput& input, GaugesOf state) {
  return state == GaugesOf::as_found ? as_found(input) : latest(input);
}

// Slow and hot says most.
bool says_less(const Read& one, const Read& than) {
  if (one.speed > (1 + kSameSpeed) * than.speed) return true;
  return one.speed * (1 + kSameSpeed) >= than.speed && one.oil < than.oil - kSameOil;
}

template <class Q>
bool holds_at(const std::optional<WrittenRange<Q>>& range, Q value) {
  return !range ||
         ((!range->lower || value >= *range->lower) && (!range->upper || value <= *range->upper));
}

}  // namespace

std::optional<GaugesTogether> gauges_together(const CheckInput& input, GaugesOf state,
                                              std::size_t least_heads) {
  const std::vector<Read> reads = reads_of(input, state);
  const Read* best = nullptr;
  std::vector<const Read*> best_heads;
  for (const Read& gallery : reads) {
    if (gallery.place->bank) continue;
    std::vector<const Read*> heads;
    for (const EnginePlace& place : input.places)
      if (place.type == PlaceType::oil_port && place.bank)
        if (const Read* head = beside(reads, gallery, place)) heads.push_back(head);
    if (heads.size() < least_heads || (best != nullptr && says_less(gallery, *best))) continue;
    best = &gallery;
    best_heads = std::move(heads);
  }
  if (best == nullptr) return std::nullopt;
  GaugesTogether out{.gallery = best->gauge,
                     .speed = RotationalSpeed::from_si(best->speed),
                     .oil = Temperature::from_si(best->oil),
                     .condition = best->condition};
  for (const Read* head : best_heads) out.heads.push_back(head->gauge);
  return out;
}

const GaugeRead& lowest_head(const GaugesTogether& gauges) {
  return *std::min_element(
      gauges.heads.begin(), gauges.heads.end(),
      [](const GaugeRead& one, const GaugeRead& other) { return one.mean < other.mean; });
}

std::string port_to_read(const std::string& place) {
  return fmt::format("the pressure at {}, hot idle, specified oil, with speed and oil temperature",
                     place);
}

std::vector<std::string> ports_to_read(const CheckInput& input, GaugesOf state) {
  const std::vector<Read> reads = reads_of(input, state);
  std::vector<std::string> missing;
  for (const EnginePlace& place : input.places)
    if (place.type == PlaceType::oil_port &&
        std::none_of(reads.begin(), reads.end(),
                     [&](const Read& read) { return read.place == &place; }))
      missing.push_back(port_to_read(place.path));
  if (missing.empty())
    missing.emplace_back("every port again at one speed and one oil temperature");
  return missing;
}

std::optional<Pressure> least_at(const CheckInput& input, const std::string& port,
                                 const GaugesTogether& condition) {
  const EnginePlace* place = find_place(input.places, port);
  if (place == nullptr || input.drive == nullptr || !input.drive->drive.oil) return std::nullopt;
  for (const PressureLimit& limit : input.drive->drive.oil->pressures)
    if (place_matches(limit.at, *place) && limit.limit.value.lower_si &&
        holds_at(limit.speed, condition.speed) && holds_at(limit.oil_temperature, condition.oil))
      return Pressure::from_si(*limit.limit.value.lower_si);
  return std::nullopt;
}

}  // namespace tautmark
