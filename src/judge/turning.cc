// SPDX-License-Identifier: Apache-2.0
#include "judge/turning.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "judge/turning_rules.h"

namespace tautmark {
namespace {

using turning::filled;
using turning::Rule;

std::string_view rotation_word(Rotation rotation) {
  return rotation == Rotation::clockwise ? "clockwise" : "counterclockwise";
}

// Which camshaft, how far and which way; and what that does, as an explanation only.
std::string wrong_marks_words(const TurningFacts& facts) {
  const std::string_view cam = facts.cam == CamKind::intake    ? "the intake camshaft"
                               : facts.cam == CamKind::exhaust ? "the exhaust camshaft"
                                                               : "a camshaft, which is not said,";
  const std::string_view way = facts.shift == ShiftTo::early  ? "early"
                               : facts.shift == ShiftTo::late ? "late"
                                                              : "off, early or late is not said";
  std::string words =
      fmt::format("the marks are wrong: {} stands {}{}", cam,
                  facts.teeth_off == 0   ? ""
                  : facts.teeth_off == 1 ? "1 tooth "
                                         : fmt::format("{} teeth ", facts.teeth_off),
                  way);
  if (!facts.marks_why.empty()) words = "the marks are wrong: " + facts.marks_why;
  const bool toward = (facts.cam == CamKind::intake && facts.shift == ShiftTo::early) ||
                      (facts.cam == CamKind::exhaust && facts.shift == ShiftTo::late);
  if (facts.cam == CamKind::unknown || facts.shift == ShiftTo::unknown)
    words +=
        "; intake early and exhaust late move valves toward the rising piston, the other ways "
        "move them away";
  else
    words += toward ? "; that moves its valves toward the rising piston"
                    : "; that moves its valves away from the rising piston, which allows nothing";
  if (facts.phasers != PhasersNow::locked_checked && facts.phasers != PhasersNow::none_fitted)
    words += "; a phaser off its lock can make contact of what would clear";
  return words + "; valve against valve is a separate matter";
}

std::string because_words(const Rule& rule, const TurningFacts& facts) {
  if (rule.name == "marks-wrong") return wrong_marks_words(facts);
  std::string words = filled(rule.because, facts);
  if (rule.name == "contradiction") words += facts.contradiction;
  if (rule.name == "work") words += facts.work;
  if (rule.name == "said") words += facts.said;
  if (rule.name == "valves-bent") words += facts.bent;
  if (!rule.name.starts_with("marks-")) return words;
  if (!facts.marks_why.empty()) words += " (" + facts.marks_why + ")";
  if (facts.turned == Turned::by_hand_running_direction)
    words += "; that it turned free does not prove the marks";
  if (facts.turned == Turned::by_hand_backwards)
    words += "; it was turned backwards since, and a tooth can have jumped";
  if (facts.turned == Turned::by_starter)
    words += "; the starter turned it since, and a tooth can have jumped";
  return words;
}

std::string instead_words(const Rule& rule, const TurningFacts& facts) {
  std::string words = filled(rule.instead, facts);
  if (facts.wish != Wish::turn) {
    TurningFacts forward = facts;
    forward.wish = Wish::turn;
    const TurningCard card = turning_card(forward);
    words += fmt::format("; by hand in running direction the answer is {}{}", card.answer,
                         card.may_turn ? "" : ", because " + card.because);
  } else if (rule.name == "marks-wrong" || rule.name == "chain-off") {
    if (facts.pistons == PistonsAt::mid_stroke)
      words += "; the pistons are proven mid-stroke: leave them there";
    if (facts.pistons == PistonsAt::near_top)
      words += "; a piston stands near its top: loosen in small steps, no camshaft may snap round";
  }
  return words;
}

// The fact that leads, and honestly what it would not yet settle.
std::string changes_words(const Rule& first, const TurningFacts& facts) {
  std::vector<std::string> missing;
  for (const Rule& rule : turning::rules()) {
    if (&rule == &first || !rule.forbids(facts)) continue;
    const std::string name = filled(rule.missing, facts);
    if (rule.missing != first.missing &&
        std::find(missing.begin(), missing.end(), name) == missing.end())
      missing.push_back(name);
  }
  std::string words = filled(first.changes_it, facts);
  if (facts.wish == Wish::turn && !missing.empty())
    words += "; then still to be known: " + joined(missing, ", ");
  return words;
}

std::string phasers_words(const TurningFacts& facts) {
  switch (facts.phasers) {
    case PhasersNow::locked_checked:
      return "every phaser locked" + (facts.phasers_checked_how.empty()
                                          ? " and checked"
                                          : " (" + facts.phasers_checked_how + ")");
    case PhasersNow::none_fitted:
      return "no phaser fitted";
    case PhasersNow::not_locked:
      return "a phaser not locked";
    case PhasersNow::locked_unchecked:
      return "phasers said locked, not checked";
    case PhasersNow::unknown:
      break;
  }
  return {};
}

std::string_view marks_words(MarksNow marks) {
  switch (marks) {
    case MarksNow::sprocket_marks:
      return "sprocket marks right";
    case MarksNow::counted:
      return "marks right by count or degree wheel";
    case MarksNow::wrong:
      return "marks wrong";
    case MarksNow::colored_links:
      return "colored links seen";
    case MarksNow::before_last_touch:
      return "marks seen before the last touch";
    case MarksNow::unknown:
      break;
  }
  return {};
}

// Everything that is known, and nothing that is not.
std::string state_words(const TurningFacts& facts) {
  std::vector<std::string> known;
  const auto add = [&](bool is_known, std::string words) {
    if (is_known && !words.empty()) known.push_back(std::move(words));
  };
  add(facts.apart != YesNo::unknown, facts.apart == YesNo::no       ? "not apart"
                                     : facts.apart == YesNo::partly ? "partly apart"
                                                                    : "apart");
  add(facts.chain != OnOff::unknown,
      filled(facts.chain == OnOff::on ? "{loop} on every sprocket" : "{loop} off", facts));
  add(facts.tensioner != TensionerNow::unknown,
      facts.tensioner == TensionerNow::pin_in     ? "tensioner pinned"
      : facts.tensioner == TensionerNow::released ? "tensioner released"
                                                  : "no tensioner fitted");
  add(true, phasers_words(facts));
  add(true, std::string(marks_words(facts.marks)));
  add(facts.valves != ValvesNow::unknown,
      facts.valves == ValvesNow::worked_by_camshafts ? "followers in and caps tight"
      : facts.valves == ValvesNow::followers_out     ? "every follower out"
                                                     : "every cap loosened");
  if (facts.rotation)
    known.push_back(fmt::format("running {} seen from the front", rotation_word(*facts.rotation)));
  if (facts.dropped) known.emplace_back(*facts.dropped ? "something dropped" : "nothing dropped");
  if (facts.resistance)
    known.emplace_back(*facts.resistance ? "resistance felt" : "no resistance felt");
  if (facts.interference)
    known.emplace_back(*facts.interference ? "valves can meet pistons" : "said to run free");
  return known.empty() ? "nothing" : joined(known, ", ");
}

void allow(TurningCard& card, const TurningFacts& facts) {
  const std::string direction = fmt::format("by hand in running direction, {} seen from the front",
                                            rotation_word(*facts.rotation));
  card.may_turn = true;
  if (turning::valves_closed(facts)) {
    const bool off = facts.chain == OnOff::off;
    card.answer = fmt::format(
        "TURN ONLY {}{}; less than one crank turn; stop when the pistons stand mid-stroke, none "
        "near its top, and at the first resistance",
        off ? "the crank, " : "", direction);
    card.because = filled(off ? "the {loop} is off and every valve closed: nothing stands in the "
                                "way of the pistons"
                              : "every follower is out, so every valve is closed",
                          facts);
    card.instead =
        filled(off ? "first: {loop} held clear of the crank sprocket, balance shafts and pump "
                     "noted, plugs out; after: leave the pistons mid-stroke and enter where the "
                     "crank stands"
                   : "first: plugs out; after: leave the pistons mid-stroke and enter "
                     "where the crank stands",
               facts);
    card.say = fmt::format(
        "Turn it only {}, less than one turn, until the pistons stand mid-stroke. At the first "
        "resistance stop and tell me.",
        direction);
  } else {
    card.answer = fmt::format(
        "TURN ONLY {}; at most two crank turns; stop when the marks of crank and camshafts are "
        "back on theirs, and at the first resistance",
        direction);
    card.because = fmt::format(
        "{}, tensioner released, {}, {}, nothing dropped, no resistance felt",
        filled("{loop} on every sprocket", facts), phasers_words(facts), marks_words(facts.marks));
    card.instead = fmt::format(
        "first: the engine maker's instruction, plugs out, start inhibited; after two turns: {}; "
        "look at the sprocket marks again and enter it; turning free is no release to start",
        facts.marks_return.empty() ? "the sprocket marks of crank and camshafts stand on theirs "
                                     "again; colored links and marks of an idler need not, they "
                                     "come back after more turns"
                                   : facts.marks_return);
    card.say = fmt::format(
        "Turn it only {}, two turns at most. At the first resistance stop and tell me. Turning "
        "free does not prove the marks, and is no release to start.",
        direction);
  }
  card.changes_it =
      "resistance felt, a part touched or dropped, or any fact below no longer so: then DO NOT "
      "TURN";
}

}  // namespace

std::string_view forbidden_by(const TurningFacts& facts) {
  for (const Rule& rule : turning::rules())
    if (rule.forbids(facts)) return rule.name;
  return {};
}

TurningCard turning_card(const TurningFacts& facts) {
  TurningCard card;
  const auto rules = turning::rules();
  const auto first = std::find_if(rules.begin(), rules.end(),
                                  [&](const Rule& rule) { return rule.forbids(facts); });
  if (first == rules.end()) {
    allow(card, facts);
  } else {
    card.answer = "DO NOT TURN";
    card.because = because_words(*first, facts);
    card.instead = instead_words(*first, facts);
    card.changes_it = changes_words(*first, facts);
    card.say = filled(first->say, facts);
  }
  card.holds_for = fmt::format("what was said, and until something is touched or turned: {}",
                               state_words(facts));
  card.cautions = {
      "Battery disconnected or start inhibited, key away, before hands go near the drive. Never on "
      "the starter.",
      "Springs: camshafts snap round when the chain comes off or caps loosen, tensioners jump. "
      "Fingers out, tensioner pinned before it comes off, glasses on.",
      "The engine maker's current procedure for this exact engine comes first."};
  return card;
}

std::vector<NeverCard> never_cards(Loop loop) {
  std::vector<NeverCard> cards;
  for (const auto& [wish, asked] :
       {std::pair(Wish::backwards, "backwards"), std::pair(Wish::starter, "starter"),
        std::pair(Wish::start, "start")}) {
    const TurningFacts facts{.loop = loop, .wish = wish};
    for (const Rule& rule : turning::rules()) {
      if (!rule.forbids(facts)) continue;
      cards.push_back({asked, filled(rule.because, facts), filled(rule.instead, facts),
                       filled(rule.changes_it, facts), filled(rule.say, facts)});
      break;
    }
  }
  return cards;
}

Rotation from_front(Rotation rotation, ViewedFrom seen_from) {
  if (seen_from == ViewedFrom::front) return rotation;
  return rotation == Rotation::clockwise ? Rotation::counterclockwise : Rotation::clockwise;
}

}  // namespace tautmark
