// SPDX-License-Identifier: Apache-2.0
#include "judge/valves_straight.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.h"
#include "casework/view.h"
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

// "valves by borescope": the valves and nothing else, all of them.
bool is_of_all_valves(const Observation& seen) {
  constexpr std::string_view kWords[] = {"valves", "valve",     "heads",   "by",      "borescope",
                                         "seen",   "straight",  "both",    "and",     "all",
                                         "crowns", "crown",     "of",      "the",     "intake",
                                         "inlet",  "exhaust",   "piston",  "pistons", "with",
                                         "a",      "endoscope", "through", "plug",    "hole"};
  bool valves = false, intake = false, exhaust = false;
  for (const std::string& word : split(folded(seen.aspect), ' ')) {
    if (word.empty()) continue;
    if (std::find(std::begin(kWords), std::end(kWords), word) == std::end(kWords)) return false;
    valves = valves || word == "valves";
    intake = intake || word == "intake" || word == "inlet";
    exhaust = exhaust || word == "exhaust";
  }
  return valves && intake == exhaust;
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

std::optional<AnyInterval> limit_of(const Reading& reading, const Drive& drive) {
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

// A limit of its own may be stricter than that of the definition, never weaker.
bool leaks(const Reading& reading, const Drive& drive) {
  const auto limit = limit_of(reading, drive);
  double most = limit && limit->upper_si ? *limit->upper_si : kMostLeak;
  if (reading.limit && reading.limit->value.upper_si)
    most = std::min(most, *reading.limit->value.upper_si);
  const std::vector<double> values = values_of(reading);
  // Written so that what is no number leaks.
  return !std::all_of(values.begin(), values.end(), [&](double v) { return v <= most; });
}

// Without a limit nobody can say that it is not low; nor beside a remark.
bool is_low(const LastReading& last, const Drive& drive) {
  const Reading& reading = *last.reading;
  std::optional<double> least;
  if (const auto limit = limit_of(reading, drive)) least = limit->lower_si;
  if (reading.limit && reading.limit->value.lower_si)
    least = std::max(least.value_or(0), *reading.limit->value.lower_si);
  if (!least || is_said(last.entry->remark)) return true;
  const std::vector<double> values = values_of(reading);
  return !std::all_of(values.begin(), values.end(), [&](double v) { return v >= *least; });
}

// The starter turns it for this, or it runs.
bool is_cranked(const EntryBody& body) {
  if (const auto* reading = std::get_if<Reading>(&body))
    return reading->quantity == Measurand::compression;
  if (const auto* state = std::get_if<EngineState>(&body))
    return state->turned == Turned::by_starter;
  if (const auto* step = std::get_if<StepDone>(&body)) {
    const std::string name = folded(step->step);
    for (const std::string_view words :
         {"start the engine", "prime", "crank the engine", "run the engine", "starter"})
      if (name.find(words) != std::string::npos) return true;
    return false;
  }
  return std::holds_alternative<PressureReading>(body) ||
         std::holds_alternative<SensorRecording>(body) ||
         std::holds_alternative<PhaseSamples>(body);
}

const Entry* last_cranked(const std::vector<const Entry*>& entries) {
  const auto last = std::find_if(entries.rbegin(), entries.rend(),
                                 [](const Entry* entry) { return is_cranked(entry->body); });
  return last == entries.rend() ? nullptr : *last;
}

std::string low_compression(const std::vector<const Entry*>& entries, const Drive& drive) {
  for (const auto& [place, last] : last_readings(entries, Measurand::compression))
    if (is_low(last, drive))
      return fmt::format("compression of {} is low, or without a limit ({})", place,
                         last.entry->id);
  return {};
}

std::string why_needed(const std::vector<const Entry*>& entries, const Standing& standing,
                       const Drive& drive) {
  if (standing.since_jump == SinceJump::ran) return "it ran with the timing off";
  if (standing.since_jump == SinceJump::cranked) return "it was cranked with the timing off";
  if (!standing.since_jump || standing.since_jump == SinceJump::unknown)
    return "how it was turned since the timing was off is not known";
  if (std::string low = low_compression(entries, drive); !low.empty()) return low;
  if (const Entry* cranked = last_cranked(entries); cranked != nullptr)
    return fmt::format("the starter turned it, or it ran, for {}", cranked->id);
  return {};
}

bool shows_valves(const std::vector<const Entry*>& entries, const std::string& place) {
  bool sound = false;
  for (const Entry* entry : entries) {
    const auto* seen = std::get_if<Observation>(&entry->body);
    if (seen == nullptr || !names_valves(*seen) || !same_place(seen->place, place)) continue;
    if (seen->condition != Condition::sound)
      sound = false;
    else if (is_of_all_valves(*seen) && !is_said(seen->words) && !is_said(entry->remark))
      sound = true;
  }
  return sound;
}

// The first cylinder that nothing since it was last cranked shows straight; 0: none.
int not_shown(std::vector<const Entry*> entries, StraightBy by, int cylinders) {
  if (const Entry* cranked = last_cranked(entries); cranked != nullptr)
    entries.erase(entries.begin(), std::find(entries.begin(), entries.end(), cranked) + 1);
  const ByPlace leak = last_readings(entries, Measurand::leak_down);
  for (int number = 1; number <= cylinders; ++number) {
    const std::string place = fmt::format("cylinder {}", number);
    const auto found = leak.find(place);
    if (by == StraightBy::leak_down ? found == leak.end() || is_said(found->second.entry->remark)
                                    : !shows_valves(entries, place))
      return number;
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

// A borescope after it speaks for the cylinder again: the valve was put right.
std::string leaking(const std::vector<const Entry*>& entries, const Drive& drive) {
  for (const auto& [place, last] : last_readings(entries, Measurand::leak_down))
    if (leaks(*last.reading, drive) &&
        !shows_valves({std::find(entries.begin(), entries.end(), last.entry), entries.end()},
                      place))
      return fmt::format("{} leaks ({}): a valve may be bent", place, last.entry->id);
  return {};
}

}  // namespace

ValvesDoubted driven_doubted(const std::vector<const Entry*>& entries, const Drive& drive) {
  std::string bad = seen_bad(entries);
  if (bad.empty()) bad = leaking(entries, drive);
  return bad.empty() ? ValvesDoubted{} : ValvesDoubted{std::move(bad), std::string(kLook)};
}

ValvesDoubted valves_doubted(const std::vector<const Entry*>& entries, const Standing& standing,
                             const EngineState& state, const Drive& drive) {
  const std::string ask(kLook);
  if (ValvesDoubted bad = driven_doubted(entries, drive); !bad.because.empty()) return bad;
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
        fmt::format("{}, and no entry since shows the valves of cylinder {} straight by {}", why,
                    number, by == StraightBy::leak_down ? "a leak-down test" : "a borescope"),
        ask};
  return {};
}

ValvesDoubted closed_doubted(const std::vector<const Entry*>& entries, const EngineState& state,
                             const Drive& drive, bool is_off) {
  const std::string ask(kLook);
  const auto standings = all_of_kind<Standing>(entries);
  if (!standings.empty()) {
    const Standing& standing = *standings.back().body;
    if (standing.in_cylinders != false)
      return {standing.in_cylinders ? "something lies in a cylinder"
                                    : "nobody has said whether anything lies in a cylinder",
              "Look into every cylinder through its plug hole with a borescope."};
    return valves_doubted(entries, standing, state, drive);
  }
  if (ValvesDoubted bad = driven_doubted(entries, drive); !bad.because.empty()) return bad;
  std::string why = low_compression(entries, drive);
  if (const Entry* cranked = last_cranked(entries);
      why.empty() && cranked != nullptr &&
      (is_off || std::holds_alternative<EngineState>(cranked->body)))
    why = fmt::format("the starter turned it, or it ran, for {}", cranked->id);
  const int cylinders = cylinders_of(drive);
  if (why.empty() || (cylinders > 0 && (not_shown(entries, StraightBy::leak_down, cylinders) == 0 ||
                                        not_shown(entries, StraightBy::borescope, cylinders) == 0)))
    return {};
  return {why + ", and nothing shows that the valves are straight", ask};
}

}  // namespace tautmark
