// SPDX-License-Identifier: Apache-2.0
#include "procedure/marks_shown.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "casework/mark_words.h"
#include "drive/places.h"

namespace tautmark::procedure {
namespace {

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
    const int found = as_pitches(counted.links, seen.counted.value_or(LinkCounting::pitches));
    const int wanted = as_pitches(of_drive->links, chain.counted.value_or(LinkCounting::pitches));
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

bool is_recorded(const Entry& entry) {
  return std::holds_alternative<SensorRecording>(entry.body) ||
         std::holds_alternative<PhaseSamples>(entry.body);
}

// What a step that gives this wants to see beyond any reading.
struct Shows {
  Item item{};
  int value = -1;      // -1: any
  bool since = false;  // after the engine was last turned, laid together or started
  bool (*fits)(const Entry&) = nullptr;
  std::string_view wanted{};
};
constexpr Shows kShows[] = {
    {Item::as_found, -1, false,
     [](const Entry& e) { return std::holds_alternative<MarksSeen>(e.body); },
     "marks or counts as found, named under shown_by"},
    {Item::extension, -1, false,
     [](const Entry& e) {
       const auto* reading = std::get_if<Reading>(&e.body);
       return reading != nullptr && reading->quantity == Measurand::tensioner_extension;
     },
     "how far the plunger stands out, named under shown_by"},
    {Item::recording, 0, false, is_recorded,
     "a recording of the sensors or a phase read by a scan tool, named under shown_by"},
    {Item::recording, 1, true, is_recorded,
     "a recording or a phase read since the engine was started, named under shown_by"},
    {Item::primed, -1, true,
     [](const Entry& e) { return std::holds_alternative<PressureReading>(e.body); },
     "a pressure read since the engine was last turned, named under shown_by"},
};

// How long the oil took to come, against the time that the step allows.
std::string rise_open(const Written<Time>& allowed, const StepDone& done,
                      const std::vector<const Entry*>& entries, const Entry* moved_by) {
  bool is_since = moved_by == nullptr, is_told = false;
  for (const Entry* entry : entries) {
    const auto* pressure = std::get_if<PressureReading>(&entry->body);
    if (is_since && pressure != nullptr && pressure->rise && is_named(done, *entry)) {
      is_told = true;
      if (pressure->rise->value > allowed.value)
        return fmt::format("a pressure that is up within {}; {}: it took {}", allowed.text,
                           entry->id, pressure->rise->text);
    }
    is_since = is_since || entry == moved_by;
  }
  return is_told ? "" : "a pressure with the time it took to rise, named under shown_by";
}

}  // namespace

MarksShown marks_shown(const Drive& drive, const MarksSeen& seen) {
  MarksShown shown{.nothing = "no strand counted and no sprocket mark seen right"};
  if (const Chain* chain = chain_seen(drive, seen)) add_counts(*chain, seen, shown);
  for (const SprocketMark& mark : seen.sprockets) add_mark(mark, shown);
  return shown;
}

std::string shown_open(const Drive& drive, const Step& step, const StepDone& done,
                       const std::vector<const Entry*>& entries, const Entry* moved_by) {
  const auto is_shown = [&](auto fits, bool since) {
    bool counts = !since || moved_by == nullptr;
    for (const Entry* entry : entries) {
      if (counts && is_named(done, *entry) && fits(*entry)) return true;
      counts = counts || entry == moved_by;
    }
    return false;
  };
  for (const Fact& give : step.gives) {
    if (!give.own.empty()) continue;
    if (step.written->gate == GateWants::photo) {
      const bool is_of_now = (give.item == Item::tensioner && give.value == 1) ||
                             (give.item == Item::covers && give.value == 1);
      const auto is_photo = [](const Entry& entry) {
        return std::holds_alternative<Attachment>(entry.body);
      };
      if (is_of_now && !is_shown(is_photo, true))
        return "a photo taken since the engine was last turned, named under shown_by";
    }
    if (step.written->gate != GateWants::reading) continue;
    if (give.item == Item::marks) {
      if (std::string open = marks_open(drive, give.bank, done, entries, moved_by); !open.empty())
        return open;
    }
    for (const Shows& one : kShows)
      if (one.item == give.item && (one.value < 0 || one.value == give.value) &&
          !is_shown(one.fits, one.since))
        return std::string(one.wanted);
    if (give.item == Item::primed && step.written->within)
      if (std::string open = rise_open(*step.written->within, done, entries, moved_by);
          !open.empty())
        return open;
  }
  return {};
}

}  // namespace tautmark::procedure
