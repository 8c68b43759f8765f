// SPDX-License-Identifier: Apache-2.0
#include "cli/procedure_text.h"

#include <fmt/format.h>

#include "base/text.h"
#include "cli/words.h"
#include "drive/drive_fields.h"
#include "judge/tightening.h"
#include "report/torque_words.h"

namespace tautmark::cli {
namespace {

using procedure::Blocked;
using procedure::OpenItem;
using procedure::StepAt;
using procedure::StepStatus;

std::string name_of(const ProcedureView& view, std::size_t i) {
  return fmt::format("{}. {}", i + 1, view.plan.steps[i].written->name);
}

void write_head(Writer& to, const ProcedureView& view) {
  const Drive& drive = view.drive.drive;
  if (drive.invented.value_or(false)) to.line(0, "INVENTED ENGINE, NOT FOR REAL WORK");
  to.head(fmt::format("Procedure: {}{}", drive.title.value_or(drive.name),
                      drive.revision ? ", revision " + *drive.revision : ""));
  to.line(0,
          "The engine maker's procedure comes first. Turning is decided by the turning answer "
          "alone.");
}

std::string missing_text(const Blocked& one) {
  return fmt::format("needs \"{}\": {}{}", procedure::fact_text(one.missing), one.why,
                     one.may_override ? "" : " (no override)");
}

void write_standing(Writer& to, const ProcedureView& view, bool with_state) {
  const procedure::Walk& walk = *view.walk;
  to.title("Where the work stands");
  to.line(2, walk.last_done ? "last done: " + name_of(view, *walk.last_done)
                            : "nothing of the procedure is entered as done");
  for (const procedure::Interrupted& one : walk.interrupted)
    to.line(2, "INTERRUPTED: " + one.words);
  to.line(2, fmt::format("turning: {}. {}", view.turning.answer, view.turning.because));
  for (const std::string& words : walk.said) to.line(2, "entered: " + words);
  for (const OpenItem& open : walk.open)
    to.line(2, fmt::format("OPEN ({}): {}", open.entry, open.words));
  if (with_state) {
    to.title("State, as far as it is known");
    for (const std::string& fact : procedure::state_text(walk.state)) to.line(2, fact);
  }
  to.title("Next");
  if (walk.next.empty()) to.line(2, "every step is done");
  for (const std::size_t i : walk.next) {
    to.line(2, name_of(view, i));
    for (const Blocked& one : walk.steps[i].missing) to.line(4, "blocked: " + missing_text(one));
  }
}

std::string status_words(const StepAt& at) {
  if (at.status == StepStatus::to_do) return "";
  if (at.status == StepStatus::left_out) return "  [left out]";
  return fmt::format("  [{}, {}{}{}]", procedure::status_text(at.status), at.entry,
                     at.late ? ", entered late" : "", at.gate_open.empty() ? "" : ", GATE OPEN");
}

void write_tightens(Writer& to, const Tightens& tightens, const std::vector<bool>& to_check) {
  to.line(4, "tighten: " + tightens.fastener);
  for (std::size_t i = 0; i < tightens.steps.size(); ++i) {
    const TighteningStep& step = tightens.steps[i];
    std::vector<std::string> parts;
    if (step.torque && to_check[i])
      parts.push_back(step.torque->text + ": CHECK the sheet before anybody turns it");
    else if (step.torque)
      parts.push_back(spelled_torque(*step.torque));
    if (step.angle) parts.push_back(fmt::format("a further {}", step.angle->text));
    to.line(6, fmt::format("{}) {}", i + 1, joined(parts, ", ")));
  }
}

void write_step(Writer& to, const ProcedureView& view, std::size_t i) {
  const ProcedureStep& step = *view.plan.steps[i].written;
  to.line(2, name_of(view, i) + (step.bank ? fmt::format("  (bank {})", *step.bank) : "") +
                 (view.walk ? status_words(view.walk->steps[i]) : ""));
  to.line(4, std::string(trimmed(step.what)));
  for (const std::string& caution : step.cautions) to.line(4, "CAUTION: " + caution);
  if (step.turns) to.line(4, "TURNS THE ENGINE: only as the turning answer allows");
  for (const Tightens& tightens : step.tightens)
    write_tightens(to, tightens, torques_to_check(view.drive.drive, tightens, step.bank));
  if (!step.fits.empty()) to.line(4, "fit: " + joined(step.fits, ", "));
  if (step.if_decided) to.line(4, "only where it is replaced: " + *step.if_decided);
  if (step.within)
    to.line(4, fmt::format("within: {}{}", step.within->text,
                           step.since ? fmt::format(" of \"{}\"", *step.since) : ""));
  if (!step.needs.empty()) to.line(4, "before: " + joined(step.needs, ", "));
  if (!step.gives.empty()) to.line(4, "after: " + joined(step.gives, ", "));
  if (step.gate) to.line(4, fmt::format("GATE: {}", procedure::gate_wants_text(*step.gate)));
  if (step.why) to.line(4, "why: " + *step.why);
}

}  // namespace

std::string procedure_text(const ProcedureView& view, const TextStyle& style) {
  Writer to(style);
  write_head(to, view);
  if (view.walk) write_standing(to, view, true);
  std::optional<WorkStage> stage;
  for (std::size_t i = 0; i < view.plan.steps.size(); ++i) {
    const ProcedureStep& step = *view.plan.steps[i].written;
    if (step.stage && step.stage != stage) to.title(std::string(choice_name(*step.stage)));
    if (step.stage) stage = step.stage;
    write_step(to, view, i);
  }
  return to.take();
}

std::string brief_procedure(const ProcedureView& view, const TextStyle& style) {
  Writer to(style);
  write_head(to, view);
  if (view.walk) {
    write_standing(to, view, false);
  } else {
    for (std::size_t i = 0; i < view.plan.steps.size(); ++i) {
      const ProcedureStep& step = *view.plan.steps[i].written;
      to.line(2, name_of(view, i) +
                     (step.gate ? fmt::format("  [gate: {}]", choice_name(*step.gate)) : ""));
    }
  }
  return to.take();
}

}  // namespace tautmark::cli
