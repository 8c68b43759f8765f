// SPDX-License-Identifier: Apache-2.0
#include "judge/gather.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "judge/at_reference.h"
#include "measure/statistics.h"

namespace tautmark {
namespace {

constexpr double kRoom = 15;  // K from 20 °C: a part that is neither warm nor cold

double typed_step(const WrittenList& list) {
  int decimals = 0;
  for (const AnyQuantity& value : list.value.values) decimals = std::max(decimals, value.decimals);
  return std::pow(10.0, -decimals) * list.value.values.front().unit->factor;
}

struct EntryValues {
  std::vector<double> values;
  double step = 0;
  int n = 0;
  std::optional<std::pair<double, double>> between;
};

EntryValues values_of(const Reading& reading, Gathered& all) {
  EntryValues entry;
  if (reading.values) {
    for (const AnyQuantity& value : reading.values->value.values) entry.values.push_back(value.si);
    all.unit = reading.values->value.values.front().unit;
    all.decimals = reading.values->value.values.front().decimals;
    entry.step = typed_step(*reading.values);
    entry.n = static_cast<int>(entry.values.size());
    all.all_reported_with_U = false;
  } else if (reading.value) {
    const AnyMeasured& value = reading.value->value;
    entry.values.push_back(value.value.si);
    all.unit = value.value.unit;
    all.decimals = value.value.decimals;
    entry.step = std::pow(10.0, -value.value.decimals) * value.value.unit->factor;
    entry.n = std::max(1, reading.count.value_or(1));
    if (value.expanded_si) {
      all.reported_u = std::max(all.reported_u, *value.expanded_si / value.coverage);
    } else {
      all.all_reported_with_U = false;
      all.any_reported = true;
    }
  } else if (reading.passes && reading.stops) {
    const double a = reading.passes->value.si, b = reading.stops->value.si;
    entry.values.push_back((a + b) / 2);
    entry.between = std::pair(a, b);
    all.unit = reading.passes->value.unit;
    all.decimals = std::max(reading.passes->value.decimals, reading.stops->value.decimals);
    entry.n = 1;
  }
  return entry;
}

std::string direction_of(const Reading& reading) {
  std::string direction = folded(reading.direction.value_or(""));
  if (reading.section) direction += (direction.empty() ? "" : ", ") + folded(*reading.section);
  return direction;
}

bool is_hot_where_cold_is_meant(const Reading& reading) {
  if (grows_with_heat(reading.quantity) || !reading.temperature) return false;
  const bool clearance =
      reading.quantity == Measurand::journal_clearance || reading.quantity == Measurand::end_play;
  return clearance && std::abs(in_degC(reading.temperature->value) - 20) > kRoom;
}

std::string shown(double value, const Gathered& all) {
  return quantity_text(value, *all.unit, all.decimals);
}

// Blades bound a value, readings measure it: where both are there, the blades only confirm.
void settle_blades(Gathered& all) {
  const auto is_blade = [](const EntryPart& part) { return part.between.has_value(); };
  const auto blades = std::count_if(all.parts.begin(), all.parts.end(), is_blade);
  if (blades == 0) return;
  for (const EntryPart& part : all.parts) {
    if (!part.between) continue;
    if (blades == static_cast<long>(all.parts.size())) {
      all.between = all.between ? std::pair(std::max(all.between->first, part.between->first),
                                            std::min(all.between->second, part.between->second))
                                : *part.between;
      if (all.between->first >= all.between->second) {
        all.contradiction =
            fmt::format("the blades of {} and another entry exclude each other", part.id);
        all.between = std::minmax(all.between->first, all.between->second);
      }
      continue;
    }
    for (const EntryPart& other : all.parts) {
      if (other.between) continue;
      if (other.mean < part.between->first - 3 * other.u ||
          other.mean > part.between->second + 3 * other.u)
        all.contradiction = fmt::format(
            "{} ({}) is not between the blades of {} ({}..{})", shown(other.mean, all), other.id,
            part.id, shown(part.between->first, all), shown(part.between->second, all));
    }
  }
  if (!all.between)
    std::erase_if(all.directions, [](const auto& group) { return group.second.empty(); });
}

// Two entries of one direction that differ by more than both can explain.
void settle_contradictions(Gathered& all, bool form) {
  if (form) return;  // entries of a chain or a guide are of different places on it
  for (std::size_t i = 0; i < all.parts.size(); ++i) {
    for (std::size_t j = i + 1; j < all.parts.size(); ++j) {
      const EntryPart& a = all.parts[i];
      const EntryPart& b = all.parts[j];
      if (a.direction != b.direction || a.between || b.between) continue;
      if (std::abs(a.mean - b.mean) <= 3 * std::hypot(a.u, b.u)) continue;
      all.contradiction = fmt::format("{} ({}) and {} ({}) contradict each other",
                                      shown(a.mean, all), a.id, shown(b.mean, all), b.id);
    }
  }
}

// Standard uncertainty of one entry by itself, for telling whether two contradict each other.
double own_u(const Reading& reading, const EntryValues& entry, const InstrumentData& gauge) {
  if (reading.value && reading.value->value.expanded_si)
    return *reading.value->value.expanded_si / reading.value->value.coverage;
  const auto summary = summarize(entry.values);
  const double sd = summary && summary->sd ? *summary->sd : gauge.expanded_U / 2;
  return std::hypot(gauge.expanded_U / 2, std::max(sd, gauge.repeatability_sd));
}

void add_entry(Gathered& all, const CheckInput& input, const EntryOf<Reading>& from,
               const EnginePlace& place) {
  const Reading& reading = *from.body;
  const Unit* unit_before = all.unit;
  const EntryValues entry = values_of(reading, all);
  if (entry.values.empty()) return;
  all.evidence.push_back(from.entry->id);
  if (unit_before != nullptr && unit_before->kind != all.unit->kind) {
    all.contradiction = fmt::format("entered once as {} and once as {}",
                                    kind_name(unit_before->kind), kind_name(all.unit->kind));
    all.unit = unit_before;
    return;
  }
  if (is_hot_where_cold_is_meant(reading))
    all.hot = fmt::format("taken at {}; the limit is for cold parts", reading.temperature->text);
  const Corrected corrected = at_reference(entry.values, reading, place);
  if (!corrected.words.empty()) all.temperature_words.push_back(corrected.words);
  if (corrected.terms.size() > all.temperature_terms.size())
    all.temperature_terms = corrected.terms;
  const InstrumentData gauge = instrument_data(*input.value, reading.instrument, all.unit->kind,
                                               entry.values.front(), entry.step);
  const bool reported_with_U = reading.value && reading.value->value.expanded_si;
  if (!reported_with_U && !entry.between) {
    if (gauge.expanded_U >= all.gauge.expanded_U) {
      all.gauge = gauge;
      all.gauge_name = reading.instrument;
    }
    all.step = std::max(all.step, gauge.resolution);
  }
  const auto mean = summarize(corrected.values);
  all.parts.push_back({from.entry->id, direction_of(reading),
                       mean ? mean->mean : corrected.values.front(), own_u(reading, entry, gauge),
                       entry.between});
  auto group = std::find_if(all.directions.begin(), all.directions.end(), [&](const auto& known) {
    return known.first == direction_of(reading);
  });
  if (group == all.directions.end())
    group = all.directions.insert(all.directions.end(), {direction_of(reading), {}});
  if (entry.between) return;
  all.n += entry.n;
  group->second.insert(group->second.end(), corrected.values.begin(), corrected.values.end());
}

}  // namespace

bool has_form(Measurand quantity) {
  return quantity == Measurand::chain_length || quantity == Measurand::groove_depth;
}

std::vector<EntryOf<Reading>> readings_at(const CheckInput& input, Measurand quantity,
                                          std::string_view place) {
  std::vector<EntryOf<Reading>> found;
  for (const auto& entry : input.readings)
    if (entry.body->quantity == quantity && same_place(entry.body->place, place))
      found.push_back(entry);
  return found;
}

Gathered gather(const CheckInput& input, Measurand quantity, const EnginePlace& place,
                const ReadingFilter& counts) {
  Gathered all;
  for (const auto& entry : readings_at(input, quantity, place.path))
    if (!counts || counts(*entry.body)) add_entry(all, input, entry, place);
  settle_blades(all);
  settle_contradictions(all, has_form(quantity));
  if (all.between) {
    all.n = 1;
    all.directions = {{"", {(all.between->first + all.between->second) / 2}}};
  }
  return all;
}

}  // namespace tautmark
