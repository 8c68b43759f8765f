// SPDX-License-Identifier: Apache-2.0
// May the engine be turned? A card of one screen to read aloud; the rules are judge/turning.h.
// Nothing has to be said: what is not said is unknown, and unknown is DO NOT TURN.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "base/text.h"
#include "judge/turning.h"
#include "quick/heard.h"
#include "quick/quick.h"

namespace tautmark::quick {
namespace {

constexpr Input choice_input(std::string_view name, std::string_view ask, std::string_view example,
                             std::string_view choices) {
  return {.name = name,
          .ask = ask,
          .form = Form::choice,
          .kind = {},
          .need = Need::optional,
          .example = example,
          .choices = choices};
}

// Every choice ends with unknown, which is the same as leaving it out.
constexpr std::string_view kYesNoChoices = "yes|no|unknown";
constexpr Input kInputs[] = {
    choice_input("apart", "Is the engine apart?", "partly", "yes|no|partly|unknown"),
    choice_input("turned", "Has anyone turned it since, and how?", "forward by hand",
                 "no|forward by hand|backwards|starter|unknown"),
    choice_input("want",
                 "What is wanted: turn it by hand, turn it backwards, use the starter, start "
                 "it?",
                 "turn", "turn|backwards|starter|start|unknown"),
    choice_input("loop", "A chain or a toothed belt?", "chain", "chain|belt|unknown"),
    choice_input("chain", "Is the chain or belt on every sprocket?", "on", "on|off|unknown"),
    choice_input(
        "valves",
        "Followers in and cam caps tight; or every follower out; or every cap loosened, so "
        "that all valves are closed?",
        "in place", "in place|followers out|caps loosened|unknown"),
    choice_input("marks",
                 "By what do the marks stand right, on every sprocket: sprocket marks, or links "
                 "counted or a degree wheel? Or are they wrong, or only the colored links seen?",
                 "wrong", "counted|sprocket marks|colored links|wrong|unknown"),
    choice_input("since", "Was that seen after the drive was last touched or turned?", "yes",
                 kYesNoChoices),
    {.name = "teeth",
     .ask = "How many teeth is it off, if the marks are wrong?",
     .form = Form::count,
     .kind = {},
     .need = Need::optional,
     .example = "2",
     .choices = {}},
    choice_input("direction", "Is that camshaft early or late?", "late", "early|late|unknown"),
    choice_input("camshaft", "Which camshaft is off?", "intake", "intake|exhaust|unknown"),
    choice_input("jump", "A rattle and then sudden loss of power?", "no", kYesNoChoices),
    choice_input("phaser", "Is every cam phaser locked?", "locked",
                 "locked|not locked|none fitted|unknown"),
    choice_input("checked", "How was that checked?", "by hand both ways",
                 "by hand both ways|lock tool|not checked|unknown"),
    choice_input("tensioner", "Is the tensioner pinned, or released and seen to take up?",
                 "released", "pinned|released|not fitted|unknown"),
    choice_input("variant", "Is the exact engine identified?", "yes", kYesNoChoices),
    choice_input("rotation", "Which way does the crankshaft run?", "clockwise",
                 "clockwise|counterclockwise|unknown"),
    choice_input("seen_from", "Seen from the front, or from the flywheel end?", "front",
                 "front|flywheel end|unknown"),
    choice_input("dropped", "Did anything fall into the chain case that is not found?", "no",
                 kYesNoChoices),
    choice_input("resistance", "Has anybody felt resistance?", "no", kYesNoChoices),
    choice_input("pistons", "Where are the pistons proven to stand?", "mid-stroke",
                 "mid-stroke|near top|unknown"),
    choice_input("interference", "Can valves meet pistons in this engine?", "yes", kYesNoChoices),
};

// Reads choices one after the other and keeps the first that cannot be understood.
class Choices {
 public:
  explicit Choices(const Heard& heard) : heard_(heard) {}

  // The value that belongs to the choice said; the last, unknown, where nothing is said.
  template <class Value, std::size_t N>
  Value of(std::string_view input, const std::array<Value, N>& values) {
    if (!heard_.has(input)) return values.back();
    const Said<std::size_t> chosen = heard_.choice(input);
    if (chosen) return values.at(*chosen);
    if (!ask_) ask_ = chosen.error();
    return values.back();
  }
  std::optional<bool> yes_no(std::string_view input) {
    return of(input, std::array<std::optional<bool>, 3>{true, false, std::nullopt});
  }
  [[nodiscard]] const std::optional<Ask>& not_understood() const { return ask_; }

 private:
  const Heard& heard_;
  std::optional<Ask> ask_;
};

MarksNow marks_said(Choices& said) {
  const auto marks =
      said.of("marks", std::array{MarksNow::counted, MarksNow::sprocket_marks,
                                  MarksNow::colored_links, MarksNow::wrong, MarksNow::unknown});
  const std::optional<bool> since = said.yes_no("since");
  const bool is_right = marks == MarksNow::counted || marks == MarksNow::sprocket_marks;
  return is_right && since != true ? MarksNow::before_last_touch : marks;
}

PhasersNow phasers_said(Choices& said, const Heard& heard, std::string& how) {
  const auto phasers =
      said.of("phaser", std::array{PhasersNow::locked_unchecked, PhasersNow::not_locked,
                                   PhasersNow::none_fitted, PhasersNow::unknown});
  const bool is_checked = said.of("checked", std::array{true, true, false, false});
  if (phasers != PhasersNow::locked_unchecked || !is_checked) return phasers;
  how = heard.text("checked");
  return PhasersNow::locked_checked;
}

std::optional<Rotation> rotation_said(Choices& said) {
  using MaybeRotation = std::optional<Rotation>;
  using MaybeEnd = std::optional<ViewedFrom>;
  const auto rotation =
      said.of("rotation", std::array{MaybeRotation(Rotation::clockwise),
                                     MaybeRotation(Rotation::counterclockwise), MaybeRotation()});
  const auto end = said.of("seen_from", std::array{MaybeEnd(ViewedFrom::front),
                                                   MaybeEnd(ViewedFrom::flywheel_end), MaybeEnd()});
  return rotation && end ? MaybeRotation(from_front(*rotation, *end)) : MaybeRotation();
}

TurningFacts facts_said(Choices& said, const Heard& heard) {
  TurningFacts facts;
  facts.apart = said.of("apart", std::array{YesNo::yes, YesNo::no, YesNo::partly, YesNo::unknown});
  facts.turned =
      said.of("turned", std::array{Turned::no, Turned::by_hand_running_direction,
                                   Turned::by_hand_backwards, Turned::by_starter, Turned::unknown});
  facts.wish = said.of(
      "want", std::array{Wish::turn, Wish::backwards, Wish::starter, Wish::start, Wish::turn});
  facts.loop = said.of("loop", std::array{Loop::chain, Loop::belt, Loop::unknown});
  facts.chain = said.of("chain", std::array{OnOff::on, OnOff::off, OnOff::unknown});
  facts.valves =
      said.of("valves", std::array{ValvesNow::worked_by_camshafts, ValvesNow::followers_out,
                                   ValvesNow::caps_loosened, ValvesNow::unknown});
  facts.marks = marks_said(said);
  facts.shift = said.of("direction", std::array{ShiftTo::early, ShiftTo::late, ShiftTo::unknown});
  facts.cam = said.of("camshaft", std::array{CamKind::intake, CamKind::exhaust, CamKind::unknown});
  facts.jump_heard = said.yes_no("jump");
  facts.phasers = phasers_said(said, heard, facts.phasers_checked_how);
  facts.tensioner =
      said.of("tensioner", std::array{TensionerNow::pin_in, TensionerNow::released,
                                      TensionerNow::not_fitted, TensionerNow::unknown});
  facts.variant_known = said.yes_no("variant") == true;
  facts.rotation = rotation_said(said);
  facts.dropped = said.yes_no("dropped");
  facts.resistance = said.yes_no("resistance");
  facts.pistons = said.of(
      "pistons", std::array{PistonsAt::mid_stroke, PistonsAt::near_top, PistonsAt::unknown});
  facts.interference = said.yes_no("interference");
  return facts;
}

// What is known and forbids, whatever is wanted; nothing that is only not known.
std::string forbidden_by_what_was_said(TurningFacts facts) {
  constexpr std::array<std::string_view, 7> kKnown = {
      "resistance",  "dropped", "chain-off",        "caps-loosened",
      "marks-wrong", "jump",    "phaser-not-locked"};
  facts.wish = Wish::turn;
  const bool is_known =
      std::find(kKnown.begin(), kKnown.end(), forbidden_by(facts)) != kKnown.end();
  return is_known ? turning_card(facts).because : std::string();
}

bool is_said(const Heard& heard, std::string_view input) {
  return heard.has(input) && folded(heard.text(input)) != "unknown";
}

Outcome run(const Typed& typed) {
  const Heard heard(kTurn, typed);
  Choices said(heard);
  TurningFacts facts = facts_said(said, heard);
  if (said.not_understood()) return *said.not_understood();
  if (heard.has("teeth")) {
    const Said<int> teeth = heard.count("teeth");
    if (!teeth) return teeth.error();
    facts.teeth_off = *teeth;
    // A tooth off is wrong, whatever was said of the marks.
    if (*teeth > 0) facts.marks = MarksNow::wrong;
  } else if (is_said(heard, "direction") || is_said(heard, "camshaft")) {
    // So is a camshaft that is early or late by nobody knows how much.
    facts.marks = MarksNow::wrong;
  }

  const TurningCard card = turning_card(facts);
  Answer answer;
  answer.forbids = forbidden_by_what_was_said(facts);
  answer.lines = {card.answer + ".", "Because: " + card.because + ".",
                  (card.may_turn ? "With it: " : "Instead: ") + card.instead + ".",
                  "What would change it: " + card.changes_it + ".",
                  "Read aloud: \"" + card.say + "\""};
  answer.assumed = {card.holds_for};
  answer.cautions = card.cautions;
  return answer;
}

}  // namespace

constinit const QuickQuestion kTurn = {
    .name = "turn",
    .alias = "rotate",
    .help = "may the engine be turned? a card to read aloud",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
