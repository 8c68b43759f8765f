// SPDX-License-Identifier: Apache-2.0
#include "judge/state_in_force.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.h"
#include "casework/case_fields.h"

namespace tautmark {
namespace {

// Parts that hold the timing, or that work or hold the valves: by a word of the place or aspect.
constexpr std::string_view kTimingParts[] = {
    "chain",    "belt",   "tensioner", "plunger", "ratchet",  "guide",     "arm",
    "rail",     "phaser", "lock",      "pin",     "sprocket", "pulley",    "gear",
    "idler",    "key",    "camshaft",  "cam",     "crank",    "cap",       "valve",
    "follower", "lifter", "rocker",    "piston",  "woodruff", "crankshaft"};

bool is_of_the_timing(const Observation& seen) {
  std::string words = folded(seen.place + " " + seen.aspect);
  for (const char separator : {'/', '-', ','})
    std::replace(words.begin(), words.end(), separator, ' ');
  for (std::string word : split(words, ' ')) {
    const auto is = [&](std::string_view part) { return word == part; };
    if (std::any_of(std::begin(kTimingParts), std::end(kTimingParts), is)) return true;
    if (word.ends_with('s')) word.pop_back();
    if (std::any_of(std::begin(kTimingParts), std::end(kTimingParts), is)) return true;
  }
  return false;
}

bool is_bad(const Observation& seen) {
  return seen.condition == Condition::damaged || seen.condition == Condition::worn ||
         seen.condition == Condition::missing;
}

std::string found_bad(const Entry& entry, const Observation& seen) {
  return fmt::format("{} found {} / {} {}", entry.id, seen.place, seen.aspect,
                     choice_name(*seen.condition));
}

// Why an entry after the state withdraws it; empty where it does not.
std::string withdraws(const Entry& entry, const EngineState& state) {
  const std::string after =
      fmt::format("something was entered after the state, {}: enter the state again", entry.id);
  if (is_said(entry.remark))
    return fmt::format("{} carries a remark: enter the state again without one", entry.id);
  if (const auto* marks = std::get_if<MarksSeen>(&entry.body)) {
    if (state.chain == OnOff::off && !marks->strands.empty())
      return fmt::format("{} counts links of a loop that is off: enter the state again", entry.id);
    if (marks->settled == true && state.turned != Turned::by_hand_running_direction)
      return fmt::format(
          "{} says turned before it was read, the state does not: enter the state "
          "again",
          entry.id);
    return {};
  }
  if (std::holds_alternative<Identification>(entry.body) ||
      std::holds_alternative<Standing>(entry.body))
    return {};
  if (const auto* part = std::get_if<PartEntry>(&entry.body))
    return part->action == PartAction::ordered && !is_said(part->reason) ? "" : after;
  if (const auto* seen = std::get_if<Observation>(&entry.body)) {
    if (is_bad(*seen))
      return found_bad(entry, *seen) +
             ", after the state: mend that, then "
             "enter the state again";
    return seen->condition == Condition::sound && !is_said(seen->words) ? "" : after;
  }
  return after;
}

// With the loop on, a part of the timing once found bad stays so until it is seen sound again at
// the same place. Null: none.
const Entry* bad_part(const std::vector<const Entry*>& entries) {
  std::map<std::string, const Entry*> bad;
  for (const Entry* entry : entries) {
    const auto* seen = std::get_if<Observation>(&entry->body);
    if (seen == nullptr || !is_of_the_timing(*seen)) continue;
    const std::string where = folded(seen->place) + " / " + folded(seen->aspect);
    if (is_bad(*seen)) {
      bad[where] = entry;
    } else if (seen->condition == Condition::sound) {
      bad.erase(where);
    }
  }
  return bad.empty() ? nullptr : bad.begin()->second;
}

// A date without a time of day says nothing of the order within that day.
bool is_earlier(const Date& one, const Date& other) {
  const std::string a = date_order(one), b = date_order(other);
  const std::size_t length = std::min(one.text.size(), other.text.size()) <= 10
                                 ? std::size_t{10}
                                 : std::min(a.size(), b.size());
  return a.substr(0, length) < b.substr(0, length);
}

// The first entry, from the state on, that carries an earlier time than one written before it.
struct Reversed {
  const Entry* entry = nullptr;
  const Entry* before = nullptr;
};
Reversed reversed_time(const std::vector<const Entry*>& entries, const Entry* state) {
  const Entry* latest = nullptr;
  bool from_state_on = false;
  for (const Entry* entry : entries) {
    from_state_on = from_state_on || entry == state;
    if (!entry->at) continue;
    if (latest != nullptr && is_earlier(*entry->at, *latest->at)) {
      if (from_state_on) return {entry, latest};
      continue;
    }
    latest = entry;
  }
  return {};
}

}  // namespace

StateInForce state_in_force(const std::vector<const Entry*>& entries) {
  StateInForce found;
  const Entry* state_entry = nullptr;
  const auto withdraw = [&](const std::string& id, std::string because) {
    found = {.withdrawn_by = id, .because = std::move(because)};
  };
  for (const Entry* entry : entries) {
    if (const auto* state = std::get_if<EngineState>(&entry->body)) {
      found = {.state = state};
      state_entry = entry;
      if (is_said(entry->remark)) withdraw(entry->id, withdraws(*entry, *state));
      continue;
    }
    if (found.state == nullptr) continue;
    if (std::string why = withdraws(*entry, *found.state); !why.empty()) {
      withdraw(entry->id, std::move(why));
    } else if (const auto* marks = std::get_if<MarksSeen>(&entry->body)) {
      if (marks->phaser && *marks->phaser != Locked::locked &&
          found.phaser_seen != Locked::not_locked)
        found.phaser_seen = marks->phaser;
    }
  }
  if (found.state == nullptr) return found;
  if (const Reversed reversed = reversed_time(entries, state_entry); reversed.entry != nullptr) {
    withdraw(reversed.entry->id,
             fmt::format("{} stands after {} and carries an earlier time: enter the state again, "
                         "then what was counted after it",
                         reversed.entry->id, reversed.before->id));
  } else if (found.state->chain != OnOff::off) {
    if (const Entry* bad = bad_part(entries))
      withdraw(bad->id, found_bad(*bad, std::get<Observation>(bad->body)) +
                            ", and it was not seen sound since");
  }
  return found;
}

}  // namespace tautmark
