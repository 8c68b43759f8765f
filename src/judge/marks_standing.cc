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

// Marks seen off against the casting, or half a turn away, while the counts say right.
bool seen_otherwise(const ChainMarks& marks) {
  return std::any_of(marks.sprockets.begin(), marks.sprockets.end(), [](const auto& sprocket) {
    if (!sprocket.stand || sprocket.stand->against_link) return false;
    const MarkSeen seen = sprocket.stand->words.seen;
    return seen == MarkSeen::off || seen == MarkSeen::half_turn_away || seen == MarkSeen::at_clock;
  });
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
    if (one.proof == MarksProof::right && seen_otherwise(marks)) {
      one.proof = MarksProof::unknown;
      one.why += ", yet a mark was seen to stand otherwise";
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
  if (all.proof != MarksProof::right && all.next.empty())
    all.next = "look at the sprocket marks and count the links, without turning";
  return all;
}

}  // namespace tautmark
