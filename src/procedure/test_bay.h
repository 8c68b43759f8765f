// SPDX-License-Identifier: Apache-2.0
// A case on the four-cylinder demo engine, written entry by entry.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "procedure/test_drives.h"
#include "procedure/walk.h"

namespace tautmark::procedure::test {

struct Bay {
  LoadedDrive loaded = loaded_demo("quellmere-i4-16");
  Plan plan = plan_of(loaded.drive);
  Case value{};

  std::string add(EntryBody body, const std::string& by = "A.") {
    Entry entry;
    entry.id = "e" + std::to_string(value.entries.size() + 1);
    entry.by = by;
    entry.body = std::move(body);
    value.entries.push_back(std::move(entry));
    return value.entries.back().id;
  }
  // A minute for each entry.
  [[nodiscard]] Date at() const {
    const std::size_t minutes = value.entries.size();
    return Date{fmt::format("2026-03-02T{:02}:{:02}", 8 + minutes / 60, minutes % 60)};
  }
  std::string reading() { return marks(61); }
  // With so many pitches from the crank to the intake camshaft.
  std::string marks(int links) {
    return add(make<MarksSeen>([&](MarksSeen& it) {
      it.chain = "timing chain";
      it.strands = {{"crank", "bank 1 / intake camshaft", links}};
    }));
  }
  std::string pressure() {
    return add(make<PressureReading>([](PressureReading& it) {
      it.place = "main gallery";
      it.rise = Written<Time>{Time::from_si(4), "4 s"};
    }));
  }
  std::string recording() {
    return add(make<SensorRecording>([](SensorRecording& it) { it.file = "r.csv"; }));
  }
  std::string extension() {
    return add(make<Reading>([](Reading& it) { it.quantity = Measurand::tensioner_extension; }));
  }
  // Of the kind that the gate of the step wants.
  std::string wanted_by(const ProcedureStep& step) {
    const auto gives = [&](std::string_view words) {
      return std::find(step.gives.begin(), step.gives.end(), words) != step.gives.end();
    };
    if (gives("oil primed")) return pressure();
    if (gives("recorded before") || gives("recorded after")) return recording();
    if (gives("extension read")) return extension();
    return reading();
  }
  std::string photo() {
    return add(make<Attachment>([&](Attachment& it) { it.file = "p.jpg"; }));
  }

  std::string part(const std::string& name, PartAction action, std::optional<int> bank = {}) {
    return add(make<PartEntry>([&](PartEntry& it) {
      it.part = name;
      it.action = action;
      it.bank = bank;
    }));
  }
  std::string state(const std::function<void(EngineState&)>& set) {
    return add(make<EngineState>(set));
  }

  // The part of the first of its steps, where nobody decided: replaced.
  void decide_before(const std::string& name) {
    for (const ProcedureStep& step : loaded.drive.procedure) {
      if (step.name != name || !step.if_decided) continue;
      for (const Entry& entry : value.entries)
        if (const auto* part = std::get_if<PartEntry>(&entry.body))
          if (part->part == *step.if_decided) return;
      part(*step.if_decided, PartAction::rejected);
    }
  }

  // With what the step's gate wants.
  void done(const std::string& name, StepDone more = {}) {
    decide_before(name);
    more.step = name;
    const auto& steps = loaded.drive.procedure;
    const auto step = std::find_if(steps.begin(), steps.end(),
                                   [&](const ProcedureStep& s) { return s.name == name; });
    if (step != steps.end() && step->gate == GateWants::reading && more.shown_by.empty())
      more.shown_by = {wanted_by(*step)};
    if (step != steps.end() && step->gate == GateWants::photo) more.shown_by = {photo()};
    if (step != steps.end() && step->gate == GateWants::second_name && !more.second_name)
      more.second_name = "B.";
    add(more);
    value.entries.back().at = at();
  }
  // Every step in the written order up to this one, it excluded.
  void done_before(const std::string& name) {
    for (const ProcedureStep& step : loaded.drive.procedure) {
      if (step.name == name) return;
      done(step.name);
    }
  }
  [[nodiscard]] Walk walked() const { return walk(plan, loaded.drive, value); }
  [[nodiscard]] std::vector<std::string> next(const Walk& walk) const {
    std::vector<std::string> names;
    for (const std::size_t i : walk.next) names.push_back(plan.steps[i].written->name);
    return names;
  }
  [[nodiscard]] const StepAt& at(const Walk& walk, const std::string& name) const {
    for (std::size_t i = 0; i < plan.steps.size(); ++i)
      if (plan.steps[i].written->name == name) return walk.steps[i];
    throw std::runtime_error(name);
  }
  static StepDone interrupted() {
    StepDone done;
    done.interrupted = true;
    return done;
  }
  static StepDone allowed(const std::string& reason, const std::string& by) {
    StepDone done;
    done.against_gate = reason;
    done.allowed_by = by;
    return done;
  }
};

}  // namespace tautmark::procedure::test
