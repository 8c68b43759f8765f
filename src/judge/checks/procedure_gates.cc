// SPDX-License-Identifier: Apache-2.0
// Was every gate of the procedure passed as it must be? Nothing where the drive has no procedure or
// none of its steps was entered. It never passes: a procedure with nothing open proves no timing.
// The turning answer does not rest on it; its own rules decide.
#include <fmt/format.h>

#include <algorithm>

#include "judge/check.h"
#include "judge/verdict.h"
#include "procedure/walk.h"

namespace tautmark::checks {
namespace {

using procedure::StepAt;
using procedure::StepStatus;

Finding open_gate(std::string subject, const std::string& entry, std::string why,
                  std::string next) {
  Finding finding = open_finding("procedure-gates", std::move(subject), OpenBecause::not_measured,
                                 std::move(why), {std::move(next)});
  finding.evidence = {entry};
  return finding;
}

Finding open_item(const procedure::OpenItem& open, const std::string& step, const StepAt& at) {
  const bool is_own_gate = open.entry == at.entry && open.gate == at.gate_open;
  return open_gate(is_own_gate ? step : fmt::format("{}, {}", step, open.gate), open.entry,
                   open.words, open.next);
}

// The walk says why it was blocked then; what the step lacks now is another thing.
Finding entered_while_blocked(const procedure::Walk& walk, const std::string& step,
                              const std::string& entry) {
  const std::string head = entry + ": ";
  const auto said = std::find_if(walk.said.begin(), walk.said.end(),
                                 [&](const std::string& one) { return one.starts_with(head); });
  return open_gate(
      step, entry, said == walk.said.end() ? std::string() : said->substr(head.size()),
      "enter the state of the engine as it is, then do the steps that are missing before it");
}

bool is_entered(const StepAt& at) { return !at.entry.empty(); }

}  // namespace

std::vector<Finding> procedure_gates(const CheckInput& input) {
  if (input.drive == nullptr || input.drive->drive.procedure.empty()) return {};
  const Drive& drive = input.drive->drive;
  const procedure::Plan plan = procedure::plan_of(drive);
  const procedure::Walk walk = procedure::walk(plan, drive, *input.value);
  std::vector<Finding> findings;
  if (!std::any_of(walk.steps.begin(), walk.steps.end(), &is_entered)) return findings;
  const auto name = [&](std::size_t i) { return plan.steps[i].written->name; };
  for (const procedure::OpenItem& open : walk.open)
    findings.push_back(open_item(open, name(open.step), walk.steps[open.step]));
  for (std::size_t i = 0; i < walk.steps.size(); ++i)
    if (walk.steps[i].status == StepStatus::blocked)
      findings.push_back(entered_while_blocked(walk, name(i), walk.steps[i].entry));
  for (const procedure::Interrupted& one : walk.interrupted)
    findings.push_back(
        open_gate(name(one.step), one.entry, one.words, "finish or undo what was begun"));
  return findings;
}

}  // namespace tautmark::checks
