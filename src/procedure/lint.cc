// SPDX-License-Identifier: Apache-2.0
#include "procedure/lint.h"

#include <algorithm>
#include <map>
#include <optional>
#include <set>

#include "base/text.h"
#include "drive/drive_fields.h"
#include "procedure/decided.h"
#include "procedure/lint_parts.h"
#include "procedure/order.h"

namespace tautmark::procedure {
namespace {

// More steps than any job has; what compares each with each would take for ever.
constexpr std::size_t kMostSteps = 300;

const ProcedureStep& written(const Plan& plan, std::size_t i) { return *plan.steps[i].written; }

void lint_words(LintReport& report, const Plan& plan) {
  for (const Plan::Unread& unread : plan.unread)
    report.error(fmt::format("procedure[{}].{}[{}]", unread.step, unread.field, unread.word),
                 unread.why, "the words are listed in docs/procedure.md");
  std::map<std::string, std::size_t> names;
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    const auto [first, is_new] = names.emplace(folded(written(plan, i).name), i);
    if (!is_new)
      report.error(step_key(i, "name"),
                   fmt::format("two steps are named \"{}\"", written(plan, i).name), {},
                   step_key(first->second, "name"), "the other one");
    if (trimmed(written(plan, i).what).empty())
      report.error(step_key(i),
                   fmt::format("\"{}\" does not say what is done", written(plan, i).name));
  }
}

// What is missing in the order as it is written; the step is then taken as done, so that one
// mistake is told once.
void lint_written_order(LintReport& report, const Plan& plan) {
  State state = state_of_whole(plan);
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    const Step& step = plan.steps[i];
    for (const Blocked& one : blocked(plan, step, state)) {
      const std::string_view field = !one.by_rule         ? "needs"
                                     : step.gives.empty() ? "turns"
                                                          : "gives";
      report.error(step_key(i, field),
                   fmt::format("\"{}\" needs \"{}\", which does not hold here", step.written->name,
                               fact_text(one.missing)),
                   one.by_rule ? one.why : "move it, or add the step that gives it");
    }
    state = after(plan, step, std::move(state));
  }
}

void lint_order(LintReport& report, const Plan& plan) {
  for (const OrderFault& fault : order_of(plan).faults) {
    if (fault.trouble == OrderTrouble::waits) continue;  // told where it starts
    const std::string other = fault.others.empty() ? "" : step_key(fault.others.back());
    report.error(step_key(fault.step), fault_text(plan, fault), {}, other,
                 other.empty() ? "" : "the other step");
  }
}

struct KeyGate {
  std::string_view name;
  bool is_here = false;
  bool wants_more_than_a_tick = false;  // a wrong step here bends metal
};

std::vector<KeyGate> key_gates(const Step& step) {
  const auto gives = [&](Item item, int value) { return gives_item(step, item, value); };
  return {{"the tensioner is released", gives(Item::tensioner, 1), true},
          {"the phaser bolt gets its final tightening", gives(Item::phaser_bolt, 2), true},
          {"the engine is turned two turns", step.written->turns == StepTurns::two_turns, false},
          {"the marks are proven", gives(Item::marks, 2), true},
          {"the covers go on", gives(Item::covers, 1), true},
          {"the oil is primed and its rise timed", gives(Item::primed, 0), true},
          {"the engine is started", gives(Item::engine, 0), true},
          {"the engine is handed over", gives(Item::handed_over, 0), true}};
}

void lint_gates(LintReport& report, const Plan& plan) {
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    const std::optional<GateWants>& gate = written(plan, i).gate;
    for (const KeyGate& key : key_gates(plan.steps[i])) {
      if (!key.is_here) continue;
      if (!gate) {
        report.warning(step_key(i), fmt::format("no gate where {}", key.name),
                       "gate: tick, reading, photo or second name");
      } else if (gate == GateWants::tick && key.wants_more_than_a_tick) {
        report.warning(step_key(i, "gate"), fmt::format("a tick is too little where {}", key.name),
                       "gate: reading, photo or second name");
      }
    }
    if (gives_item(plan.steps[i], Item::primed, 0) && gate && gate != GateWants::reading)
      report.warning(step_key(i, "gate"), "priming wants the time until the pressure rises",
                     "gate: reading");
  }
}

void lint_since(LintReport& report, const Plan& plan, std::size_t i) {
  const ProcedureStep& step = written(plan, i);
  const bool is_before = std::any_of(
      plan.steps.begin(), plan.steps.begin() + static_cast<std::ptrdiff_t>(i),
      [&](const Step& one) { return folded(one.written->name) == folded(*step.since); });
  if (!is_before)
    report.error(step_key(i, "since"),
                 fmt::format("no step before \"{}\" is named \"{}\"", step.name, *step.since));
  if (!step.within)
    report.warning(step_key(i, "since"),
                   fmt::format("\"{}\" does not say within which time", step.name),
                   "within: 10 min");
}

void lint_steps(LintReport& report, const Plan& plan) {
  std::optional<WorkStage> stage;
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    const ProcedureStep& step = written(plan, i);
    if (step.gives.empty() && step.tightens.empty() && step.fits.empty() && !step.turns)
      report.warning(step_key(i), fmt::format("\"{}\" gives nothing, tightens nothing and fits "
                                              "nothing",
                                              step.name));
    if (step.if_decided && step.turns)
      report.error(step_key(i, "if_decided"),
                   fmt::format("\"{}\" turns the engine: no decision leaves that out", step.name));
    if (step.since) lint_since(report, plan, i);
    if (step.stage && stage && *step.stage < *stage)
      report.warning(step_key(i, "stage"),
                     fmt::format("\"{}\" goes back to an earlier stage of the work", step.name));
    if (step.stage) stage = step.stage;
    if (!step.turns) continue;
    const auto reads = [](const Fact& give) {
      return give.own.empty() && (give.item == Item::marks || give.item == Item::as_found);
    };
    const bool read =
        i + 1 < plan.steps.size() &&
        std::any_of(plan.steps[i + 1].gives.begin(), plan.steps[i + 1].gives.end(), reads);
    if (!read)
      report.warning(step_key(i, "turns"),
                     fmt::format("\"{}\" turns the engine, and the next step does not read the "
                                 "marks",
                                 step.name));
  }
}

// What is wrong in the order of the whole procedure, and what only where steps are left out.
void add_ways(Diagnostics& found, const LoadedDrive& loaded, const Plan& plan) {
  std::set<std::pair<int, std::string>> known;
  for (const Way& way : ways_of(plan)) {
    LintReport report(loaded);
    lint_written_order(report, way.plan);
    lint_order(report, way.plan);
    lint_reaches(report, way.plan);
    for (Diagnostic& one : report.take()) {
      if (!known.emplace(one.place.line, one.message).second) continue;
      if (!way.left_out.empty())
        one.message += fmt::format(", where this is reused: {}", joined(way.left_out, ", "));
      add_diagnostic(found, std::move(one));
    }
  }
}

}  // namespace

Diagnostics procedure_lint(const LoadedDrive& loaded) {
  if (loaded.drive.procedure.empty()) return {};
  LintReport report(loaded);
  if (loaded.drive.procedure.size() > kMostSteps) {
    report.error("procedure", fmt::format("{} steps; at most {} are read",
                                          loaded.drive.procedure.size(), kMostSteps));
    return report.take();
  }
  const Plan plan = plan_of(loaded.drive);
  lint_words(report, plan);
  lint_gates(report, plan);
  lint_steps(report, plan);
  lint_fasteners(report);
  lint_parts(report);
  Diagnostics found = report.take();
  add_ways(found, loaded, plan);
  return found;
}

std::optional<std::size_t> step_at(const LoadedDrive& loaded, const TextPlace& place) {
  // A step of a variant may stand in two files, so its lines are no range.
  const auto is_at = [&](const std::string& path) {
    const TextPlace at = loaded.places.at(path);
    return at.line == place.line && at.column == place.column && at.file == place.file;
  };
  const auto is_below = [&](const std::string& path, std::size_t count) {
    for (std::size_t i = 0; i < count; ++i)
      if (is_at(fmt::format("{}[{}]", path, i))) return true;
    return false;
  };
  for (std::size_t i = 0; i < loaded.drive.procedure.size(); ++i) {
    const ProcedureStep& step = loaded.drive.procedure[i];
    bool found = is_at(step_key(i)) || is_below(step_key(i, "needs"), step.needs.size()) ||
                 is_below(step_key(i, "gives"), step.gives.size()) ||
                 is_below(step_key(i, "ends"), step.ends.size()) ||
                 is_below(step_key(i, "fits"), step.fits.size());
    for (const FieldInfo& field : type_of<ProcedureStep>().fields())
      found = found || is_at(step_key(i, field.key));
    for (std::size_t k = 0; k < step.tightens.size(); ++k) {
      const std::string path = step_key(i, fmt::format("tightens[{}]", k));
      found = found || is_at(path) || is_at(path + ".fastener") || is_at(path + ".steps");
      for (std::size_t m = 0; m < step.tightens[k].steps.size(); ++m) {
        const std::string of = fmt::format("{}.steps[{}]", path, m);
        found = found || is_at(of) || is_at(of + ".torque") || is_at(of + ".angle");
      }
    }
    if (found) return i;
  }
  return std::nullopt;
}

}  // namespace tautmark::procedure
