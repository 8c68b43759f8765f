// SPDX-License-Identifier: Apache-2.0
// What a gauge read, and which oil was in the engine then: for every check of oil pressure.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "judge/check.h"
#include "judge/conditions.h"
#include "oil/library.h"

namespace tautmark {

// Which oil was in it: the latest oil entry before the reading, and what the reading says of it.
// A drive with a grade; adds the entries that tell.
ConditionCheck oil_in_it(const CheckInput& input, const EntryOf<PressureReading>& reading,
                         std::vector<std::string>& evidence);

// Which grade that was, for a reading brought to another condition.
struct GradeInIt {
  std::string grade;
  bool is_assumed = false;  // nobody says: the specified one, which nothing speaks against
};
// Nothing where the entries contradict each other, or say another oil and not which.
std::optional<GradeInIt> grade_in_it(const CheckInput& input,
                                     const EntryOf<PressureReading>& reading);

// Speed, oil temperature and oil of a reading against those of a limit; adds the entries that tell
// the oil.
std::vector<ConditionCheck> limit_conditions(const CheckInput& input, const PressureLimit& limit,
                                             const EntryOf<PressureReading>& reading,
                                             std::vector<std::string>& evidence);

// Standard, of the thermometer alone.
TemperatureDifference oil_temperature_u(const CheckInput& input, const PressureReading& reading);

// What was read before the drive was last opened says nothing of the engine as it is since. At
// least one reading.
void keep_since_opened(const CheckInput& input, std::vector<EntryOf<PressureReading>>& here);

// "main gallery at 650 ± 25 1/min": what findings about a port and its limit are of.
std::string port_and_limit(const EnginePlace& port, const PressureLimit& limit);

// However they are spelled: "5w30", "5W-30".
bool is_same_grade(const std::string& a, const std::string& b);

// The oil of that grade against the specified one, both typical, at 100 °C. Nothing where either is
// not in the library.
std::optional<oil::OilComparison> against_specified(const CheckInput& input,
                                                    const std::string& grade);

// What an oil that is not the specified one does to a pressure read; both, where nothing is known.
std::string_view oil_effect(const std::optional<oil::OilComparison>& oil);

// One of the words stands in what was typed of an oil, and nothing denies it: "no foam".
bool oil_words_say(const std::string& typed, std::span<const std::string_view> words);

struct PooledPressure {
  std::vector<std::string> evidence;
  std::vector<std::string> budget;
  ValueInUse value;
  std::optional<std::string> contradiction;
};

// The entries that were taken under one limit's conditions, as one pressure.
std::optional<PooledPressure> pooled_pressure(const CheckInput& input,
                                              const std::vector<EntryOf<PressureReading>>& entries);

}  // namespace tautmark
