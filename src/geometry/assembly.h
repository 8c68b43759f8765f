// SPDX-License-Identifier: Apache-2.0
// A loop as whole numbers: which link lies under which mark, how many teeth each sprocket stands
// off, what else would explain the counts, and where the marked links are after some turns.
//
// Links are numbered in the direction in which the chain travels, cyclic in n. A tooth sits inside
// one link. A mark on a tooth lies at a whole link, a mark in a gap (two links straddle it) halfway
// between two, so everything is counted in half pitches:
//
//   strand i runs, with the chain, from sprocket i to sprocket i + 1 (the last one back to 0)
//   c_i = (l_{i+1} - l_i) mod n       l_i  link under the mark of sprocket i, c_i counted pitches
//   e_j = sum_{i<j} (c_i - m_i) = sum_{i>=j} (m_i - c_i)         m_i  nominal pitches
//   cam = e_j 360°/N_j      crank = e_j (360°/N_j) r_j           r_j  crank turns per turn of j
//
// e_j is the error of sprocket j in teeth against the driving sprocket (number 0), positive early:
// more links than nominal in the strands from j on to the driving one put the mark too far
// upstream, so it is late. Equal errors of all others are one error of the driving sprocket.
// Surplus = sum(c) - n; unless it is 0 no tooth error is stated: a jump leaves the sum alone.
//
// Source: geometry.md 4.1 to 4.5; exact integers, angles to one double operation.
// Validity: 2 to 12 sprockets, teeth and links 3 to kMostTeeth (counts.h), nominal counts that add
// up to the chain. Outside it the functions refuse with a sentence.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "geometry/counts.h"

namespace tautmark {

inline constexpr std::size_t kMostSprockets = 12;

struct MarkedSprocket {
  std::string name{};         // for sentences
  int teeth = 0;              // 0: not known, then no angle is given
  double crank_turns = 2;     // per turn of this sprocket; 0: not known, then no crank angle
  bool is_camshaft = true;    // its own angle is a cam angle
  std::string link_color{};   // of its marked link; equal ones can be exchanged
  CrankAngle phaser_early{};  // how far its phaser can stand early or late of its base
  CrankAngle phaser_late{};
  std::optional<bool> phaser_locked{};  // empty: not looked at; meaningless without a range
  // The sprocket's mark against the casting in half teeth, positive early; `doubt`: give or take
  // half a tooth.
  std::optional<int> seen_half_teeth{};
  bool seen_with_doubt = false;
  // Inner or outer plates: the same kind under this mark as under the driving sprocket's?
  std::optional<bool> same_plates{};
};

struct CountedStrand {
  int half_pitches = 0;
  bool doubt = false;  // give or take half a tooth: no tooth error is stated from it
};

struct AssemblyInputs {
  int links = 0;
  std::vector<MarkedSprocket> sprockets{};  // in the direction of travel, the driving one first
  std::vector<int> nominal{};               // half pitches, one per strand
  std::vector<std::optional<CountedStrand>> counted{};  // as many; empty: not counted
  LinkCount counted_as = LinkCount::pitches;            // how it was said to be counted
  Length pitch{};                                       // 0: not known; for slack as a length
  bool has_plates = true;  // inner and outer links alternate: chains yes, toothed belts no
  bool settled = false;    // turned two turns forward, tensioner released, before it was read
};

enum class Cause {
  as_it_should_be,
  moved_sprockets,  // `moves`: what stands off, in teeth
  links_exchanged,  // two links of one color, each on the other's mark
  other_counting,   // both marks, or between, was counted
  miscount,         // in one strand
  wrong_chain,      // of another length
  slack_in_driving_strand,
  phaser_off_base,
  half_tooth_reading,  // an apparent fraction that a second reading decides
  off_on_its_shaft,    // in the chain right, against the casting not: key, bolt, dowel
};

struct TeethOff {
  std::size_t sprocket = 0;
  int teeth = 0;  // positive early
};

struct Explanation {
  Cause cause{};
  std::vector<TeethOff> moves{};
  std::optional<std::size_t> strand{};
  std::optional<LinkCount> counted_as{};
  std::optional<Length> slack{};  // that would put the mark where it was seen
  std::vector<std::string> speaks_for{};
  std::vector<std::string> speaks_against{};
  std::string decided_by{};  // what to look at or count
};

// The smallest set of sprockets that stand off, given the errors of all (the driving one's first,
// 0) in teeth: equal errors of all driven sprockets are one error of the driving one. Between sets
// of one size the one with fewer teeth, then the one that leaves the driving sprocket alone.
std::vector<TeethOff> fewest_off(std::span<const int> teeth_early);

struct StrandCount {
  int nominal = 0;                  // half pitches, as all here
  std::optional<int> pitches{};     // counted, or computed from the others
  bool computed = false;            // not counted: follows from the others and the chain
  std::optional<int> difference{};  // counted - nominal
};

struct SprocketStand {
  std::optional<int> half_teeth{};  // against the driving sprocket, positive early
  bool computed = false;            // rests on a strand that was not counted
  CamAngle cam{};                   // at its own shaft, where that is a camshaft
  std::optional<CrankAngle> crank{};
  // The plates under its mark and the driving one's are of one kind when as many pitches lie
  // between as should: empty for marks in gaps and odd chains.
  std::optional<bool> same_plates_when_right{};
};

struct Assembly {
  std::vector<StrandCount> strands{};
  std::vector<SprocketStand> sprockets{};  // the driving one is 0
  bool all_counted = false;
  std::optional<int> surplus{};  // half pitches; only with all counted
  bool right = false;            // all counted without doubt, sum right, every strand nominal
  std::vector<Explanation> explanations{};  // the one that explains most first
};
Result<Assembly> assembly(const AssemblyInputs& in);

// Strands from the link under each mark (half-pitch numbers, cyclic in 2 n). They close by
// themselves: link numbers cannot show a miscount. Refuses two marks at one place.
Result<std::vector<int>> strands_from_links(int links, std::span<const int> half_link_under_mark);

// What slack lying in the driving strand does: the cam stands early by x / p tooth.
//   CHECK geometry.md 4.4: 3 mm, p = 8, N = 40 -> 0.375 tooth, 3.375° cam, 6.75° crank
struct SlackEffect {
  double teeth_early = 0;
  CamAngle cam{};
  CrankAngle crank{};
};
Result<SlackEffect> slack_effect(Length slack, Length pitch, int cam_teeth);

// Where the marked links are after the driving sprocket has passed this many teeth, and when they
// are back. Places are those at which the marks stood at the start.
struct LinkPlace {
  std::size_t mark = 0;  // the sprocket whose marked link it is
  std::size_t past = 0;  // it lies on the strand that begins at this sprocket's mark place
  int half_pitches = 0;  // past that place; 0: on it
};
struct ChainTurnedInputs {
  int links = 0;
  std::vector<int> teeth{};    // of the sprockets, the driving one first
  std::vector<int> nominal{};  // half pitches
  long long teeth_passed = 0;  // of the driving sprocket; backwards negative
};
struct ChainTurned {
  std::vector<LinkPlace> links{};
  bool sprocket_marks_back = false;  // all of them
  bool links_back = false;           // and every marked link on its mark
  // Turns of the driving sprocket until all marks stand again, and until the links stand on them
  // too; empty beyond 64 bits.
  std::optional<long long> turns_sprocket_marks{};
  std::optional<long long> turns_all{};
};
Result<ChainTurned> chain_turned(const ChainTurnedInputs& in);

// Which of the two crank turns of a cycle: with the crank at its mark, cam marks stand at their
// places, or half a cam turn away. Common practice, no source.
//   camshaft at k half-cycles:  offset of the mark from its place near 0 or near half a cam turn
enum class WhichTurn { reference, one_crank_turn_away, cams_differ, not_at_marks, unknown };
WhichTurn which_turn(std::span<const CamAngle> offsets_from_place);

}  // namespace tautmark
