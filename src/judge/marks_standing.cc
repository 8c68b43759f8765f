// SPDX-License-Identifier: Apache-2.0
#include "judge/marks_standing.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "judge/chain_marks.h"

namespace tautmark {
namespace {

// One chain's standing: right and wrong carry the clause, unknown also what to do.
MarksStanding standing_of(const ChainMarks& marks) {
  const std::string& name = marks.chain->name;
  if (!marks.found)
    return {.why = fmt::format("{}: {}", name, marks.problem),
            .next = "enter links and strands of the chain in the drive"};
  const Assembly& found = *marks.found;
  std::vector<std::string> off, missing;
  std::vector<int> counts;
  for (std::size_t j = 1; j < marks.sprockets.size(); ++j)
    if (const auto& error = found.sprockets[j].half_teeth; error && *error != 0)
      off.push_back(fmt::format("{} {}", marks.sprockets[j].name, error_text(marks, j, *error)));
  for (std::size_t i = 0; i < found.strands.size(); ++i) {
    if (!marks.inputs.counted[i]) missing.push_back(strand_name(marks, i));
    counts.push_back(found.strands[i].pitches.value_or(0));
  }
  MarksStanding standing{.evidence = marks.evidence};
  if (!missing.empty()) {
    standing.why = fmt::format("{}: {} of {} strands counted", name, counts.size() - missing.size(),
                               counts.size());
    standing.next = fmt::format("count, without turning: {}", joined(missing, "; "));
  } else if (found.surplus != 0) {
    standing.why = fmt::format("{}: {} pitches and {} links, a miscount or another chain", name,
                               counts_text(counts), marks.inputs.links);
    standing.next = "count every strand again, without turning";
  } else if (!off.empty()) {
    // What was off stays off until it is counted right.
    standing.proof = MarksProof::wrong;
    standing.why = fmt::format("{}: {}", name, joined(off, ", "));
  } else if (!marks.touched_by.empty()) {
    standing.why =
        fmt::format("{}: counted before {}, which touched the drive", name, marks.touched_by);
    standing.next = "count every strand again, without turning";
  } else if (found.right) {
    standing.proof = MarksProof::right;
    standing.why = fmt::format("{}: every strand counted, {} of {}, all as in the drive", name,
                               counts_text(counts), marks.inputs.links);
  }
  return standing;
}

// A mark against the casting that was not seen right, without doubt and in words all of them
// understood, while the counts say right: a count begins at a mark that is seen. Which one and how;
// empty: none.
std::string seen_otherwise(const ChainMarks& marks) {
  for (const ChainSprocket& sprocket : marks.sprockets) {
    if (!sprocket.stand || sprocket.stand->against_link) continue;
    const MarkWords& words = sprocket.stand->words;
    if (words.seen != MarkSeen::right || words.doubt || !words.unheard.empty())
      return fmt::format("the mark of {} was seen otherwise ({}: {})", sprocket.name,
                         sprocket.stand->entry->id, clipped(words.said));
  }
  return {};
}

// What is entered after it stands by itself: marks seen before it prove nothing.
bool touches_the_drive(const EntryBody& body) {
  return std::holds_alternative<EngineState>(body) || std::holds_alternative<StepDone>(body) ||
         std::holds_alternative<TorqueTrace>(body) || std::holds_alternative<PartEntry>(body) ||
         std::holds_alternative<Reading>(body) || std::holds_alternative<PressureReading>(body);
}

// The last word on the marks of a gear: seen right after the drive was last touched, either as a
// mark of a chain's entry, or as the observation "gear marks" of its shaft, sound.
bool gear_marks_right(const CheckInput& input, std::string_view shaft) {
  bool right = false;
  for (const Entry* entry : entries_in_order_of_work(*input.value)) {
    if (touches_the_drive(entry->body)) right = false;
    if (const auto* seen = std::get_if<Observation>(&entry->body);
        seen != nullptr && same_place(seen->place, shaft) && folded(seen->aspect) == "gear marks")
      right = seen->condition == Condition::sound;
    const auto* marks = std::get_if<MarksSeen>(&entry->body);
    if (marks == nullptr) continue;
    for (const SprocketMark& mark : marks->sprockets) {
      if (!same_place(mark.at, shaft)) continue;
      const auto words = read_mark_words(mark.stands);
      right = words && words->seen == MarkSeen::right && !words->doubt && !words->of_link &&
              words->unheard.empty() && mark.against != MarkAgainst::link;
    }
  }
  return right;
}

// Shafts that the crankshaft reaches over strands, all of them counted, and over gears whose marks
// were seen right. Counts say nothing of a shaft that no strand names.
std::vector<std::string> shafts_reached(const CheckInput& input,
                                        const std::vector<ChainMarks>& chains) {
  std::vector<std::string> reached = {"crank"};
  const auto is_reached = [&](std::string_view shaft) {
    return std::any_of(reached.begin(), reached.end(),
                       [&](const std::string& one) { return same_place(one, shaft); });
  };
  for (std::size_t before = 0; before != reached.size();) {
    before = reached.size();
    for (const ChainMarks& marks : chains) {
      if (marks.sprockets.empty() || !is_reached(marks.sprockets.front().name)) continue;
      for (const ChainSprocket& sprocket : marks.sprockets)
        if (!is_reached(sprocket.name)) reached.push_back(sprocket.name);
    }
    for (const GearPair& gears : input.drive->drive.gears)
      if (is_reached(gears.driver) && !is_reached(gears.driven) &&
          gear_marks_right(input, gears.driven))
        reached.push_back(gears.driven);
  }
  return reached;
}

// Every strand that the drive names is right; is every camshaft among them?
void require_every_camshaft(MarksStanding& all, const CheckInput& input,
                            const std::vector<ChainMarks>& chains) {
  const std::vector<std::string> reached = shafts_reached(input, chains);
  std::vector<std::string> missing;
  bool any = false, by_gears = false;
  for (const Bank& bank : input.drive->drive.banks)
    for (const Camshaft& camshaft : bank.camshafts) {
      any = true;
      std::string place = fmt::format("bank {} / {}", bank.number, camshaft.name);
      if (std::any_of(reached.begin(), reached.end(),
                      [&](const std::string& one) { return same_place(one, place); }))
        continue;
      for (const GearPair& gears : input.drive->drive.gears)
        by_gears = by_gears || same_place(gears.driven, place);
      missing.push_back(std::move(place));
    }
  if (any && missing.empty()) return;
  all.proof = MarksProof::unknown;
  if (!any) {
    all.why += ", but the drive names no camshaft";
    all.next = "enter the camshafts in the drive";
    return;
  }
  const std::string names = joined(missing, ", ");
  all.why += fmt::format(", but no counted strand and no gear seen right leads to {}", names);
  all.next = fmt::format("look at the marks of {}, without turning", names);
  if (by_gears) all.next += "; of gears as an observation of the shaft, aspect gear marks";
}

}  // namespace

MarksStanding marks_standing(const CheckInput& input) {
  MarksStanding all{.proof = MarksProof::right};
  const std::vector<ChainMarks> chains = chain_marks(input);
  const bool has_source = input.drive != nullptr && can_carry_pass(drive_limit(input, "").origin);
  if (chains.empty()) all = {.why = "no chain to count: the case names no drive with chains"};
  for (const ChainMarks& marks : chains) {
    MarksStanding one = standing_of(marks);
    if (one.proof == MarksProof::right && !has_source) {
      one.proof = MarksProof::unknown;
      one.why += ", but the counts of the drive are of no maker's or shop's document";
      one.next = "name the document that the link counts stand in";
    }
    const std::string otherwise = seen_otherwise(marks);
    if (one.proof == MarksProof::right && !otherwise.empty()) {
      one.proof = MarksProof::unknown;
      one.why += ", yet " + otherwise;
      one.next = "look at the sprocket marks again, square on, without turning";
    }
    all.evidence.insert(all.evidence.end(), one.evidence.begin(), one.evidence.end());
    // The worst of all chains speaks; of several that are right, all.
    if (one.proof == all.proof) {
      all.why += (all.why.empty() ? "" : "; ") + one.why;
      if (all.next.empty()) all.next = one.next;
    } else if (one.proof == MarksProof::wrong ||
               (one.proof == MarksProof::unknown && all.proof == MarksProof::right)) {
      all.proof = one.proof;
      all.why = one.why;
      all.next = one.next;
    }
  }
  if (all.proof == MarksProof::right) require_every_camshaft(all, input, chains);
  if (all.proof != MarksProof::right && all.next.empty())
    all.next = "look at the sprocket marks and count the links, without turning";
  return all;
}

}  // namespace tautmark
