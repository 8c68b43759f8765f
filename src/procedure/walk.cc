// SPDX-License-Identifier: Apache-2.0
#include "procedure/walk.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "base/text.h"
#include "casework/view.h"
#include "procedure/order.h"

namespace tautmark::procedure {
namespace {

bool says(const std::optional<std::string>& text) { return text && !trimmed(*text).empty(); }

bool is_reading(const Entry& entry) {
  return std::holds_alternative<Reading>(entry.body) ||
         std::holds_alternative<MarksSeen>(entry.body) ||
         std::holds_alternative<PressureReading>(entry.body) ||
         std::holds_alternative<SensorRecording>(entry.body) ||
         std::holds_alternative<PhaseSamples>(entry.body);
}

struct Walker {
  const Plan& plan;
  const Drive& drive;
  const std::vector<const Entry*> entries;
  const std::optional<std::string>& do_not_turn;
  Walk out{};
  bool begun = false;
  std::set<Fact> unshown{};   // held, but the gate of the step that gave them is open
  std::set<Fact> doubtful{};  // these, and those given against a condition
  struct Override {
    OpenItem item;
    Fact missing;
  };
  std::vector<Override> overrides{};

  Walker(const Plan& of, const Drive& engine, const Case& value,
         const std::optional<std::string>& forbids_turning)
      : plan(of),
        drive(engine),
        entries(entries_in_order_of_work(value)),
        do_not_turn(forbids_turning) {
    out.state = state_of_whole(plan);
    out.steps.resize(plan.steps.size());
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

  // What the gate still wants; empty: nothing.
  [[nodiscard]] std::string gate_open(const ProcedureStep& step, const Entry& entry,
                                      const StepDone& done) const {
    if (!step.gate || step.gate == GateWants::tick) return {};
    if (step.gate == GateWants::second_name) {
      if (!says(done.second_name)) return "the name of a second person who looked";
      if (!says(entry.by)) return "who did it: the second name is to be another's";
      if (folded(*done.second_name) == folded(*entry.by))
        return "a second person: both names are the same";
      return {};
    }
    const auto shows = [&](const Entry* one) {
      const bool fits = step.gate == GateWants::photo
                            ? std::holds_alternative<Attachment>(one->body)
                            : is_reading(*one);
      return fits &&
             std::find(done.shown_by.begin(), done.shown_by.end(), one->id) != done.shown_by.end();
    };
    if (std::any_of(entries.begin(), entries.end(), shows)) return {};
    return std::string(gate_wants_text(*step.gate));
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

  void interrupt(std::size_t i, const Entry& entry) {
    out.steps[i] = {.status = StepStatus::interrupted, .entry = entry.id};
    out.interrupted = Interrupted{i, entry.id, interrupted_words(*plan.steps[i].written)};
    unsettle(i);
  }

  [[nodiscard]] const Fastener* fastener(const std::string& wanted) const {
    const auto found =
        std::find_if(drive.fasteners.begin(), drive.fasteners.end(),
                     [&](const Fastener& f) { return folded(f.name) == folded(wanted); });
    return found == drive.fasteners.end() ? nullptr : &*found;
  }

  [[nodiscard]] std::string interrupted_words(const ProcedureStep& step) const {
    std::string words = fmt::format("\"{}\" was interrupted and is not done.", step.name);
    for (const Tightens& tightens : step.tightens) {
      const Fastener* bolt = fastener(tightens.fastener);
      const auto is_angle = [](const TighteningStep& one) { return one.angle.has_value(); };
      const bool by_angle =
          std::any_of(tightens.steps.begin(), tightens.steps.end(), is_angle) ||
          (bolt != nullptr && std::any_of(bolt->steps.begin(), bolt->steps.end(), is_angle));
      if (!by_angle) continue;
      const bool may_go_on = bolt != nullptr && bolt->single_use == false;
      if (may_go_on && says(bolt->restart)) {
        words += fmt::format(" {}: {}", tightens.fastener, *bolt->restart);
      } else if (may_go_on) {
        words += fmt::format(
            " {}: an angle lost in the middle is not found again; the definition has no restart "
            "rule: ask the engine maker before it is touched.",
            tightens.fastener);
      } else {
        words += fmt::format(
            " {}: an angle lost in the middle is not found again; it is used once{}: take it out "
            "and begin with a new one.",
            tightens.fastener,
            bolt != nullptr && bolt->single_use ? "" : " (nobody says otherwise)");
      }
    }
    return words;
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
    const bool reason = says(done.against_gate), by = says(done.allowed_by);
    if (!reason && !by) return ".";
    for (const Blocked& one : missing)
      if (!one.may_override) return fmt::format("; no override exists here: {}", one.why);
    if (!reason) return "; an override wants its reason too";
    if (!by) return "; an override wants the name of who allowed it too";
    return {};
  }

  void take(std::size_t i, const Entry& entry, const StepDone& done) {
    begun = true;
    if (done.interrupted == true) return interrupt(i, entry);
    std::vector<Blocked> missing = missing_for(i);
    const bool overridden = !missing.empty();
    if (overridden) {
      const std::string problem = override_problem(done, missing);
      if (!problem.empty())
        return refuse(i, entry, std::move(missing), problem == "." ? "" : problem);
      for (const Blocked& one : missing) add_override(i, entry, done, one);
    }
    finish(i, entry, done, overridden, std::move(missing));
  }

  void add_override(std::size_t i, const Entry& entry, const StepDone& done, const Blocked& one) {
    std::vector<std::string> rests;
    for (const Fact& give : plan.steps[i].gives) rests.push_back(fact_text(give));
    overrides.push_back(
        {{i, entry.id, fact_text(one.missing),
          fmt::format("{} allowed \"{}\" without \"{}\": {}. On it rests: {}", *done.allowed_by,
                      name(i), fact_text(one.missing), *done.against_gate,
                      rests.empty() ? "the step" : joined(rests, ", "))},
         one.missing});
  }

  void finish(std::size_t i, const Entry& entry, const StepDone& done, bool overridden,
              std::vector<Blocked> missing) {
    const Step& step = plan.steps[i];
    out.state = after(plan, step, std::move(out.state));
    const std::string open = gate_open(*step.written, entry, done);
    note_given(unshown, step, !open.empty());
    note_given(doubtful, step, overridden || !open.empty());
    out.steps[i] = {.status = overridden ? StepStatus::overridden : StepStatus::done,
                    .entry = entry.id,
                    .late = done.late.value_or(false),
                    .gate_open = open,
                    .missing = std::move(missing)};
    out.last_done = i;
    if (out.interrupted && out.interrupted->step == i) out.interrupted.reset();
    if (!overridden && open.empty()) close_overrides();
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
    for (std::size_t i = 0; i < out.steps.size(); ++i) {
      const StepAt& at = out.steps[i];
      if (at.gate_open.empty()) continue;
      out.open.push_back(
          {i, at.entry, at.gate_open,
           fmt::format("\"{}\" is ticked, but its gate wants {}", name(i), at.gate_open)});
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
      if (at.status == StepStatus::done || at.status == StepStatus::overridden) continue;
      at.missing = missing_now(i);
      if (at.missing.empty()) {
        out.next.push_back(i);
      } else if (out.next.empty() && !first_blocked) {
        first_blocked = i;
      }
    }
    if (!first_blocked) return;
    if (out.next.empty()) add_again(*first_blocked);
    out.next.insert(out.next.begin(), *first_blocked);
  }

  // The step that gives a fact and the least besides; of several the latest.
  [[nodiscard]] std::optional<std::size_t> smallest_giver(const Fact& fact) const {
    std::optional<std::size_t> best;
    for (std::size_t i = 0; i < plan.steps.size(); ++i)
      if (provides(plan, plan.steps[i], fact) &&
          (!best || plan.steps[i].gives.size() <= plan.steps[*best].gives.size()))
        best = i;
    return best;
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
        const std::optional<std::size_t> giver = smallest_giver(one.missing);
        if (!giver || !seen.insert(*giver).second) continue;
        (missing_now(*giver).empty() ? out.next : waiting).push_back(*giver);
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
  for (const Entry* entry : walker.entries) {
    if (const auto* state = std::get_if<EngineState>(&entry->body)) {
      walker.out.state =
          with_entered_state(plan, *state, std::move(walker.out.state), walker.begun);
    } else if (const auto* done = std::get_if<StepDone>(&entry->body)) {
      if (const auto step = walker.named(done->step)) {
        walker.take(*step, *entry, *done);
      } else {
        walker.unknown_step(*entry, *done);
      }
    }
  }
  walker.say_open();
  walker.say_next();
  return walker.out;
}

}  // namespace tautmark::procedure
