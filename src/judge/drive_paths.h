// SPDX-License-Identifier: Apache-2.0
// From the words of a drive file to the geometry model: which wheels a chain runs over, with which
// teeth, where they lie, and where the marks stand.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "drive/drive.h"
#include "geometry/path.h"
#include "geometry/returns.h"

namespace tautmark {

inline constexpr std::string_view kCrank = "crank";

// The running direction of the crankshaft seen from the front; empty where the drive does not say
// it together with the end from which it is meant.
std::optional<bool> crank_runs_clockwise(const Drive& drive);

// The shaft that drives a chain: "crank", or an idler that hands the motion on.
std::string driver_of(const Drive& drive, const Chain& chain);

// Teeth under this chain at a place; empty where the drive does not give them.
std::optional<int> teeth_under(const Drive& drive, const Chain& chain, std::string_view place);

// The toothed wheels of a chain in running direction, the driving one first. From the path, else
// from the strands, else the driver and the camshafts of the chain in the order of the file.
std::vector<std::string> wheels_of(const Drive& drive, const Chain& chain);

// Turns of a shaft per crank turn, through chains and gears; empty where teeth are missing.
std::optional<Fraction> shaft_turns(const Drive& drive, std::string_view shaft);

// Crank turns until the marks of two shafts stand together as they did, the least common multiple
// of both; empty where teeth are missing. A camshaft of unknown teeth makes one turn in two.
std::optional<long long> turns_together(const Drive& drive, std::string_view a, std::string_view b);

// Whether a camshaft hangs on this chain, through other stages too. False only where every camshaft
// is traced to the crankshaft by other chains: a pump, a balance shaft.
bool drives_a_camshaft(const Drive& drive, const Chain& chain);

// Crank turns until the marks of the whole drive return; `links` of each chain that can be counted.
struct DriveReturns {
  std::vector<const Chain*> chains;
  Returns turns;
};
std::optional<DriveReturns> returns_of(const Drive& drive);

// The mark on a wheel and its links; null where the drive describes none.
const ChainMark* mark_at(const Chain& chain, std::string_view place);
// Whether the mark sits in a gap, between two teeth: said so, or straddled by an even number of
// marked links.
bool in_gap(const ChainMark& mark);

// Pitches from the mark of one wheel to the mark of another in running direction, along the
// strands of the drive. A count goes to the leading link of a group; the mark itself stands half a
// pitch behind it where two links straddle it.
std::optional<double> pitches_between(const Chain& chain, std::string_view from,
                                      std::string_view to);

struct ChainWear {
  Ratio elongation{};
  std::map<std::string, Length> grooves;  // name of the guide or arm, without regard to case
};

// Refuses, naming the key that is missing or contradicts itself.
Result<PathInputs> path_inputs(const Drive& drive, const Chain& chain, const ChainWear& wear = {});

// Clock angle at which each wheel's mark stands with the crank at `marks_at`, in the order of
// wheels_of; the driving wheel's from the file (the crankshaft's key if nothing else), the others
// from the link counts. Empty entries: not known.
std::vector<std::optional<Angle>> mark_clocks(const Drive& drive, const Chain& chain,
                                              const PathInputs& in, const Path& path);

}  // namespace tautmark
