// SPDX-License-Identifier: Apache-2.0
#include "judge/dimension.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "judge/gather.h"
#include "measure/statistics.h"

namespace tautmark {
namespace {

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
