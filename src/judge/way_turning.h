// SPDX-License-Identifier: Apache-2.0
// The way of a case as its turning answer.
//
// Only where a standing is in force and camshafts work their valves. What the way answers by
// itself - where the marks stand, chain off, tensioner - no rule of turning.h forbids any more;
// every other rule does. With the chain on and every camshaft said right the marks still have to be
// counted: the word of the standing is no proof of them.
#pragma once

#include "judge/turning.h"
#include "judge/way_answer.h"

namespace tautmark {

// The facts without what the way answers.
TurningFacts beside_the_way(TurningFacts facts, bool only_turns_on);

struct WayCard {
  TurningCard card{};
  std::vector<std::string> moves{};  // of a TURN ONLY, in order
};

// `card` is the answer by the rules alone; it comes back as it is where the way has no say, as
// without a standing in force (null).
WayCard with_way(TurningCard card, const TurningFacts& facts, const WayAnswer& way,
                 const Standing* standing);

// Beside every move; to those of the turning card.
std::vector<std::string> way_cautions();
// What the answer holds for, and until when.
std::string way_holds_for(const WayAnswer& way);

}  // namespace tautmark
