// SPDX-License-Identifier: Apache-2.0
#include "judge/dimension.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "judge/at_reference.h"
#include "measure/statistics.h"

namespace tautmark {
namespace {

constexpr double kRoom = 15;  // K from 20 °C: a part that is neither warm nor cold

bool has_form(Measurand quantity) {
  return quantity == Measurand::chain_length || quantity == Measurand::groove_depth;
}

double typed_step(const WrittenList& list) {
  int decimals = 0;
  for (const AnyQuantity& value : list.value.values) decimals = std::max(decimals, value.decimals);
  return std::pow(10.0, -decimals) * list.value.values.front().unit->factor;
}

// Scatter that the same instrument showed elsewhere in this case, for a reading that stands alone.
std::optional<PooledSd> seen_elsewhere(const CheckInput& input, Measurand quantity,
                                       const std::optional<std::string>& name) {
  std::vector<std::vector<double>> groups;
  for (const auto& [entry, reading] : input.readings) {
    if (reading->quantity != quantity || !reading->values) continue;
    if (folded(reading->instrument.value_or("")) != folded(name.value_or(""))) continue;
    std::vector<double> group;
    for (const AnyQuantity& value : reading->values->value.values) group.push_back(value.si);
    if (group.size() >= 2) groups.push_back(std::move(group));
  }
  if (groups.size() < 3) return std::nullopt;
  const auto pooled = pooled_sd(groups);
  if (!pooled || pooled->nu < 4 || pooled->sd == 0) return std::nullopt;
  return *pooled;
}

void note_impossible(Dimension& dimension, const MeasurandInfo& info) {
  if (dimension.kind != info.kinds.front()) return;
  for (const DirectionMean& direction : dimension.directions) {
    if (direction.mean >= info.plausible_lower && direction.mean <= info.plausible_upper) continue;
    dimension.impossible.push_back(
        {PlausibilityCode::not_physical,
         fmt::format("{} cannot be a {} of any piston engine: is the unit right?",
                     quantity_text(direction.mean, *dimension.unit, dimension.decimals), info.name),
         std::nullopt, std::nullopt});
    return;
  }
}

// One entry by itself: what it says and how well.
struct EntryPart {
  std::string id;
  std::string direction;
  double mean = 0;
  double u = 0;
  std::optional<std::pair<double, double>> between;
};

// Everything that the entries of one place say, before any statistics.
struct Gathered {
  std::vector<std::pair<std::string, std::vector<double>>> directions;  // in order of entry
  const Unit* unit = nullptr;
  int decimals = 3;
  int n = 0;                  // readings, a reported mean counting as often as it says
  bool any_reported = false;  // a mean without its scatter
  bool all_reported_with_U = true;
  double reported_u = 0;  // largest of the uncertainties reported with values
  std::optional<std::pair<double, double>> between;  // all entries are blades
  std::vector<EntryPart> parts;
  std::optional<std::string> contradiction;
  std::optional<std::string> hot;  // taken hot, where the limit is for cold parts
  InstrumentData gauge;            // of the entries, the one with the largest U
  std::optional<std::string> gauge_name;
  double step = 0;
  std::vector<Contribution> temperature_terms;
  std::vector<std::string> temperature_words;
  std::vector<std::string> evidence;
};

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

bool set_means(Dimension& dimension, const Gathered& gathered, bool form) {
  double sum = 0;
  for (const auto& [name, values] : gathered.directions) {
    const auto summary = summarize(values);
    if (!summary) return false;
    const double low = form ? summary->min : summary->mean;
    const double high = form ? summary->max : summary->mean;
    dimension.lowest = dimension.directions.empty() ? low : std::min(dimension.lowest, low);
    dimension.highest = dimension.directions.empty() ? high : std::max(dimension.highest, high);
    dimension.directions.push_back({name, summary->mean, summary->n});
    sum += summary->mean;
  }
  dimension.mean = sum / static_cast<double>(dimension.directions.size());
  return true;
}

// A unit slip among the readings, or one far from the rest. Shown, never deleted.
void note_slips(Dimension& dimension, const Gathered& gathered, const CheckInput& input,
                Measurand quantity, const EnginePlace& place) {
  ReadingSet set;
  set.kind = dimension.kind;
  for (const auto& [name, values] : gathered.directions) set.positions.push_back(values);
  set.resolution = gathered.step;
  set.repeatability_sd = gathered.gauge.repeatability_sd;
  const Fit* fit = input.drive != nullptr ? fit_for(input.drive->drive, quantity, place) : nullptr;
  const bool diameter =
      quantity == Measurand::journal_diameter || quantity == Measurand::bore_diameter;
  if (diameter && fit != nullptr && fit->new_range && fit->new_range->value.lower_si &&
      fit->new_range->value.upper_si)
    set.expected = {0.95 * *fit->new_range->value.lower_si, 1.05 * *fit->new_range->value.upper_si};
  for (const auto& [name, values] : gathered.directions)
    for (const double value : values)
      if (set.expected.lower && (value < *set.expected.lower || value > *set.expected.upper))
        dimension.impossible.push_back(
            {PlausibilityCode::unit_slip,
             fmt::format("one reading is {}, far from any {} of this drive: is its unit right?",
                         quantity_text(value, *dimension.unit, dimension.decimals),
                         measurand_info(quantity).name),
             std::nullopt, std::nullopt});
  for (const PlausibilityNote& note : plausibility_notes(set)) {
    if (note.code == PlausibilityCode::unit_slip) dimension.impossible.push_back(note);
    if (note.code == PlausibilityCode::outlier)
      dimension.remarks.push_back(note.sentence + ": read it again");
  }
}

struct Terms {
  std::vector<Contribution> mean, single;
};

std::vector<std::vector<double>> groups_of(const Gathered& gathered) {
  std::vector<std::vector<double>> groups;
  for (const auto& [name, values] : gathered.directions) groups.push_back(values);
  return groups;
}

// Scatter of a single reading and how well it is known; says what had to be assumed.
double scatter(const CheckInput& input, Measurand quantity, const Gathered& gathered, double& nu,
               std::vector<std::string>& assumptions) {
  const InstrumentData& gauge = gathered.gauge;
  nu = kInfiniteNu;
  if (const auto pooled = pooled_sd(groups_of(gathered))) {
    // Few equal digits do not make a gauge better than its kind.
    if (gauge.repeatability_sd > pooled->sd) return gauge.repeatability_sd;
    nu = pooled->nu;
    return pooled->sd;
  }
  if (const auto elsewhere = seen_elsewhere(input, quantity, gathered.gauge_name)) {
    nu = elsewhere->nu;
    assumptions.emplace_back(
        "no repeats here: scatter as the same instrument showed elsewhere in this case");
    return std::max({elsewhere->sd, gauge.repeatability_sd, gathered.step / 2});
  }
  assumptions.emplace_back(
      gathered.any_reported
          ? "a reported mean: its scatter is not known, taken as large as the gauge's own term"
          : "one reading: scatter not seen, taken as large as the gauge's own term; three are "
            "advised");
  return std::max(gauge.expanded_U / 2, gauge.repeatability_sd);
}

Terms gauge_terms(const CheckInput& input, Measurand quantity, const Gathered& gathered,
                  Dimension& dimension) {
  double nu = kInfiniteNu;
  dimension.repeat_sd = scatter(input, quantity, gathered, nu, dimension.assumptions);
  const double n = std::max(1, dimension.n);
  const double n_single = std::max(1.0, n / static_cast<double>(dimension.directions.size()));
  Terms terms;
  terms.mean.push_back({"repeat", dimension.repeat_sd / std::sqrt(n), nu});
  // Of a single place (chain, groove) the scatter over the places is form.
  terms.single.push_back(
      {"repeat", has_form(quantity) ? 0.0 : dimension.repeat_sd / std::sqrt(n_single), nu});
  for (auto* list : {&terms.mean, &terms.single}) {
    list->push_back({"resolution", resolution_u(gathered.step)});
    list->push_back({"calibration", std::max(gathered.gauge.expanded_U / 2, gathered.reported_u)});
    list->insert(list->end(), gathered.temperature_terms.begin(), gathered.temperature_terms.end());
  }
  if (!gathered.gauge.words.empty()) dimension.assumptions.push_back(gathered.gauge.words);

  return terms;
}

}  // namespace

std::vector<EntryOf<Reading>> readings_at(const CheckInput& input, Measurand quantity,
                                          std::string_view place) {
  std::vector<EntryOf<Reading>> found;
  for (const auto& entry : input.readings)
    if (entry.body->quantity == quantity && same_place(entry.body->place, place))
      found.push_back(entry);
  return found;
}

std::optional<Dimension> dimension_at(const CheckInput& input, Measurand quantity,
                                      const EnginePlace& place, const ReadingFilter& counts) {
  const Gathered gathered = gather(input, quantity, place, counts);
  if (gathered.directions.empty() || gathered.unit == nullptr) return std::nullopt;

  Dimension dimension;
  dimension.kind = gathered.unit->kind;
  dimension.unit = gathered.unit;
  dimension.decimals = gathered.decimals;
  dimension.n = gathered.n;
  dimension.between = gathered.between;
  dimension.evidence = gathered.evidence;
  if (!set_means(dimension, gathered, has_form(quantity))) return std::nullopt;

  Terms terms;
  if (dimension.between) {
    const double half = (dimension.between->second - dimension.between->first) / 2;
    terms.mean = terms.single = {{"between two blades", rectangular_u(half)}};
  } else if (gathered.all_reported_with_U) {
    terms.mean = terms.single = {{"as reported", gathered.reported_u}};
    dimension.assumptions.emplace_back(
        "uncertainty as reported with the value, k = 2 unless stated");
  } else {
    terms = gauge_terms(input, quantity, gathered, dimension);
  }
  for (const std::string& words : gathered.temperature_words)
    if (std::find(dimension.assumptions.begin(), dimension.assumptions.end(), words) ==
        dimension.assumptions.end())
      dimension.assumptions.push_back(words);

  const auto budget = combine(terms.mean);
  const auto budget_single = combine(terms.single);
  if (!budget || !budget_single) return std::nullopt;
  dimension.budget = *budget;
  dimension.budget_single = *budget_single;
  dimension.gauge_U = 2 * std::max(gathered.gauge.expanded_U / 2, gathered.reported_u);
  dimension.outside = gathered.hot;
  note_impossible(dimension, measurand_info(quantity));
  note_slips(dimension, gathered, input, quantity, place);
  if (gathered.contradiction)
    dimension.impossible.insert(
        dimension.impossible.begin(),
        {PlausibilityCode::outlier, *gathered.contradiction, std::nullopt, std::nullopt});
  return dimension;
}

}  // namespace tautmark
