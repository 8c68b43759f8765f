// SPDX-License-Identifier: Apache-2.0
#include "procedure/marks_shown.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "casework/mark_words.h"
#include "drive/places.h"

namespace tautmark::procedure {
namespace {

// From marked tooth to marked tooth, whatever was counted: see geometry/counts.h.
int in_pitches(int links, std::optional<LinkCounting> counted) {
  if (counted == LinkCounting::both_marks) return links - 1;
  if (counted == LinkCounting::between) return links + 1;
  return links;
}

const Strand* strand_of(const Chain& chain, const Strand& counted) {
  const auto at = std::find_if(chain.strands.begin(), chain.strands.end(), [&](const Strand& one) {
    return same_place(one.from, counted.from) && same_place(one.to, counted.to);
  });
  if (at != chain.strands.end()) return &*at;
  if (chain.strands.size() < 3) return nullptr;  // of two strands both have these ends
  const auto back = std::find_if(chain.strands.begin(), chain.strands.end(), [&](const Strand& s) {
    return same_place(s.from, counted.to) && same_place(s.to, counted.from);
  });
  return back == chain.strands.end() ? nullptr : &*back;
}

void add_counts(const Chain& chain, const MarksSeen& seen, MarksShown& shown) {
  for (const Strand& counted : seen.strands) {
    const Strand* of_drive = strand_of(chain, counted);
    if (of_drive == nullptr) continue;
    const int found = in_pitches(counted.links, seen.counted);
    const int wanted = in_pitches(of_drive->links, chain.counted);
    if (found == wanted) {
      shown.nothing.clear();
    } else if (shown.wrong.empty()) {
      shown.wrong = fmt::format("{} to {} was counted {}, the definition has {} pitches",
                                counted.from, counted.to, found, wanted);
    }
  }
}

void add_mark(const SprocketMark& mark, MarksShown& shown) {
  const auto words = read_mark_words(mark.stands);
  if (!words || words->of_link || mark.against == MarkAgainst::link) return;
  if (words->seen == MarkSeen::off || words->seen == MarkSeen::half_turn_away) {
    if (shown.wrong.empty())
      shown.wrong = fmt::format("the mark of {} was read: {}", mark.at, words->said);
  } else if (words->seen == MarkSeen::right && !words->doubt && words->unheard.empty()) {
    shown.nothing.clear();
  }
}

const Chain* chain_seen(const Drive& drive, const MarksSeen& seen) {
  for (const Chain& chain : drive.chains)
    if (folded(chain.name) == folded(seen.chain)) return &chain;
  return nullptr;
}

bool is_named(const StepDone& done, const Entry& entry) {
  return std::find(done.shown_by.begin(), done.shown_by.end(), entry.id) != done.shown_by.end();
}

// Of one bank.
std::string marks_open(const Drive& drive, int bank, const StepDone& done,
                       const std::vector<const Entry*>& entries, const Entry* moved_by) {
  bool is_since = moved_by == nullptr, is_shown = false;
  for (const Entry* entry : entries) {
    const auto* seen = std::get_if<MarksSeen>(&entry->body);
    if (seen != nullptr && is_named(done, *entry)) {
      const MarksShown shown = marks_shown(drive, *seen);
      if (!shown.wrong.empty())
        return fmt::format("marks that stand right; {}: {}", entry->id, shown.wrong);
      const Chain* chain = chain_seen(drive, *seen);
      const bool is_of_bank = chain != nullptr && (!chain->bank || *chain->bank == bank);
      is_shown = is_shown || (is_since && is_of_bank && shown.nothing.empty());
    }
    is_since = is_since || entry == moved_by;
  }
  if (is_shown) return {};
  return fmt::format(
      "marks or counts of bank {}, read since the engine was last turned, named under shown_by",
      bank);
}

}  // namespace

MarksShown marks_shown(const Drive& drive, const MarksSeen& seen) {
  MarksShown shown{.nothing = "no strand counted and no sprocket mark seen right"};
  if (const Chain* chain = chain_seen(drive, seen)) add_counts(*chain, seen, shown);
  for (const SprocketMark& mark : seen.sprockets) add_mark(mark, shown);
  return shown;
}

std::string reading_open(const Drive& drive, const Step& step, const StepDone& done,
                         const std::vector<const Entry*>& entries, const Entry* moved_by) {
  if (step.written->gate != GateWants::reading) return {};
  const bool has_pressure = std::any_of(entries.begin(), entries.end(), [&](const Entry* entry) {
    return std::holds_alternative<PressureReading>(entry->body) && is_named(done, *entry);
  });
  if (gives_item(step, Item::primed, 0) && !has_pressure) return "a pressure, named under shown_by";
  for (const Fact& give : step.gives) {
    if (!give.own.empty() || give.item != Item::marks) continue;
    if (std::string open = marks_open(drive, give.bank, done, entries, moved_by); !open.empty())
      return open;
  }
  return {};
}

}  // namespace tautmark::procedure
