// SPDX-License-Identifier: Apache-2.0
#include "judge/valves_straight.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.h"
#include "drive/places.h"

namespace tautmark {
namespace {

constexpr std::string_view kLook =
    "Leak-down at the firing dead center of each cylinder, crank held and stand clear, or valves "
    "and crowns seen through the plug holes: enter it for every cylinder, then where the engine "
    "stands.";

int cylinders_of(const Drive& drive) {
  if (!drive.cylinders) return 0;
  return drive.cylinders->count.value_or(static_cast<int>(drive.cylinders->firing_order.size()));
}

bool names_valves(const Observation& seen) {
  const std::string words = folded(seen.place + " " + seen.aspect);
  return words.find("valve") != std::string::npos;
}

std::vector<double> values_of(const Reading& reading) {
  std::vector<double> values;
  if (reading.values)
    for (const AnyQuantity& each : reading.values->value.values) values.push_back(each.si);
  if (reading.value) {
    const double u = reading.value->value.expanded_si.value_or(0);
    values.push_back(reading.value->value.value.si - u);
    values.push_back(reading.value->value.value.si + u);
  }
  return values;
}

// Its own limit, else that of the definition.
std::optional<AnyInterval> limit_of(const Reading& reading, const Drive& drive) {
  if (reading.limit) return reading.limit->value;
  for (const EnginePlace& place : places_of(drive))
    if (same_place(place.path, reading.place))
      if (const Fit* fit = fit_for(drive, reading.quantity, place); fit != nullptr && fit->service)
        return fit->service->value;
  return std::nullopt;
}

struct LastReading {
  const Entry* entry = nullptr;
  const Reading* reading = nullptr;
};
using ByPlace = std::map<std::string, LastReading>;
ByPlace last_readings(const std::vector<const Entry*>& entries, Measurand quantity) {
  ByPlace last;
  for (const Entry* entry : entries)
    if (const auto* reading = std::get_if<Reading>(&entry->body);
        reading != nullptr && reading->quantity == quantity && !values_of(*reading).empty())
      last[folded(reading->place)] = {entry, reading};
  return last;
}

bool leaks(const Reading& reading, const Drive& drive) {
  const auto limit = limit_of(reading, drive);
  const double most = limit && limit->upper_si ? *limit->upper_si : kMostLeak;
  const std::vector<double> values = values_of(reading);
  // Written so that what is no number leaks.
  return !std::all_of(values.begin(), values.end(), [&](double v) { return v <= most; });
}

// Without a limit nobody can say that it is not low.
bool is_low(const Reading& reading, const Drive& drive) {
  const auto limit = limit_of(reading, drive);
  if (!limit || !limit->lower_si) return true;
  const std::vector<double> values = values_of(reading);
  return !std::all_of(values.begin(), values.end(),
                      [&](double v) { return v >= *limit->lower_si; });
}

std::string why_needed(const std::vector<const Entry*>& entries, const Standing& standing,
                       const Drive& drive) {
  if (standing.since_jump == SinceJump::ran) return "it ran with the timing off";
  if (standing.since_jump == SinceJump::cranked) return "it was cranked with the timing off";
  if (!standing.since_jump || standing.since_jump == SinceJump::unknown)
    return "how it was turned since the timing was off is not known";
  for (const auto& [place, last] : last_readings(entries, Measurand::compression))
    if (is_low(*last.reading, drive))
      return fmt::format("compression of {} is low, or without a limit ({})", place,
                         last.entry->id);
  return {};
}

// The first cylinder that nothing shows straight; 0: none.
int not_shown(const std::vector<const Entry*>& entries, StraightBy by, int cylinders) {
  const ByPlace leak = last_readings(entries, Measurand::leak_down);
  for (int number = 1; number <= cylinders; ++number) {
    const std::string place = fmt::format("cylinder {}", number);
    if (by == StraightBy::leak_down) {
      if (leak.find(place) == leak.end()) return number;
      continue;
    }
    bool sound = false;
    for (const Entry* entry : entries) {
      const auto* seen = std::get_if<Observation>(&entry->body);
      if (seen == nullptr || !names_valves(*seen)) continue;
      if (same_place(seen->place, place)) sound = seen->condition == Condition::sound;
    }
    if (!sound) return number;
  }
  return 0;
}

std::string seen_bad(const std::vector<const Entry*>& entries) {
  std::map<std::string, std::string> bad;
  for (const Entry* entry : entries) {
    const auto* seen = std::get_if<Observation>(&entry->body);
    if (seen == nullptr || !names_valves(*seen) || !seen->condition) continue;
    const std::string where = folded(seen->place + " / " + seen->aspect);
    if (seen->condition == Condition::sound)
      bad.erase(where);
    else if (seen->condition != Condition::unknown)
      bad[where] = fmt::format("{} was seen bad ({})", where, entry->id);
  }
  return bad.empty() ? "" : bad.begin()->second;
}

}  // namespace

ValvesDoubted valves_doubted(const std::vector<const Entry*>& entries, const Standing& standing,
                             const EngineState& state, const Drive& drive) {
  const std::string ask(kLook);
  if (std::string bad = seen_bad(entries); !bad.empty()) return {std::move(bad), ask};
  for (const auto& [place, last] : last_readings(entries, Measurand::leak_down))
    if (leaks(*last.reading, drive))
      return {fmt::format("{} leaks ({}): a valve may be bent", place, last.entry->id), ask};
  // What shows the valves straight stands before the state, so it says nothing of what came later.
  const Turned turned = state.turned.value_or(Turned::unknown);
  if (turned == Turned::by_starter)
    return {"the starter turned it, after whatever says that the valves are straight", ask};
  if (turned == Turned::unknown)
    return {"nobody has said in the state whether it was turned, and how",
            "Enter the state again, with how it was turned, then where the engine stands."};
  const std::string why = why_needed(entries, standing, drive);
  if (why.empty()) return {};
  const StraightBy by = standing.valves_straight.value_or(StraightBy::not_looked);
  if (by == StraightBy::not_looked)
    return {why + ", and nothing shows that the valves are straight", ask};
  const int cylinders = cylinders_of(drive);
  if (cylinders == 0) return {why + ", and how many cylinders there are is not known", ask};
  if (const int number = not_shown(entries, by, cylinders); number != 0)
    return {
        fmt::format("{}, and no entry before it shows the valves of cylinder {} straight by {}",
                    why, number, by == StraightBy::leak_down ? "a leak-down test" : "a borescope"),
        ask};
  return {};
}

}  // namespace tautmark
