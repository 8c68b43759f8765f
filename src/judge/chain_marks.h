// SPDX-License-Identifier: Apache-2.0
// What a case says of the marks and link counts of one chain, laid beside its drive: the common
// ground of the checks link-counts and marks-seen and of marks_standing.
//
// Counts and marks of several entries belong together while nothing between them touched the drive;
// the first entry after that begins anew. Two counts of one strand that differ without a touch and
// without a correction leave it uncounted; a later one decides when it makes one number the most
// said.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "casework/mark_words.h"
#include "geometry/assembly.h"
#include "judge/check.h"

namespace tautmark {

struct MarkStand {
  const Entry* entry = nullptr;
  const MarksSeen* seen = nullptr;
  const SprocketMark* mark = nullptr;
  MarkWords words{};
  MarkReading reading{};
  bool against_link = false;
  bool half_turn = false;   // as many teeth as half a turn has
  bool whole_turn = false;  // as many teeth as one turn or several have: no place is meant by that
};

struct ChainSprocket {
  std::string name;
  const Camshaft* camshaft = nullptr;  // null: crank, idler, another shaft
  const ChainMark* mark = nullptr;     // of the drive
  std::optional<MarkStand> stand;      // as last seen
  // Crank turns until its mark and the driving sprocket's stand together again; empty: not known.
  std::optional<long long> turns_together;
};

// What was counted of one strand since the drive was last touched, one for each entry.
struct SaidCount {
  std::string entry;
  int half_pitches = 0;
};

struct ChainMarks {
  const Chain* chain = nullptr;
  std::string problem;                       // why nothing can be computed: what the drive lacks
  std::vector<ChainSprocket> sprockets;      // in running direction, the driving one first
  AssemblyInputs inputs;                     // counts and what was seen
  std::optional<Assembly> found;             // empty with a problem
  std::vector<std::vector<SaidCount>> said;  // of each strand
  // "crank to intake: counted 17 and 16", of strands whose counts differ: none of them is used.
  std::vector<std::string> conflicts;
  std::vector<std::string> outvoted;  // strands where two counts agree against one
  std::vector<std::string> evidence;  // of the counts
  std::vector<Strand> unplaced;       // of strands that the drive does not know, in pitches
  std::string touched_by;  // entry that touched the drive after the last count or mark; empty: none
  bool is_looked_at = false;  // the case holds marks of this chain
  std::string links_found;    // another pattern of marked links, as found
};

// One for each chain that drives a camshaft, as far as that is known; or one for every chain.
enum class OfChains { driving_camshafts, all };
std::vector<ChainMarks> chain_marks(const CheckInput& input,
                                    OfChains which = OfChains::driving_camshafts);

// "crank to bank 1 / intake camshaft"
std::string strand_name(const ChainMarks& marks, std::size_t strand);
// "61 + 16 + 61 = 138"
std::string counts_text(const std::vector<int>& half_pitches);
// The driving mark stood right against the casting, without doubt, when this one was seen.
bool driving_mark_right(const ChainMarks& marks, const MarkStand& stand);
// Two crank turns bring its mark back: what is off the mark with the driving mark right is off. Of
// others that needs the number of turns since they were laid.
bool returns_in_two_turns(const ChainSprocket& sprocket);
// Half a turn of a sprocket against its place: said so, or so many teeth.
bool half_a_turn(const MarkStand& stand);
// "1 tooth late (9.474° cam, 18.947° crank)"; degrees as far as they are known.
std::string error_text(const ChainMarks& marks, std::size_t sprocket, int half_teeth_early);
// What every finding of these checks carries: the drive's source as that of the limit.
FindingLimit drive_limit(const CheckInput& input, std::string shown);
// Open where the drive's source cannot carry a pass, or where the drive was touched since.
void hold_back_pass(Finding& finding, const ChainMarks& marks);

}  // namespace tautmark
