// SPDX-License-Identifier: Apache-2.0
#include "judge/turning_answer.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "base/text.h"
#include "judge/drive_paths.h"
#include "judge/marks_standing.h"
#include "judge/path_lint.h"
#include "judge/phaser_proof.h"
#include "judge/standing_in_force.h"
#include "judge/state_in_force.h"
#include "judge/turning_rules.h"
#include "judge/valves_straight.h"
#include "judge/way_turning.h"
#include "procedure/walk.h"

namespace tautmark {
namespace {

PhasersNow phasers_now(const EngineState& state) {
  if (state.phaser == Locked::not_locked) return PhasersNow::not_locked;
  if (state.phaser != Locked::locked) return PhasersNow::unknown;
  return proves_locked(state.phaser_checked_how.value_or("")) ? PhasersNow::locked_checked
                                                              : PhasersNow::locked_unchecked;
}

TensionerNow tensioner_now(const EngineState& state) {
  if (state.pin == InOut::in) return TensionerNow::pin_in;
  return state.pin == InOut::out ? TensionerNow::released : TensionerNow::unknown;
}

void set_state(TurningFacts& facts, const EngineState& state) {
  facts.apart = state.apart.value_or(YesNo::unknown);
  facts.turned = state.turned.value_or(Turned::unknown);
  facts.chain = state.chain.value_or(OnOff::unknown);
  facts.tensioner = tensioner_now(state);
  // A drive without phasers leaves nothing to lock; a person who finds one loose is believed.
  if (facts.phasers != PhasersNow::none_fitted || state.phaser == Locked::not_locked)
    facts.phasers = phasers_now(state);
  facts.phasers_checked_how = state.phaser_checked_how.value_or("");
  facts.valves = state.valves.value_or(ValvesNow::unknown);
  facts.resistance = state.resistance;
  facts.dropped = state.dropped;
}

Loop loop_of(const Drive& drive) {
  const auto is_belt = [](const Chain& chain) { return chain.type == ChainType::toothed_belt; };
  if (drive.chains.empty()) return Loop::unknown;
  if (std::all_of(drive.chains.begin(), drive.chains.end(), is_belt)) return Loop::belt;
  return std::any_of(drive.chains.begin(), drive.chains.end(), is_belt) ? Loop::unknown
                                                                        : Loop::chain;
}

// Every identification in force names this drive; none at all leaves what the case itself names.
bool is_identified(const std::vector<const Entry*>& entries, const Drive& drive) {
  const auto named = all_of_kind<Identification>(entries);
  return std::all_of(named.begin(), named.end(),
                     [&](const auto& each) { return each.body->variant == drive.name; });
}

// What path and counts say against each other, and what the reader of the file found.
std::string contradiction_in(const LoadedDrive& drive) {
  for (const Diagnostics& found : {drive.warnings, path_lint(drive)})
    for (const Diagnostic& one : found)
      if (one.severity == Severity::error) return one.message;
  return {};
}

// The drive names its camshafts, none with a phaser. What a variant took over unconfirmed of the
// phasers says nothing.
bool has_no_phaser(const LoadedDrive& drive) {
  bool any = false, phaser = drive.unconfirmed.contains(std::string(topic::kPhaserBase));
  for (const Bank& bank : drive.drive.banks)
    for (const Camshaft& camshaft : bank.camshafts) {
      any = true;
      phaser = phaser || camshaft.phaser.has_value();
    }
  return any && !phaser;
}

// What stands where after two turns by hand, so that links beside their marks alarm nobody and are
// not waited for.
std::string marks_return(const Drive& drive) {
  const auto returns = returns_of(drive);
  if (!returns) return {};
  std::string words = "the sprocket marks of crank and camshafts stand on theirs again";
  if (returns->turns.sprocket_marks > 2)
    words +=
        fmt::format(", those of other shafts only after {} turns", returns->turns.sprocket_marks);
  for (std::size_t i = 0; i < returns->chains.size(); ++i) {
    if (returns->chains[i]->type == ChainType::toothed_belt) continue;
    const long long turns = returns->turns.links_marks[i];
    words += turns <= 2
                 ? fmt::format(", the colored links of {} too", returns->chains[i]->name)
                 : fmt::format(", the colored links of {} do not, they are back after {} turns",
                               returns->chains[i]->name, turns);
  }
  return words;
}

// It gives or ends more than a reading of chain, tensioner, phaser, camshaft or their bolts.
bool works_on_drive(const procedure::Step& step) {
  const auto is_of_drive = [](const procedure::Fact& fact) {
    return fact.own.empty() && fact.item <= procedure::Item::caps &&
           fact.item != procedure::Item::extension;
  };
  return std::any_of(step.gives.begin(), step.gives.end(), is_of_drive) ||
         std::any_of(step.ends.begin(), step.ends.end(), is_of_drive);
}

// What a state does not say and the steps do: a bolt only snug, a wrench still on the camshaft, a
// step broken off or entered while it was blocked. Nothing where no step was entered.
std::string work_unfinished(const LoadedCase& loaded, const Drive& drive,
                            const std::vector<const Entry*>& entries) {
  const bool any = std::any_of(entries.begin(), entries.end(), [](const Entry* entry) {
    return std::holds_alternative<StepDone>(entry->body);
  });
  if (!any || drive.procedure.empty()) return {};
  const procedure::Plan plan = procedure::plan_of(drive);
  const procedure::Walk walk = procedure::walk(plan, drive, loaded.value);
  std::vector<std::string> words;
  for (const procedure::Fact& fact : walk.state.facts()) {
    if (!fact.own.empty()) continue;
    const bool is_loose = fact.item == procedure::Item::phaser_bolt && fact.value != 2;
    const bool is_held = fact.item == procedure::Item::camshaft && fact.value == 0;
    const bool is_open = fact.item == procedure::Item::caps && fact.value == 0;
    if (is_loose || is_held || is_open) words.push_back(procedure::fact_text(fact));
  }
  for (const int bank : plan.phaser_banks)
    if (!walk.state.value_of(procedure::Item::phaser_bolt, bank))
      words.push_back(fmt::format("bank {}: nobody has said that the phaser bolt is final", bank));
  for (std::size_t i = 0; i < walk.steps.size(); ++i)
    if (walk.steps[i].status == procedure::StepStatus::blocked && works_on_drive(plan.steps[i]))
      words.push_back(
          fmt::format("\"{}\" was entered while it was blocked", plan.steps[i].written->name));
  for (const procedure::Interrupted& one : walk.interrupted)
    words.push_back(fmt::format("\"{}\" is not done", plan.steps[one.step].written->name));
  return joined(words, ", ");
}

void set_drive(TurningFacts& facts, const LoadedCase& loaded, const LoadedDrive& drive,
               const std::vector<const Entry*>& entries) {
  const auto unconfirmed = [&](std::string_view topic) {
    return drive.unconfirmed.contains(std::string(topic));
  };
  facts.variant_known = is_identified(entries, drive.drive);
  facts.loop = loop_of(drive.drive);
  if (const auto& crank = drive.drive.crankshaft;
      crank && crank->rotation && crank->seen_from && !unconfirmed(topic::kRotation))
    facts.rotation = from_front(*crank->rotation, *crank->seen_from);

  facts.work = work_unfinished(loaded, drive.drive, entries);
  facts.contradiction = contradiction_in(drive);
  facts.marks_return = marks_return(drive.drive);
  if (facts.variant_known && has_no_phaser(drive)) facts.phasers = PhasersNow::none_fitted;

  const MarksStanding standing = marks_standing(check_input(loaded, &drive));
  facts.marks_why = standing.why;
  if (standing.proof == MarksProof::wrong) facts.marks = MarksNow::wrong;
  if (standing.proof != MarksProof::right) return;
  if (!facts.contradiction.empty()) {
    facts.marks_why = "the definition contradicts itself: " + facts.contradiction;
  } else if (unconfirmed(topic::kChainLinks) || unconfirmed(topic::kLinkCounts)) {
    facts.marks_why =
        "the link counts of this variant are taken over from its base, confirmed by "
        "nobody";
  } else {
    facts.marks = MarksNow::counted;
  }
}

// The last quick answer that names a fact against turning.
std::string said_on_the_phone(const std::vector<const Entry*>& entries) {
  std::string said;
  for (const Entry* entry : entries)
    if (const auto* quick = std::get_if<QuickAnswer>(&entry->body); quick && quick->forbids)
      said = fmt::format("{} ({})", *quick->forbids, entry->id);
  return said;
}

TurningAnswer as_answer(WayCard with_moves, std::string next, Loop loop) {
  TurningCard& card = with_moves.card;
  return {.answer = std::move(card.answer),
          .because = std::move(card.because),
          .next = std::move(next),
          .instead = std::move(card.instead),
          .changes_it = std::move(card.changes_it),
          .say = std::move(card.say),
          .holds_for = std::move(card.holds_for),
          .cautions = std::move(card.cautions),
          .moves = std::move(with_moves.moves),
          .never = never_cards(loop)};
}

}  // namespace

TurningFacts turning_facts(const LoadedCase& loaded, const LoadedDrive* drive) {
  TurningFacts facts;
  const std::vector<const Entry*> entries = entries_in_order_of_work(loaded.value);
  if (drive != nullptr) set_drive(facts, loaded, *drive, entries);
  const StateInForce found = state_in_force(entries);
  if (found.state != nullptr) {
    set_state(facts, *found.state);
    static const Drive kNone;
    const Drive& of = drive != nullptr ? drive->drive : kNone;
    facts.bent =
        turning::valves_closed(facts)
            ? closed_doubted(entries, *found.state, of, facts.marks == MarksNow::wrong).because
            : driven_doubted(entries, of).because;
    if (found.phaser_seen &&
        (facts.phasers != PhasersNow::none_fitted || found.phaser_seen == Locked::not_locked))
      facts.phasers =
          *found.phaser_seen == Locked::not_locked ? PhasersNow::not_locked : PhasersNow::unknown;
  } else if (facts.marks == MarksNow::counted) {
    // Marks seen do not outlive the state that they were seen in.
    facts.marks = MarksNow::before_last_touch;
  }
  // A state in force is younger; with the marks counted after that, what was said is settled.
  if (found.state == nullptr || facts.marks != MarksNow::counted)
    facts.said = said_on_the_phone(entries);
  return facts;
}

TurningCard card_for_all(std::span<const TurningFacts> candidates) {
  TurningFacts shared = candidates.front();
  for (const TurningFacts& facts : candidates)
    if (facts.marks_return != shared.marks_return) shared.marks_return.clear();
  const TurningCard first = turning_card(shared);
  bool all_say_the_same = true;
  for (const TurningFacts& facts : candidates) {
    TurningCard card = turning_card(facts);
    all_say_the_same = all_say_the_same && card.answer == first.answer;
    if (card.may_turn) continue;
    if (!all_say_the_same) card.because += "; not every candidate variant allows it";
    return card;
  }
  if (all_say_the_same) return first;
  // What is missing is the variant; the rules have the words for it.
  TurningFacts facts = candidates.front();
  facts.variant_known = false;
  facts.rotation = std::nullopt;
  return turning_card(facts);
}

TurningAnswer turning_answer(const LoadedCase& loaded, std::span<const LoadedDrive* const> drives) {
  std::vector<TurningFacts> candidates;
  for (const LoadedDrive* drive : drives) candidates.push_back(turning_facts(loaded, drive));
  if (candidates.empty()) candidates.push_back(turning_facts(loaded, nullptr));
  TurningCard card = card_for_all(candidates);

  const StateInForce found = state_in_force(entries_in_order_of_work(loaded.value));
  if (!card.may_turn && found.state == nullptr)
    card.because = (found.withdrawn_by.empty()
                        ? "the state of the engine is not entered"
                        : "what was entered of the state no longer holds: " + found.because) +
                   "; " + card.because;
  if (found.state != nullptr && forbidden_by(candidates.front()) == "phaser-unchecked" &&
      found.state->phaser == Locked::locked)
    card.changes_it += fmt::format("; as proof counts {}", kPhaserProofs);
  std::string next;
  if (!drives.empty()) next = marks_standing(check_input(loaded, drives.front())).next;
  if (next.empty()) next = "look at the sprocket marks, without turning";
  if (!card.may_turn && forbidden_by(candidates.front()) == "marks-unknown")
    card.instead = "leave the crank where it is; " + next;
  WayCard answer{.card = std::move(card)};
  // Of several candidates the way says itself that the variant is not known.
  answer = with_way(std::move(answer.card), candidates.front(),
                    way_answer(loaded, drives.empty() ? nullptr : drives.front()),
                    standing_in_force(entries_in_order_of_work(loaded.value)).standing);
  return as_answer(std::move(answer), std::move(next), candidates.front().loop);
}

}  // namespace tautmark
