// SPDX-License-Identifier: Apache-2.0
// What follows from counting alone: teeth, links and turns.
//
// Nothing here needs the coordinates of a drive. Angles that are displacements are signed as
// everywhere inside the program: advance (earlier) is positive, retard (later) is negative.
//
// Sources: geometry.md 1 (teeth to degrees), 4.1 and 4.2 (marks and links), 4.5 (return of the
// marks); trade.md 2.12. Link, tooth and turn counts are exact integers; angles carry only the
// rounding of one or two double operations.
//
// Validity of every count: 3 to 100 000 (below three teeth there is no sprocket; above, the least
// common multiple of three counts would leave 64 bits). Outside it, and for readings that are not
// finite, a function refuses with a sentence.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark {

inline constexpr int kFewestTeeth = 3;
inline constexpr int kMostTeeth = 100'000;

// One tooth of a sprocket that turns with the camshaft of a four-stroke engine:
//
//   cam = 360° / z        crank = 720° / z        z  cam_teeth
//
// The crank sprocket that drives it with z / 2 teeth gives the same crank angle.
struct ToothAngle {
  CamAngle cam{};
  CrankAngle crank{};
};
Result<ToothAngle> tooth_angle(int cam_teeth);

// A measured displacement of a cam against the crank as whole teeth and what is left over.
//
//   teeth = displacement / tooth        left_over(k) = displacement - k * tooth
//
// `nearest` has the smallest left-over; exactly between two counts it is the one nearer to zero.
// `below` and `above` are its neighbors, one tooth less and one more (signed: more is earlier).
// The left-over is never rounded away: it must be explained (chain wear makes late, never early).
// Refuses: cam_teeth outside validity, displacement not finite or beyond one turn of the cam.
struct ToothSplitInputs {
  CrankAngle displacement{};  // positive: early
  int cam_teeth = 0;
};
struct WholeTeeth {
  int teeth = 0;  // positive: early
  CrankAngle left_over{};
};
struct ToothSplit {
  ToothAngle tooth{};
  double teeth = 0;  // not rounded
  WholeTeeth nearest{}, below{}, above{};
};
Result<ToothSplit> tooth_split(const ToothSplitInputs& in);

// Crank turns until colored links and sprocket marks stand again as they did.
//
// Per crank turn N_K links pass the crank sprocket.
//
//   sprocket marks alone               lcm(N_K, N_C) / N_K      2 where N_C = 2 N_K
//   colored link on the crank mark     n / gcd(n, N_K)
//   every link on every mark           r = lcm(n, N_K, N_C) / N_K
//   circuits of the chain in r turns   r N_K / n
//
//   n  chain_links    N_K  crank_teeth    N_C  cam_teeth
//
// Where N_K divides N_C, r = lcm(n, N_C) / N_K, as trade.md 2.12 writes it. Any other ratio is
// covered too (a stage that drives an intermediate shaft): then N_C is the sprocket at the other
// end of this chain. Several cam sprockets of the same count change nothing.
struct MarkReturnInputs {
  int chain_links = 0;
  int crank_teeth = 0;
  int cam_teeth = 0;
};
struct MarkReturn {
  long long turns_sprocket_marks = 0;
  long long turns_crank_link = 0;
  long long turns_all = 0;
  long long chain_circuits = 0;
  bool cam_at_half_speed = false;  // N_C = 2 N_K
};
Result<MarkReturn> mark_return(const MarkReturnInputs& in);

// What a link count between two marks counted. A marked tooth sits inside one link, between two
// neighboring pins; | is a pin, A and B are the links on the two marked teeth:
//
//        marked tooth                        marked tooth
//             v                                   v
//     |---|===A===|-------|-------|-------|===B===|---|
//     pitches         1       2       3       4            from tooth A to tooth B:   4
//     with both   1       2       3       4       5        links, A and B included:   5
//     between             1       2       3                links, A and B left out:   3
//
//   pitches = with both marks - 1 = between + 1
//
// In pitches the strands of one loop add up to the links of the chain; counted with both marks they
// add up to links + strands, counted between to links - strands. Where two colored links straddle a
// mark, take the same one of the pair for the strands on both sides.
enum class LinkCount { pitches, with_both_marks, between };

// Refuses a count that leaves less than one pitch, or one above kMostTeeth.
Result<int> pitches_counted(int count, LinkCount counted);

// Do the strands of one loop add up, and do they stand where they should?
//
//   surplus = sum of the strands in pitches - links of the chain
//
// surplus is not 0: a miscount or another chain, never a jumped tooth (a jump moves links from one
// strand to its neighbor and leaves the sum alone).
// `fits_as` is the one other way of counting that would make the sum right, when there is one.
//
// With expected counts and a surplus of 0: difference[i] = counted - expected, in pitches. One
// sprocket off by t teeth makes one neighbor strand t longer and the other t shorter. Listed in the
// direction in which the chain travels, strand i arrives at sprocket i and strand i + 1 leaves it
// (the last sprocket lies between the last strand and the first). The leaving strand longer by t
// means: that mark stands t teeth upstream, t teeth late (geometry.md 4.2).
// With two strands both sprockets lie between the same strands: only "one against the other" is
// known, and `moved` is empty. It is also empty when no single sprocket explains the differences.
//
// Refuses: fewer than two strands, expected counts of another number of strands, expected counts
// that do not add up to the chain themselves, counts outside validity.
struct LinkSumInputs {
  std::vector<int> counts{};
  LinkCount counted = LinkCount::pitches;
  int chain_links = 0;
  std::vector<int> expected{};  // empty: not known
  LinkCount expected_counted = LinkCount::pitches;
};
struct MovedSprocket {
  std::size_t arriving = 0;  // strand index
  std::size_t leaving = 0;
  int teeth_late = 0;  // when listed in the direction of travel; negative: early
};
struct LinkSum {
  std::vector<int> pitches{};
  int sum = 0;
  int surplus = 0;
  std::optional<LinkCount> fits_as{};
  std::vector<int> difference{};  // empty without expected counts or with a surplus
  std::optional<MovedSprocket> moved{};
};
Result<LinkSum> link_sum(const LinkSumInputs& in);

// Chain wear from the length over a number of links.
//
//   elongation = L / (n p) - 1        uncertainty = u(L) / (n p), standard or expanded as given
//
//   L  measured, from pin to pin over n links, chain pulled straight
//   p  pitch       n  links in the measured piece
//
// A worn roller or bush chain alternates long and short pitches: an even n gives the mean.
// Refuses: lengths not positive or not finite, n outside 1 .. kMostTeeth.
struct ElongationInputs {
  Length measured{};
  Length length_uncertainty{};  // of `measured`, standard or expanded; 0: not said
  Length pitch{};
  int links = 0;
};
struct Elongation {
  Length nominal{};
  Length length_increase{};  // negative: shorter than new
  Ratio elongation{};
  Ratio uncertainty{};  // standard or expanded as length_uncertainty was
};
Result<Elongation> elongation_over_links(const ElongationInputs& in);

}  // namespace tautmark
