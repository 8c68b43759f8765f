// SPDX-License-Identifier: Apache-2.0
// Everything that the entries of one measurand at one place say, before any statistics; and where
// they contradict each other.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "judge/dimension.h"

namespace tautmark {

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

// Chain and guide: entries are of different places on it, so their differences are form.
bool has_form(Measurand quantity);

Gathered gather(const CheckInput& input, Measurand quantity, const EnginePlace& place,
                const ReadingFilter& counts);

}  // namespace tautmark
