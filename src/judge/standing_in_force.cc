// SPDX-License-Identifier: Apache-2.0
#include "judge/standing_in_force.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "judge/state_in_force.h"

namespace tautmark {
namespace {

// A correction takes the place of what it corrects, but it was typed when it was typed; entries of
// one case lie in one row, in the order typed.
const Entry* corrected_after(const std::vector<const Entry*>& entries, const Entry& standing) {
  const auto found = std::find_if(entries.begin(), entries.end(), [&](const Entry* entry) {
    return entry->replaces && std::greater<>{}(entry, &standing);
  });
  return found == entries.end() ? nullptr : *found;
}

}  // namespace

StandingInForce standing_in_force(const std::vector<const Entry*>& entries) {
  StandingInForce found;
  const Entry* moved_by = nullptr;
  // One after the other without a state between: one of them is not true.
  const Entry* before = nullptr;
  const Entry* last = nullptr;
  for (const Entry* entry : entries) {
    if (const auto* standing = std::get_if<Standing>(&entry->body)) {
      found.entry = entry;
      found.standing = standing;
      before = last;
      last = entry;
      moved_by = nullptr;
    } else if (const auto* marks = std::get_if<MarksSeen>(&entry->body);
               std::holds_alternative<EngineState>(entry->body) ||
               (marks != nullptr && marks->settled == true)) {
      if (moved_by == nullptr) moved_by = entry;
      if (marks == nullptr) last = nullptr;
    }
  }
  if (found.entry == nullptr) return found;
  const StateInForce state = state_in_force(entries);
  if (state.state == nullptr) {
    found.because = state.because.empty()
                        ? "the state of the engine is not entered: enter it, then where it stands"
                        : state.because;
  } else if (moved_by != nullptr) {
    found.because =
        fmt::format("{} was entered after {}, where the engine stood: enter again where it stands",
                    moved_by->id, found.entry->id);
  }
  if (found.because.empty() && before != nullptr)
    found.because = fmt::format(
        "{} and {} both say where the engine stands, with no state between: enter the state again, "
        "then where it stands",
        before->id, found.entry->id);
  if (const Entry* one = corrected_after(entries, *found.entry);
      found.because.empty() && one != nullptr)
    found.because = fmt::format(
        "{} corrects what it rests on, after it was entered: enter again where it stands", one->id);
  if (!found.because.empty()) {
    found.standing = nullptr;
    return found;
  }
  found.state = state.state;
  found.phaser_seen = state.phaser_seen;
  return found;
}

}  // namespace tautmark
