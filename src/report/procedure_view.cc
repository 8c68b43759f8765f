// SPDX-License-Identifier: Apache-2.0
#include "report/procedure_view.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "drive/drive_fields.h"
#include "judge/tightening.h"
#include "report/torque_words.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;
using procedure::Blocked;
using procedure::StepAt;

Json tightening(const Tightens& tightens, const std::vector<bool>& to_check) {
  Json steps = Json::array();
  for (std::size_t i = 0; i < tightens.steps.size(); ++i) {
    const TighteningStep& step = tightens.steps[i];
    Json one = Json::object();
    if (step.torque) {
      one["torque"] = {{"value", step.torque->value.si()},
                       {"unit", "N·m"},
                       {"typed", step.torque->text},
                       {"spelled", to_check[i] ? step.torque->text : spelled_torque(*step.torque)}};
    }
    if (step.angle) {
      one["angle"] = {
          {"value", step.angle->value.si()}, {"unit", "rad"}, {"typed", step.angle->text}};
    }
    steps.push_back(std::move(one));
  }
  return {{"fastener", tightens.fastener}, {"steps", std::move(steps)}};
}

Json missing(const std::vector<Blocked>& blocked) {
  Json all = Json::array();
  for (const Blocked& one : blocked)
    all.push_back({{"fact", procedure::fact_text(one.missing)},
                   {"by_rule", one.by_rule},
                   {"may_override", one.may_override},
                   {"why", one.why}});
  return all;
}

Json turning_json(const TurningAnswer& turning) {
  return {{"answer", turning.answer}, {"because", turning.because}};
}

void add_standing(Json& step, const StepAt& at) {
  step["status"] = procedure::status_text(at.status);
  if (!at.entry.empty()) step["entry"] = at.entry;
  if (at.late) step["late"] = true;
  if (!at.gate_open.empty()) step["gate_open"] = at.gate_open;
  if (!at.missing.empty()) step["missing"] = missing(at.missing);
}

Json step_json(const ProcedureView& view, std::size_t i) {
  const ProcedureStep& written = *view.plan.steps[i].written;
  Json step = {{"number", i + 1}, {"name", written.name}, {"what", written.what}};
  if (written.stage) step["stage"] = choice_name(*written.stage);
  if (written.bank) step["bank"] = *written.bank;
  if (written.if_decided) step["if_decided"] = *written.if_decided;
  step["needs"] = written.needs;
  step["gives"] = written.gives;
  step["ends"] = written.ends;
  if (written.gate) {
    step["gate"] = choice_name(*written.gate);
    step["gate_wants"] = procedure::gate_wants_text(*written.gate);
  }
  if (written.turns) {
    step["turns"] = choice_name(*written.turns);
    step["turning"] = turning_json(view.turning);
  }
  step["tightens"] = Json::array();
  for (const Tightens& one : written.tightens)
    step["tightens"].push_back(
        tightening(one, torques_to_check(view.drive.drive, one, written.bank)));
  step["fits"] = written.fits;
  if (written.within) step["within"] = written.within->text;
  if (written.since) step["since"] = *written.since;
  if (written.why) step["why"] = *written.why;
  step["cautions"] = written.cautions;
  if (view.walk) add_standing(step, view.walk->steps[i]);
  return step;
}

void add_walk(Json& out, const ProcedureView& view) {
  const procedure::Walk& walk = *view.walk;
  const auto name = [&](std::size_t i) { return view.plan.steps[i].written->name; };
  out["case"] = view.case_name;
  out["state"] = procedure::state_text(walk.state);
  out["next"] = Json::array();
  for (const std::size_t i : walk.next) out["next"].push_back(name(i));
  if (walk.last_done) out["last_done"] = name(*walk.last_done);
  out["open"] = Json::array();
  for (const procedure::OpenItem& open : walk.open)
    out["open"].push_back({{"step", name(open.step)},
                           {"entry", open.entry},
                           {"gate", open.gate},
                           {"words", open.words},
                           {"next", open.next}});
  if (!walk.interrupted.empty()) {
    const procedure::Interrupted& last = walk.interrupted.back();
    out["interrupted"] = {{"step", name(last.step)}, {"entry", last.entry}, {"words", last.words}};
  }
  out["said"] = walk.said;
}

std::optional<std::string> no_procedure(const Drive& drive) {
  if (!drive.procedure.empty()) return std::nullopt;
  return fmt::format("the definition of {} has no procedure", drive.name);
}

}  // namespace

ProcedureSeen procedure_of(const LoadedDrive& drive) {
  if (auto none = no_procedure(drive.drive)) return tl::make_unexpected(std::move(*none));
  TurningAnswer turning;
  turning.answer = "DO NOT TURN";
  turning.because = "a definition is no engine: only a case says what one may be turned";
  return ProcedureView{drive, procedure::plan_of(drive.drive), "", {}, std::move(turning)};
}

ProcedureSeen procedure_of(const LoadedCase& loaded, const TurningAnswer& turning) {
  if (loaded.drives.empty())
    return tl::make_unexpected("the case names no drive, so no procedure is known for it");
  const std::vector<const LoadedDrive*> drives = drives_in_use(loaded);
  if (drives.empty())
    return tl::make_unexpected(
        "the engine was identified as none of the drives that the case names");
  if (drives.size() > 1)
    return tl::make_unexpected(
        "several variants are candidates: identify the engine first, a procedure is for exactly "
        "one");
  const Drive& drive = drives.front()->drive;
  if (auto none = no_procedure(drive)) return tl::make_unexpected(std::move(*none));
  std::optional<std::string> do_not_turn;
  if (!turning.answer.starts_with("TURN ONLY "))
    do_not_turn = fmt::format("{}: {}", turning.answer, turning.because);
  procedure::Plan plan = procedure::plan_of(drive);
  procedure::Walk walk = procedure::walk(plan, drive, loaded.value, do_not_turn);
  return ProcedureView{*drives.front(), std::move(plan), loaded.value.name, std::move(walk),
                       turning};
}

Json procedure_json(const ProcedureView& view) {
  const Drive& drive = view.drive.drive;
  Json out = {{"schema", "procedure/1"}, {"drive", drive.name}};
  if (drive.invented.value_or(false)) out["invented"] = true;
  out["turning"] = turning_json(view.turning);
  if (view.walk) add_walk(out, view);
  out["steps"] = Json::array();
  for (std::size_t i = 0; i < view.plan.steps.size(); ++i)
    out["steps"].push_back(step_json(view, i));
  return out;
}

}  // namespace tautmark
