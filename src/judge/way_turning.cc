// SPDX-License-Identifier: Apache-2.0
#include "judge/way_turning.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "judge/turning_rules.h"

namespace tautmark {
namespace {

std::string reasons(const WayAnswer& way) {
  std::vector<std::string> all = way.forbidden;
  if (!way.no_way.empty()) all.push_back(way.no_way);
  all.insert(all.end(), way.explained.begin(), way.explained.end());
  return joined(all, "; ");
}

// What to find out, as one clause.
std::string asked(const WayAnswer& way) {
  std::vector<std::string> all;
  for (std::string one : way.ask) {
    if (one.ends_with('.')) one.pop_back();
    all.push_back(std::move(one));
  }
  return joined(all, "; ");
}

void add_to(std::string& words, const std::string& more) {
  if (more.empty()) return;
  words += (words.empty() ? "" : "; ") + more;
}

// A rule that forbids stands first, with its own words.
void forbid_all(TurningCard& card, const TurningFacts& facts, const WayAnswer& way,
                std::string_view rule) {
  card.may_turn = false;
  card.answer = "DO NOT TURN";
  if (!rule.empty()) {
    add_to(card.because, reasons(way));
    add_to(card.changes_it, asked(way));
    return;
  }
  // What is done instead is what is done with marks that are wrong.
  for (const turning::Rule& one : turning::rules()) {
    if (one.name != "marks-wrong") continue;
    card.instead = turning::filled(one.instead, facts);
    card.say = turning::filled(one.say, facts);
    card.changes_it = turning::filled(one.changes_it, facts);
  }
  card.because = reasons(way);
  if (std::string ask = asked(way); !ask.empty()) card.changes_it = std::move(ask);
}

void allow_moves(WayCard& out, const WayAnswer& way) {
  TurningCard& card = out.card;
  for (const WayMove& move : way.moves) out.moves.push_back(move.words);
  card.may_turn = true;
  card.answer = way.answer;
  card.because = fmt::format(
      "no contact expected, at least {:.2f} mm, while each part is turned as far as its move says "
      "and all others are held",
      std::floor(in_mm(way.least.value_or(Length{})) * 100) / 100);
  for (const std::string& one : way.explained) add_to(card.because, one);
  card.instead =
      "first: the engine maker's instruction, plugs out and the stop out of its hole, start "
      "inhibited, the wheel as the stop set it; read wheel and marks after each move; after the "
      "last: enter state and standing again; turning free is no release to start";
  card.changes_it =
      "resistance felt, a camshaft slipped, a part touched or dropped, a place not reached to "
      "within 1 deg: then DO NOT TURN";
  card.say = fmt::format(
      "Turn it only by hand and only these moves, one by one, {} of them. I read each one to you, "
      "you tell me where it stands. At the first resistance stop and tell me. It is no release to "
      "start.",
      way.moves.size());
}

}  // namespace

// Chain off, only the rules of a crank alone are left.
TurningFacts beside_the_way(TurningFacts facts, bool only_turns_on) {
  facts.bent.clear();  // asked more strictly by the way
  if (facts.chain == OnOff::off) {
    facts.valves = ValvesNow::followers_out;
  } else if (!only_turns_on) {
    facts.marks = MarksNow::counted;
    facts.tensioner = TensionerNow::released;
  }
  return facts;
}

std::vector<std::string> way_cautions() {
  return {
      "A freed camshaft snaps round without warning, either way: hold every camshaft at its flats "
      "before the chain comes off and until it is on again. Fingers out of sprockets and from "
      "under the springs.",
      "Turn by hand only, never on the starter. Against running direction only where a move says "
      "so, the chain off. At the first resistance stop, force nothing, do not turn back.",
      "The engine maker's current data and procedure for this exact engine come first."};
}

std::string way_holds_for(const WayAnswer& way) {
  return fmt::format(
      "what was entered as {}, the engine lying as it is, every place read to within 1 deg; until "
      "anything is turned otherwise, loosened, touched or entered",
      joined(way.held_for.empty() ? std::vector<std::string>{way.entry} : way.held_for, ", "));
}

WayCard with_way(TurningCard card, const TurningFacts& facts, const WayAnswer& way,
                 const Standing* standing) {
  WayCard out{.card = std::move(card)};
  if (way.entry.empty() || standing == nullptr) return out;
  const bool nothing_to_do = way.may() && way.moves.empty();
  // Valves closed: no camshaft presses one, and the rules alone say it, one of them of bent valves
  // and of what lies in a cylinder.
  if (nothing_to_do || turning::valves_closed(facts)) return out;
  const TurningFacts others = beside_the_way(facts, way.only_turns_on);
  const std::string_view rule = forbidden_by(others);
  if (!rule.empty()) {
    std::string holds_for = std::move(out.card.holds_for);
    out.card = turning_card(others);
    out.card.holds_for = std::move(holds_for);
  }
  if (way.may() && rule.empty()) {
    allow_moves(out, way);
    out.card.holds_for = way_holds_for(way) + "; " + out.card.holds_for;
  } else {
    forbid_all(out.card, facts, way, rule);
  }
  const std::vector<std::string> more = way_cautions();
  out.card.cautions.insert(out.card.cautions.begin(), more.begin(), more.begin() + 1);
  return out;
}

}  // namespace tautmark
