// SPDX-License-Identifier: Apache-2.0
#include "procedure/walk.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "base/text.h"
#include "casework/view.h"
#include "procedure/decided.h"
#include "procedure/marks_shown.h"
#include "procedure/order.h"
#include "procedure/shown.h"

namespace tautmark::procedure {
namespace {

const StepDone* late_step(const Entry& entry) {
  const auto* done = std::get_if<StepDone>(&entry.body);
  return done != nullptr && done->late == true ? done : nullptr;
}

// What was entered late was done before: it stands before the states that were entered since the
// last step, which are of the engine as it was then. It never stands before a step.
std::vector<const Entry*> with_late_ones_in_place(const std::vector<const Entry*>& entries) {
  std::vector<const Entry*> ordered;
  std::size_t states_from = 0;  // the first place behind the last step that was not late
  for (const Entry* entry : entries) {
    if (late_step(*entry) != nullptr) {
      const auto state = std::find_if(
          ordered.begin() + static_cast<std::ptrdiff_t>(states_from), ordered.end(),
          [](const Entry* one) { return std::holds_alternative<EngineState>(one->body); });
      ordered.insert(state, entry);
      continue;
    }
    ordered.push_back(entry);
    if (std::holds_alternative<StepDone>(entry->body)) states_from = ordered.size();
  }
  return ordered;
}

// What is known before the first entry: of an engine that came in apart, or of which that is not
// known, nothing. What was said after a step says nothing of how it came in.
State state_before(const Plan& plan, const std::vector<const Entry*>& entries) {
  for (const Entry* entry : entries) {
    if (std::holds_alternative<StepDone>(entry->body)) break;
    const auto* state = std::get_if<EngineState>(&entry->body);
    if (state != nullptr && state->apart && state->apart != YesNo::no) return {};
  }
  return state_of_whole(plan);
}

struct Walker {
  const Plan& whole;
  Plan plan;  // without the steps that a decision leaves out
  const Drive& drive;
  const std::vector<const Entry*> entries;  // as they were entered
  const std::optional<std::string>& do_not_turn;
  Walk out{};
  std::vector<const PartEntry*> decisions{};  // in force where the walk is
  std::set<std::string> done_parts{};         // of `if_decided`, whose steps were done
  std::map<std::size_t, const Entry*> done_by{};
  std::map<std::size_t, OpenItem> too_late{};
  std::set<Fact> unshown{};   // held, but the gate of the step that gave them is open
  std::set<Fact> doubtful{};  // these, and those given against a condition
  struct Override {
    OpenItem item;
    Fact missing;
  };
  std::vector<Override> overrides{};
  const Entry* moved_by = nullptr;  // turned the engine, or laid the chain, last

  Walker(const Plan& of, const Drive& engine, const Case& value,
         const std::optional<std::string>& forbids_turning)
      : whole(of),
        plan(of),
        drive(engine),
        entries(entries_in_order_of_work(value)),
        do_not_turn(forbids_turning) {
    out.state = state_before(plan, entries);
    out.steps.resize(plan.steps.size());
    decide_up_to(nullptr);
  }

  [[nodiscard]] Decided decided_of(const ProcedureStep& step) const {
    return done_parts.contains(part_of(step)) ? Decided::needed : decided(whole, step, decisions);
  }

  // By the part entries before this one; null: by none.
  void decide_up_to(const Entry* entry) {
    decisions.clear();
    for (const Entry* one : entries) {
      if (entry == nullptr || one == entry) break;
      if (const auto* part = std::get_if<PartEntry>(&one->body)) decisions.push_back(part);
    }
    decide();
  }
  void decide_by_all() {
    decisions.clear();
    for (const EntryOf<PartEntry>& one : all_of_kind<PartEntry>(entries))
      decisions.push_back(one.body);
    decide();
  }
  void decide() {
    plan = without(
        whole, [&](const ProcedureStep& step) { return decided_of(step) == Decided::left_out; });
  }

  // A state stands over the steps before it. One entered late that says otherwise may have been
  // done before that look at the engine or after it: then neither is taken.
  void see(const Entry& entry, const EngineState& state) {
    const State before = out.state;
    if (state.turned && state.turned != Turned::no) moved_by = &entry;
    out.state = with_entered_state(plan, state, std::move(out.state));
    bool is_after = false;
    for (const Entry* one : entries) {
      if (one == &entry) is_after = true;
      if (!is_after) continue;
      const auto* done = std::get_if<StepDone>(&one->body);
      if (done == nullptr) continue;
      if (done->late != true) break;
      if (const auto step = named(done->step)) doubt(entry, before, *one, plan.steps[*step]);
    }
  }

  void doubt(const Entry& seen, const State& before, const Entry& late, const Step& step) {
    std::vector<std::string> facts;
    for (const Fact& give : step.gives) {
      if (!give.own.empty() || !before.holds(give) || out.state.holds(give)) continue;
      if (!out.state.value_of(give.item, give.bank)) continue;
      out.state.forget(give.item, give.bank);
      facts.push_back(fmt::format("\"{}\"", fact_text(give)));
    }
    if (!facts.empty())
      out.said.push_back(
          fmt::format("{}: \"{}\" was entered late and gives {}; the state in {} says otherwise, "
                      "and which came "
                      "last is not known: enter the state as it is now",
                      late.id, step.written->name, joined(facts, ", "), seen.id));
  }

  // Marks that were read off are set no more, whoever proved them before.
  void read(const Entry& entry, const MarksSeen& seen) {
    const std::string wrong = marks_shown(drive, seen).wrong;
    if (wrong.empty()) return;
    bool was_set = false;
    for (const Chain& chain : drive.chains) {
      if (folded(chain.name) != folded(seen.chain)) continue;
      for (const int bank : plan.banks) {
        if (chain.bank.value_or(bank) != bank || !out.state.value_of(Item::marks, bank)) continue;
        out.state.forget(Item::marks, bank);
        was_set = true;
      }
    }
    if (was_set)
      out.said.push_back(fmt::format("{}: {}: the marks count as set no more", entry.id, wrong));
  }

  [[nodiscard]] const std::string& name(std::size_t i) const { return plan.steps[i].written->name; }

  [[nodiscard]] std::optional<std::size_t> named(const std::string& wanted) const {
    for (std::size_t i = 0; i < plan.steps.size(); ++i)
      if (folded(name(i)) == folded(wanted)) return i;
    return std::nullopt;
  }

  void unknown_step(const Entry& entry, const StepDone& done) {
    std::vector<std::string> known;
    for (std::size_t i = 0; i < plan.steps.size(); ++i) known.push_back(name(i));
    const auto near = nearest(done.step, known);
    out.said.push_back(fmt::format("{}: the procedure has no step \"{}\"{}", entry.id, done.step,
                                   near ? fmt::format("; did you mean \"{}\"?", *near) : ""));
  }

  // The machine's answer, and of steps that no override lifts: nothing that a gate left open.
  [[nodiscard]] std::vector<Blocked> missing_for(std::size_t i) const {
    std::vector<Blocked> missing = blocked(plan, plan.steps[i], out.state);
    if (decided_of(*plan.steps[i].written) == Decided::open) missing.push_back(undecided(i));
    add_left_undone(missing, i);
    for (const Blocked& need : blocked(plan, plan.steps[i], {})) {
      if (!need.by_rule || need.may_override || !out.state.holds(need.missing)) continue;
      const bool is_unshown = std::any_of(unshown.begin(), unshown.end(), [&](const Fact& fact) {
        return is_of_one(fact, need.missing);
      });
      if (is_unshown)
        missing.push_back({need.missing, true, false,
                           "the gate of the step that gave it is open: nothing shows it"});
    }
    return missing;
  }

  [[nodiscard]] Blocked undecided(std::size_t i) const {
    const std::string& part = *plan.steps[i].written->if_decided;
    return {{.own = fmt::format("{} decided", part)},
            false,
            true,
            fmt::format("enter the part {} as rejected, and the step is done, or as reused, and it "
                        "is left out",
                        part)};
  }

  // A part decided late: its steps come before the engine is closed, turned on its starter or given
  // away, whatever was done meanwhile.
  void add_left_undone(std::vector<Blocked>& missing, std::size_t i) const {
    const Step& step = plan.steps[i];
    if (!gives_item(step, Item::covers, 1) && !gives_item(step, Item::primed, 0) &&
        !gives_item(step, Item::engine, 0) && !gives_item(step, Item::handed_over, 0))
      return;
    for (std::size_t other = 0; other < i; ++other) {
      const ProcedureStep& written = *plan.steps[other].written;
      if (!written.if_decided || plan.steps[other].left_out || is_done(other)) continue;
      missing.push_back(
          {{.own = fmt::format("done: {}", written.name)},
           false,
           true,
           fmt::format("it is not left out: {} is not entered as reused", *written.if_decided)});
    }
  }

  [[nodiscard]] bool is_done(std::size_t i) const {
    return out.steps[i].status == StepStatus::done || out.steps[i].status == StepStatus::overridden;
  }

  // Begun, or done against the rules: its facts are not taken, what it touched is unknown.
  void unsettle(std::size_t i) {
    const Step& step = plan.steps[i];
    const State before = out.state;
    out.state = after(plan, step, out.state);
    for (const Fact& give : step.gives) {
      if (before.holds(give)) continue;
      if (give.own.empty()) {
        out.state.forget(give.item, give.bank);
      } else {
        out.state.end(give);
      }
    }
    if (step.written->turns) {
      out.state.forget(Item::crank);
      out.state.forget(Item::turned);
    }
  }

  void interrupt(std::size_t i, const Entry& entry, std::string words) {
    out.steps[i] = {.status = StepStatus::interrupted, .entry = entry.id};
    no_longer_interrupted(i);
    out.interrupted.push_back({i, entry.id, std::move(words)});
    unsettle(i);
  }

  void no_longer_interrupted(std::size_t i) {
    std::erase_if(out.interrupted, [&](const Interrupted& one) { return one.step == i; });
  }

  void refuse(std::size_t i, const Entry& entry, std::vector<Blocked> missing,
              const std::string& more) {
    std::vector<std::string> facts;
    for (const Blocked& one : missing)
      facts.push_back(fmt::format("\"{}\"", fact_text(one.missing)));
    out.said.push_back(fmt::format(
        "{}: \"{}\" was entered while it was blocked ({} not so): its facts are not taken, what it "
        "touched is unknown{}",
        entry.id, name(i), joined(facts, ", "), more));
    out.steps[i] = {
        .status = StepStatus::blocked, .entry = entry.id, .missing = std::move(missing)};
    unsettle(i);
  }

  // Empty: overridden as it must be.
  [[nodiscard]] static std::string override_problem(const StepDone& done,
                                                    const std::vector<Blocked>& missing) {
    const bool reason = is_said(done.against_gate), by = is_said(done.allowed_by);
    if (!reason && !by) return ".";
    for (const Blocked& one : missing)
      if (!one.may_override) return fmt::format("; no override exists here: {}", one.why);
    if (!reason) return "; an override wants its reason too";
    if (!by) return "; an override wants the name of who allowed it too";
    return {};
  }

  void take(std::size_t i, const Entry& entry, const StepDone& done) {
    decide_up_to(&entry);
    if (plan.steps[i].left_out) {
      out.said.push_back(fmt::format(
          "{}: \"{}\" was entered, though {} was entered as reused: it counts as needed", entry.id,
          name(i), *plan.steps[i].written->if_decided));
      done_parts.insert(part_of(*plan.steps[i].written));
      decide();
    }
    const ProcedureStep& step = *plan.steps[i].written;
    const auto moves = [](const Fact& give) {
      return give.own.empty() && (give.item == Item::chain || give.item == Item::engine);
    };
    const std::vector<Fact>& gives = plan.steps[i].gives;
    if (step.turns || std::any_of(gives.begin(), gives.end(), moves)) moved_by = &entry;
    if (done.interrupted == true) return interrupt(i, entry, interrupted_words(drive, step));
    std::vector<Blocked> missing = missing_for(i);
    const bool overridden = !missing.empty();
    if (overridden) {
      const std::string problem = override_problem(done, missing);
      if (!problem.empty())
        return refuse(i, entry, std::move(missing), problem == "." ? "" : problem);
      for (const Blocked& one : missing) add_override(i, entry, done, one);
    }
    if (std::string few = too_few(drive, step, done); !few.empty())
      return interrupt(i, entry, std::move(few));
    finish(i, entry, done, overridden, std::move(missing));
  }

  void add_override(std::size_t i, const Entry& entry, const StepDone& done, const Blocked& one) {
    std::vector<std::string> rests;
    for (const Fact& give : plan.steps[i].gives) rests.push_back(fact_text(give));
    // A tensioner that was released too early is not mended by what its release lacked: only by
    // releasing it again as it must be.
    Fact closes = one.missing;
    std::string next = fmt::format("do the step that gives \"{}\", under its own conditions",
                                   fact_text(one.missing));
    for (const Fact& give : plan.steps[i].gives) {
      if (!one.by_rule || !give.own.empty() || give.item != Item::tensioner || give.value != 1)
        continue;
      if (one.missing.bank != 0 && one.missing.bank != give.bank) continue;
      closes = give;
      next =
          "press the plunger back as the maker says, or fit a new tensioner; pin it, then release "
          "it under its own conditions";
      break;
    }
    overrides.push_back(
        {{i, entry.id, fact_text(one.missing),
          fmt::format("{} allowed \"{}\" without \"{}\": {}. On it rests: {}", *done.allowed_by,
                      name(i), fact_text(one.missing), *done.against_gate,
                      rests.empty() ? "the step" : joined(rests, ", ")),
          std::move(next)},
         closes});
  }

  void finish(std::size_t i, const Entry& entry, const StepDone& done, bool overridden,
              std::vector<Blocked> missing) {
    const Step& step = plan.steps[i];
    out.state = after(plan, step, std::move(out.state));
    std::string open = gate_open(*step.written, entry, done, entries);
    if (open.empty()) open = shown_open(drive, step, done, entries, moved_by);
    note_given(unshown, step, !open.empty());
    note_given(doubtful, step, overridden || !open.empty());
    out.steps[i] = {.status = overridden ? StepStatus::overridden : StepStatus::done,
                    .entry = entry.id,
                    .late = done.late.value_or(false),
                    .gate_open = open,
                    .missing = std::move(missing)};
    out.last_done = i;
    done_by[i] = &entry;
    if (step.written->if_decided) done_parts.insert(part_of(*step.written));
    no_longer_interrupted(i);
    note_time(i, entry);
    if (std::string many = too_many(drive, *step.written, done); !many.empty())
      out.said.push_back(entry.id + ": " + many);
    if (!overridden && open.empty()) close_overrides();
  }

  void note_time(std::size_t i, const Entry& entry) {
    const ProcedureStep& step = *plan.steps[i].written;
    too_late.erase(i);
    if (!step.within || !step.since) return;
    const auto since = named(*step.since);
    const auto from = since ? done_by.find(*since) : done_by.end();
    const Within within =
        within_time(from == done_by.end() ? nullptr : from->second, entry, step.within->value);
    const std::string wanted = fmt::format("within {} of \"{}\"", step.within->text, *step.since);
    if (within == Within::no_times) {
      out.said.push_back(fmt::format("{}: \"{}\" is to be done {}; no times of entries show it",
                                     entry.id, step.name, wanted));
    } else if (within == Within::not_shown) {
      too_late[i] = {i, entry.id, wanted,
                     fmt::format("\"{}\" was to be done {}; the times of the entries say later",
                                 step.name, wanted),
                     fmt::format("do \"{}\" again, then \"{}\" in time", *step.since, step.name)};
    }
  }

  static void note_given(std::set<Fact>& facts, const Step& step, bool given) {
    for (const Fact& give : step.gives) {
      std::erase_if(facts, [&](const Fact& fact) { return is_of_one(fact, give); });
      if (given) facts.insert(give);
    }
  }

  // Of the same item, whatever its value.
  static bool is_of_one(const Fact& a, const Fact& b) {
    return a.own == b.own && (!a.own.empty() || (a.item == b.item && a.bank == b.bank));
  }

  // A condition that was passed over is shown once a step gave it under its own conditions.
  void close_overrides() {
    std::erase_if(overrides, [&](const Override& one) {
      const bool in_doubt = std::any_of(doubtful.begin(), doubtful.end(), [&](const Fact& fact) {
        return is_of_one(fact, one.missing);
      });
      return !in_doubt && out.state.holds(one.missing);
    });
  }

  void say_open() {
    for (const Override& one : overrides) out.open.push_back(one.item);
    for (const auto& [step, item] : too_late) out.open.push_back(item);
    for (std::size_t i = 0; i < out.steps.size(); ++i) {
      const StepAt& at = out.steps[i];
      if (at.gate_open.empty()) continue;
      out.open.push_back(
          {i, at.entry, at.gate_open,
           fmt::format("\"{}\" is ticked, but its gate wants {}", name(i), at.gate_open),
           fmt::format("enter \"{}\" again with {}", name(i), at.gate_open)});
    }
  }

  // Of the steps that are still to do; the turning answer is of now, so it blocks these alone.
  [[nodiscard]] std::vector<Blocked> missing_now(std::size_t i) const {
    std::vector<Blocked> missing = missing_for(i);
    if (plan.steps[i].written->turns && do_not_turn)
      missing.insert(missing.begin(), {{.item = Item::turned}, true, false, *do_not_turn});
    return missing;
  }

  void say_next() {
    std::optional<std::size_t> first_blocked;
    for (std::size_t i = 0; i < out.steps.size(); ++i) {
      StepAt& at = out.steps[i];
      if (is_done(i)) continue;
      if (plan.steps[i].left_out) {
        at.status = StepStatus::left_out;
        continue;
      }
      at.missing = missing_now(i);
      if (at.missing.empty()) {
        out.next.push_back(i);
      } else if (out.next.empty() && !first_blocked) {
        first_blocked = i;
      }
    }
    if (!first_blocked) return;
    add_again(*first_blocked);
    out.next.insert(out.next.begin(), *first_blocked);
  }

  // Of the steps that give a fact, the one that takes the least away of what holds now; of several
  // one that the procedure has before the waiting step, and the last of those.
  [[nodiscard]] std::optional<std::size_t> giver_of(const Fact& fact, std::size_t waiting) const {
    using Rank = std::tuple<std::size_t, bool, std::size_t>;
    std::optional<std::pair<Rank, std::size_t>> best;
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
      if (i == waiting || !provides(plan, plan.steps[i], fact)) continue;
      const Rank rank{taken_away(plan.steps[i]), i > waiting, plan.steps.size() - i};
      if (!best || rank < best->first) best = {rank, i};
    }
    return best ? std::optional(best->second) : std::nullopt;
  }

  [[nodiscard]] std::size_t taken_away(const Step& step) const {
    const State then = after(plan, step, out.state);
    const std::vector<Fact> now = out.state.facts();
    return static_cast<std::size_t>(
        std::count_if(now.begin(), now.end(), [&](const Fact& fact) { return !then.holds(fact); }));
  }

  // What a done step once gave and no longer holds (the chain came off again) is given by doing it
  // once more: the done steps on the way to `step` that may be done now.
  void add_again(std::size_t step) {
    std::set<std::size_t> seen = {step};
    std::vector<std::size_t> waiting = {step};
    while (!waiting.empty()) {
      const std::size_t at = waiting.back();
      waiting.pop_back();
      for (const Blocked& one : missing_for(at)) {
        if (out.state.holds(one.missing)) continue;  // a gate is open: shown, not done again
        const std::optional<std::size_t> giver = giver_of(one.missing, at);
        if (!giver || !seen.insert(*giver).second) continue;
        if (!missing_now(*giver).empty()) {
          waiting.push_back(*giver);
        } else if (std::find(out.next.begin(), out.next.end(), *giver) == out.next.end()) {
          out.next.push_back(*giver);
        }
      }
    }
    std::sort(out.next.begin(), out.next.end());
  }
};

}  // namespace

std::string_view status_text(StepStatus status) {
  switch (status) {
    case StepStatus::to_do:
      return "to do";
    case StepStatus::done:
      return "done";
    case StepStatus::interrupted:
      return "interrupted";
    case StepStatus::blocked:
      return "entered while blocked";
    case StepStatus::overridden:
      return "done against its condition";
    case StepStatus::left_out:
      return "left out";
  }
  return "";
}

std::string_view gate_wants_text(GateWants gate) {
  switch (gate) {
    case GateWants::tick:
      return "a tick";
    case GateWants::reading:
      return "a reading, named under shown_by";
    case GateWants::photo:
      return "a photo, named under shown_by";
    case GateWants::second_name:
      return "the name of a second person who looked";
  }
  return "";
}

Walk walk(const Plan& plan, const Drive& drive, const Case& value,
          const std::optional<std::string>& do_not_turn) {
  Walker walker(plan, drive, value, do_not_turn);
  for (const Entry* entry : with_late_ones_in_place(walker.entries)) {
    if (const auto* state = std::get_if<EngineState>(&entry->body)) {
      walker.see(*entry, *state);
    } else if (const auto* seen = std::get_if<MarksSeen>(&entry->body)) {
      walker.read(*entry, *seen);
    } else if (const auto* done = std::get_if<StepDone>(&entry->body)) {
      if (const auto step = walker.named(done->step)) {
        walker.take(*step, *entry, *done);
      } else {
        walker.unknown_step(*entry, *done);
      }
    }
  }
  walker.decide_by_all();
  walker.say_open();
  walker.say_next();
  return walker.out;
}

}  // namespace tautmark::procedure
