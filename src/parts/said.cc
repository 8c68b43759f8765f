// SPDX-License-Identifier: Apache-2.0
#include "parts/said.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "base/text.h"
#include "casework/view.h"
#include "parts/names.h"
#include "procedure/machine.h"
#include "procedure/walk.h"

namespace tautmark::parts {
namespace {

std::optional<Fate> fate_of(PartAction action) {
  switch (action) {
    case PartAction::ordered:
      return Fate::ordered;
    case PartAction::fitted:
      return Fate::fitted;
    case PartAction::rejected:
      return Fate::rejected;
    case PartAction::reused:
      return Fate::reused;
    case PartAction::in_the_box:
      return Fate::in_the_box;
    case PartAction::old_one_kept:
      break;  // laid aside for the customer: says nothing of a new one
  }
  return std::nullopt;
}

std::optional<Fate> decided_fate(std::string_view decided) {
  const std::string words = folded(decided);
  const auto starts = [&](std::string_view word) {
    return words.starts_with(word) &&
           (words.size() == word.size() || words[word.size()] == ' ' || words[word.size()] == ',');
  };
  for (const std::string_view word : {"replace", "replaced", "new", "order", "change"})
    if (starts(word)) return Fate::replace;
  for (const std::string_view word : {"stays", "stay", "keep", "kept", "reuse", "reused",
                                      "not ordered", "not replaced", "not changed"})
    if (starts(word)) return Fate::keep;
  return std::nullopt;
}

bool is_known(const Drive& drive, std::string_view part, std::optional<int> bank) {
  return !named(drive, part, bank).empty() || !holding(drive, part, bank).empty() ||
         std::any_of(drive.fasteners.begin(), drive.fasteners.end(),
                     [&](const Fastener& one) { return same_part(one.name, part); });
}

void add_decision(const Drive& drive, const Entry& entry, const PersonDecision& decision,
                  CaseSaid& said) {
  const PartOfBank of = without_bank(decision.about);
  const auto fate = decided_fate(decision.decided);
  // An order wants a part of the definition; what is not ordered may be any.
  const bool is_part = is_known(drive, of.part, of.bank) ||
                       (fate == Fate::keep && !folded(decision.decided).starts_with("stay"));
  if (fate && is_part) {
    said.all.push_back({.part = of.part,
                        .bank = of.bank,
                        .fate = *fate,
                        .reason = decision.reason,
                        .entry = entry.id});
  } else {
    said.in_words.push_back(fmt::format("{}: {}: {}", entry.id, decision.about, decision.decided));
  }
}

void add_part(const Entry& entry, const PartEntry& part, CaseSaid& said) {
  const auto fate = fate_of(part.action);
  if (!fate) return;
  PartOfBank of{part.part, part.bank};
  if (!of.bank) of.bank = bank_in(part.part);
  said.all.push_back({.part = of.part,
                      .bank = of.bank,
                      .count = part.count,
                      .fate = *fate,
                      .reason = part.reason.value_or(""),
                      .entry = entry.id,
                      .written = &part});
}

void add_step(const procedure::Plan& plan, const Entry& entry, const StepDone& done, bool counts,
              CaseSaid& said) {
  if (done.interrupted.value_or(false)) return;
  for (const procedure::Step& step : plan.steps) {
    if (folded(step.written->name) != folded(done.step)) continue;
    said.done.push_back({step.written, entry.id, counts});
    for (const procedure::Fact& fact : step.gives) {
      const std::string text = procedure::fact_text(fact);
      if (text.ends_with("chain off") || text.ends_with("phaser bolt out"))
        said.bolt_out.emplace(fact.bank, entry.id);
    }
  }
}

}  // namespace

CaseSaid said_in(const Drive& drive, const Case& value) {
  const procedure::Plan plan = procedure::plan_of(drive);
  std::set<std::string> counting;
  for (const procedure::StepAt& at : procedure::walk(plan, drive, value).steps)
    if (at.status == procedure::StepStatus::done || at.status == procedure::StepStatus::overridden)
      counting.insert(at.entry);
  CaseSaid said;
  for (const Entry* entry : entries_in_order_of_work(value)) {
    if (const auto* part = std::get_if<PartEntry>(&entry->body)) add_part(*entry, *part, said);
    if (const auto* decision = std::get_if<PersonDecision>(&entry->body))
      add_decision(drive, *entry, *decision, said);
    if (const auto* done = std::get_if<StepDone>(&entry->body))
      add_step(plan, *entry, *done, counting.contains(entry->id), said);
    if (const auto* state = std::get_if<EngineState>(&entry->body))
      if (state->chain == OnOff::off)
        for (const int bank : plan.banks) said.bolt_out.emplace(bank, entry->id);
  }
  return said;
}

const Said* last_said(const Drive& drive, const CaseSaid& said, std::string_view part,
                      std::optional<int> bank) {
  const Said* last = nullptr;
  for (const Said& one : said.all) {
    if (one.fate == Fate::in_the_box || !banks_meet(one.bank, bank)) continue;
    const auto sets = named(drive, one.part, one.bank);
    const bool in_set = std::any_of(sets.begin(), sets.end(), [&](const PartSet* set) {
      return banks_meet(set->bank, bank) && in_list(set->holds, part);
    });
    if (in_set || same_part(one.part, part)) last = &one;
  }
  return last;
}

}  // namespace tautmark::parts
