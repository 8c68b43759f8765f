// SPDX-License-Identifier: Apache-2.0
#include "drive/drive_fields.h"
#include "procedure/walk.h"
#include "serve/openapi_findings.h"
#include "serve/openapi_words.h"

namespace tautmark {
namespace {

using namespace schema;  // NOLINT(google-build-using-namespace): the words of this file

template <class E>
Json choice() {
  return any_of(ChoiceNames<E>::names);
}

Json statuses() {
  using procedure::StepStatus;
  Json words = text();
  for (const StepStatus status :
       {StepStatus::to_do, StepStatus::done, StepStatus::interrupted, StepStatus::blocked,
        StepStatus::overridden, StepStatus::left_out})
    words["enum"].push_back(procedure::status_text(status));
  return words;
}

Json turning_now() {
  return object("The turning answer, as in the findings.",
                {{"answer", turning_answer()}, {"because", text()}});
}

Json at_entry(std::string_view words, Json more = Json::object()) {
  Json needed = {{"step", text()}, {"entry", text()}, {"words", text()}};
  needed.update(more);
  return object(words, std::move(needed));
}

Json tightens() {
  const Json torque = object(
      "A torque, SI.",
      {{"value", number()}, {"unit", constant("N·m")}, {"typed", text()}, {"spelled", text()}});
  const Json angle =
      object("An angle, SI.", {{"value", number()}, {"unit", constant("rad")}, {"typed", text()}});
  const Json step =
      object("One after the other.", Json::object(), {{"torque", torque}, {"angle", angle}});
  return object("A fastener that the step tightens.",
                {{"fastener", text()}, {"steps", list_of(step)}});
}

void add_procedure(Json& schemas) {
  const Json missing =
      object("What does not hold.",
             {{"fact", text()}, {"by_rule", truth()}, {"may_override", truth()}, {"why", text()}});
  schemas["work_step"] = object("A step; of a case also where it stands.",
                                {{"number", whole()},
                                 {"name", text()},
                                 {"what", text()},
                                 {"needs", list_of(text())},
                                 {"gives", list_of(text())},
                                 {"ends", list_of(text())},
                                 {"tightens", list_of(tightens())},
                                 {"fits", list_of(text())},
                                 {"cautions", list_of(text())}},
                                {{"stage", choice<WorkStage>()},
                                 {"bank", whole()},
                                 {"if_decided", text()},
                                 {"gate", choice<GateWants>()},
                                 {"gate_wants", text()},
                                 {"turns", choice<StepTurns>()},
                                 {"turning", turning_now()},
                                 {"within", text()},
                                 {"since", text()},
                                 {"why", text()},
                                 {"status", statuses()},
                                 {"entry", text()},
                                 {"late", truth()},
                                 {"gate_open", text()},
                                 {"missing", list_of(missing)}});
  // Who turns hears whether it may be.
  schemas["work_step"]["dependentRequired"] = {{"turns", {"turning"}}, {"gate", {"gate_wants"}}};
  schemas["procedure"] =
      object("procedure/1: the work step by step; of a case also where it stands.",
             {{"schema", constant("procedure/1")},
              {"drive", text()},
              {"turning", turning_now()},
              {"steps", list_of(ref("work_step"))}},
             {{"invented", truth()},
              {"case", text()},
              {"state", list_of(text())},
              {"next", list_of(text())},
              {"last_done", text()},
              {"open", list_of(at_entry("A gate or a condition that nothing shows.",
                                        {{"gate", text()}, {"next", text()}}))},
              {"interrupted", at_entry("What was begun and is not done.")},
              {"said", list_of(text())}});
}

void add_fasteners(Json& schemas) {
  const Json step = object("A tightening step.", {{"target", text()},
                                                  {"torque_Nm", or_null("number")},
                                                  {"angle_deg", or_null("number")},
                                                  {"wrench", text()},
                                                  {"no_wrench", list_of(text())},
                                                  {"to_check", truth()}});
  schemas["fastener_card"] =
      object("A fastener, as it is tightened.", {{"fastener", text()},
                                                 {"bank", or_null("integer")},
                                                 {"thread", or_null("string")},
                                                 {"strength_class", or_null("string")},
                                                 {"count", or_null("integer")},
                                                 {"take_new", truth()},
                                                 {"use", text()},
                                                 {"steps", list_of(step)},
                                                 {"order", text()},
                                                 {"asks", list_of(text())},
                                                 {"clamp_load", text()},
                                                 {"cautions", list_of(text())}});
}

}  // namespace

void add_work_schemas(Json& schemas) {
  add_procedure(schemas);
  add_fasteners(schemas);
  schemas["work"] = object("work/1: procedure, fasteners and parts of one engine.",
                           {{"schema", constant("work/1")},
                            {"drive", or_null("string")},
                            {"cautions", list_of(text())},
                            {"procedure", ref_or_null("procedure")},
                            {"why", or_null("string")},
                            {"fasteners", list_of(ref("fastener_card"))},
                            {"parts", list_of(ref("part"))},
                            {"after_record", or_null("integer")}});
}

}  // namespace tautmark
