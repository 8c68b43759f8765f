// SPDX-License-Identifier: Apache-2.0
// From wrong to right: which sprocket to move against its chain, how many teeth, which way, in
// which order, and how many pitches must lie in each strand after each move.
//
// Moving sprocket j by t teeth with rotation gives t links to the strand that arrives at it and
// takes them from the one that leaves it; its error grows by t (assembly.h). The fewest sprockets
// are moved (fewest_off); all others stay. The order goes upstream from the driving sprocket, so
// that every strand is laid taut and the slack ends in the one that leaves the driving sprocket,
// where the tensioner is.
//
// The driving shaft is never turned: where it is the one that is off, it stands still and the chain
// is laid on it anew together with all that the chain drives. Every step that turns a camshaft
// carries what must hold of its valves; whether a shaft may be turned at all is the turning
// answer's matter.
// Source: geometry.md 4.1 and 4.2, trade.md 2.7. Exact integers. Validity: as for assembly().
#pragma once

#include <string>
#include <vector>

#include "geometry/assembly.h"

namespace tautmark {

struct RealignInputs {
  int links = 0;
  std::vector<std::string> names{};  // of the sprockets, in the direction of travel, driving first
  std::vector<int> nominal{};        // half pitches, one per strand
  std::vector<int> teeth_early{};    // of each sprocket, driving one 0; negative: late
};

struct SprocketMove {
  std::size_t sprocket = 0;
  int teeth = 0;                     // with its rotation, against the chain; negative: against it
  std::vector<int> strands_after{};  // half pitches
};

struct Realignment {
  std::vector<int> strands_before{};
  std::vector<SprocketMove> moves{};  // in order; empty: nothing to do
  std::vector<std::size_t> stay{};    // sprockets that are not touched
  std::vector<std::string> steps{};   // to be read aloud, in order, with what lies between
  std::vector<std::string> cautions{};
};

// Refuses counts that do not add up, errors that leave a strand without a link, a driving sprocket
// whose error against itself is not 0.
Result<Realignment> realign(const RealignInputs& in);

// A move in short: "intake 1 tooth with rotation"; of the driving sprocket "the chain on crank,
// which stands still, laid 1 tooth with rotation".
std::string move_words(const RealignInputs& in, const SprocketMove& move);

// "1 tooth with rotation", "2 teeth against rotation".
std::string turn_words(int teeth_with_rotation);

}  // namespace tautmark
