// SPDX-License-Identifier: Apache-2.0
#include "procedure/machine_rules.h"

namespace tautmark::procedure {
namespace {

constexpr bool kMayOverride = true;
constexpr bool kHoldsAfter = true;

constexpr RuleNeed kChainOn{Item::chain, 0};
constexpr RuleNeed kAsFound{Item::chain, 2};
constexpr RuleNeed kRelieved{Item::tensioner, 0, 2};
constexpr RuleNeed kPinned{Item::tensioner, 0};
constexpr RuleNeed kReleased{Item::tensioner, 1};
constexpr RuleNeed kExtensionRead{Item::extension, 0};
constexpr RuleNeed kLocked{Item::phaser, 0};
constexpr RuleNeed kHeld{Item::camshaft, 0};
constexpr RuleNeed kCamFree{Item::camshaft, 1};
constexpr RuleNeed kBoltFinal{Item::phaser_bolt, 2};
constexpr RuleNeed kCapsFinal{Item::caps, 1};
constexpr RuleNeed kRecorded{Item::as_found, 0};
constexpr RuleNeed kConfirmed{Item::marks, 1};
constexpr RuleNeed kProven{Item::marks, 2};
constexpr RuleNeed kAtReference{Item::crank, 0};
constexpr RuleNeed kTurned{Item::turned, 0};
constexpr RuleNeed kAccounted{Item::accounted, 0};
constexpr RuleNeed kCoversOff{Item::covers, 0};
constexpr RuleNeed kCoversOn{Item::covers, 1};
constexpr RuleNeed kPrimed{Item::primed, 0};
constexpr RuleNeed kStarted{Item::engine, 0};

constexpr RuleNeed kTurnNeeds[] = {kChainOn,   kReleased, kCamFree,  kCapsFinal,
                                   kBoltFinal, kLocked,   kConfirmed};

const std::string_view kRelieveWhy =
    "the plunger's extension is read before the tensioner is relieved: afterwards it is lost";

}  // namespace

std::span<const RuleNeed> turn_needs() { return kTurnNeeds; }

const std::vector<Rule>& rules() {
  static const std::vector<Rule> kRules = {
      {Item::as_found,
       0,
       {kAsFound, kCoversOff},
       kMayOverride,
       !kHoldsAfter,
       "marks as found are recorded before the chain comes off"},
      {Item::extension,
       0,
       {kAsFound, kReleased, kCoversOff},
       kMayOverride,
       !kHoldsAfter,
       "the plunger's extension is read as found, before the tensioner is relieved"},
      {Item::tensioner, 0, {kExtensionRead, kCoversOff}, kMayOverride, !kHoldsAfter, kRelieveWhy},
      {Item::tensioner, 2, {kExtensionRead, kCoversOff}, kMayOverride, !kHoldsAfter, kRelieveWhy},
      {Item::tensioner,
       1,
       {kPinned},
       kMayOverride,
       !kHoldsAfter,
       "the pin is pulled from a pinned tensioner: pulled early, the tensioner comes out, is "
       "pressed back as the maker says (some must not be: new one), and is pinned again"},
      {Item::tensioner,
       1,
       {kChainOn, {Item::slack, 0}, kConfirmed, kLocked, kBoltFinal, kCapsFinal},
       kMayOverride,
       kHoldsAfter,
       "the tensioner is released only with the chain on, the slack on its strand, the marks "
       "confirmed, the phaser locked, its bolt and the caps tightened"},
      {Item::chain,
       1,
       {kCoversOff, kRecorded, kExtensionRead, kRelieved, kHeld},
       kMayOverride,
       !kHoldsAfter,
       "before the chain comes off the marks are recorded, the plunger's extension is read, the "
       "tensioner is relieved and the camshaft is held: it can snap round"},
      {Item::chain,
       0,
       {kCoversOff, kRelieved},
       kMayOverride,
       kHoldsAfter,
       "the chain goes on with the tensioner pinned or out: a plunger that runs out first leaves "
       "no room for it"},
      {Item::slack,
       0,
       {kChainOn},
       kMayOverride,
       kHoldsAfter,
       "there is slack only in a chain that is on"},
      {Item::phaser_bolt,
       0,
       {kHeld, kRelieved},
       kMayOverride,
       !kHoldsAfter,
       "the phaser bolt comes out with the camshaft held at its flats and the tensioner relieved"},
      {Item::phaser_bolt,
       2,
       {kHeld, kLocked},
       kMayOverride,
       !kHoldsAfter,
       "the phaser bolt gets its final tightening only against the flats of the camshaft, the "
       "phaser locked"},
      {Item::caps,
       0,
       {kCoversOff, kRelieved},
       kMayOverride,
       !kHoldsAfter,
       "the caps come loose with the tensioner relieved"},
      {Item::marks,
       0,
       {kChainOn, kLocked},
       kMayOverride,
       kHoldsAfter,
       "marks are set with the chain on and the phaser locked"},
      {Item::marks,
       1,
       {kChainOn, kLocked, kAtReference, kCoversOff},
       kMayOverride,
       kHoldsAfter,
       "marks are confirmed with the chain on, the phaser locked and the crankshaft at its "
       "reference"},
      {Item::marks,
       2,
       {kChainOn, kLocked, kReleased, kTurned, kAtReference, kCoversOff},
       !kMayOverride,
       kHoldsAfter,
       "marks are proven after two turns by hand, the tensioner released, the crankshaft at its "
       "reference"},
      {Item::covers,
       1,
       {kProven, kTurned, kAccounted, kCamFree},
       kMayOverride,
       kHoldsAfter,
       "the covers go on after two turns by hand, with the marks proven, the camshafts free and "
       "everything accounted for"},
      {Item::primed,
       0,
       {kProven, kTurned, kReleased, kBoltFinal, kCapsFinal, kCamFree, kCoversOn},
       !kMayOverride,
       kHoldsAfter,
       "priming turns the engine on its starter: only with the marks proven after two turns, "
       "everything tightened and the covers on"},
      {Item::engine,
       0,
       {kProven, kTurned, kReleased, kBoltFinal, kCapsFinal, kCamFree, kCoversOn, kPrimed},
       !kMayOverride,
       kHoldsAfter,
       "the engine is started only with the sprocket marks proven after two turns, everything "
       "tightened, the covers on and the oil primed"},
      {Item::relearn,
       0,
       {kStarted},
       kMayOverride,
       kHoldsAfter,
       "the relearn needs the running engine"},
      {Item::recording,
       0,
       {kAsFound},
       kMayOverride,
       !kHoldsAfter,
       "the first recording is of the engine as it came in"},
      {Item::recording,
       1,
       {kStarted, {Item::recording, 0}},
       kMayOverride,
       kHoldsAfter,
       "the second recording is of the running engine and is laid over the first"},
      {Item::handed_over,
       0,
       {kProven, kTurned, kCoversOn, kStarted, {Item::relearn, 0}, {Item::recording, 1}},
       !kMayOverride,
       kHoldsAfter,
       "handed over with the sprocket marks proven after two turns, the engine started, the "
       "relearn done and a second recording"},
  };
  return kRules;
}

}  // namespace tautmark::procedure
