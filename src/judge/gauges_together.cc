// SPDX-License-Identifier: Apache-2.0
#include "judge/gauges_together.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "judge/oil_condition.h"

namespace tautmark {
namespace {

constexpr double kSameSpeed = 0.05;  // relative
constexpr double kSameOil = 5;       // K

bool is_same(const PortRead& a, const PortRead& b) {
  return std::abs(a.speed - b.speed) <= kSameSpeed * std::min(a.speed, b.speed) &&
         std::abs(a.oil - b.oil) <= kSameOil;
}

// The latest at this place under the same condition.
const PortRead* beside(const std::vector<PortRead>& reads, const PortRead& one,
                       const EnginePlace& place) {
  const PortRead* found = nullptr;
  for (const PortRead& other : reads)
    if (other.place == &place && is_same(one, other)) found = &other;
  return found;
}

// Slow and hot says most.
bool says_less(const PortRead& one, const PortRead& than) {
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
  const std::vector<PortRead> reads = ports_read(input, state);
  const PortRead* best = nullptr;
  std::vector<const PortRead*> best_heads;
  for (const PortRead& gallery : reads) {
    if (gallery.place->bank) continue;
    std::vector<const PortRead*> heads;
    for (const EnginePlace& place : input.places)
      if (place.type == PlaceType::oil_port && place.bank)
        if (const PortRead* head = beside(reads, gallery, place)) heads.push_back(head);
    if (heads.size() < least_heads || (best != nullptr && says_less(gallery, *best))) continue;
    best = &gallery;
    best_heads = std::move(heads);
  }
  if (best == nullptr) return std::nullopt;
  GaugesTogether out{.gallery = best->gauge,
                     .speed = RotationalSpeed::from_si(best->speed),
                     .oil = Temperature::from_si(best->oil),
                     .condition = best->condition};
  for (const PortRead* head : best_heads) out.heads.push_back(head->gauge);
  return out;
}

const GaugeRead& lowest_head(const GaugesTogether& gauges) {
  return *std::min_element(
      gauges.heads.begin(), gauges.heads.end(),
      [](const GaugeRead& one, const GaugeRead& other) { return one.mean < other.mean; });
}

std::optional<GaugeRead> above_gallery(const GaugesTogether& gauges) {
  const GaugeRead& highest = *std::max_element(
      gauges.heads.begin(), gauges.heads.end(),
      [](const GaugeRead& one, const GaugeRead& other) { return one.mean < other.mean; });
  const double apart = (highest.mean - gauges.gallery.mean).si();
  if (!(apart > std::hypot(highest.U.si(), gauges.gallery.U.si()))) return std::nullopt;
  return highest;
}

std::optional<GaugesCannotBe> gauges_cannot_be(const std::optional<GaugesTogether>& gauges) {
  const auto head = gauges ? above_gallery(*gauges) : std::nullopt;
  if (!head) return std::nullopt;
  return GaugesCannotBe{*head, gauges->gallery,
                        fmt::format("{} at {} and {} at the gallery that feeds it cannot both be",
                                    head->shown, head->place, gauges->gallery.shown)};
}

bool is_one_of(const GaugesCannotBe& gauges, const std::string& entry) {
  return entry == gauges.head.entry || entry == gauges.gallery.entry;
}

std::vector<std::string> ports_to_read(const CheckInput& input, GaugesOf state) {
  const std::vector<PortRead> reads = ports_read(input, state);
  std::vector<std::string> missing;
  for (const EnginePlace& place : input.places)
    if (place.type == PlaceType::oil_port &&
        std::none_of(reads.begin(), reads.end(),
                     [&](const PortRead& read) { return read.place == &place; }))
      missing.push_back(port_to_read(place.path));
  if (missing.empty())
    missing.emplace_back("every port again at one speed and one oil temperature");
  return missing;
}

std::optional<Pressure> least_at(const CheckInput& input, const std::string& port,
                                 const GaugesTogether& condition) {
  const EnginePlace* place = find_place(input.places, port);
  if (place == nullptr || input.drive == nullptr || !input.drive->drive.oil ||
      spoiled_oil(input, condition.gallery.entry))
    return std::nullopt;
  for (const PressureLimit& limit : input.drive->drive.oil->pressures)
    if (place_matches(limit.at, *place) && limit.limit.value.lower_si &&
        holds_at(limit.speed, condition.speed) && holds_at(limit.oil_temperature, condition.oil))
      return Pressure::from_si(*limit.limit.value.lower_si);
  return std::nullopt;
}

}  // namespace tautmark
