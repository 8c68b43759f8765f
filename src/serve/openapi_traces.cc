// SPDX-License-Identifier: Apache-2.0
#include "serve/openapi_findings.h"
#include "serve/openapi_words.h"

namespace tautmark {
namespace {

using namespace schema;  // NOLINT(google-build-using-namespace): the words of this file

Json spot_or_null(std::string_view words) {
  return {{"anyOf",
           {object(words, {{"angle_deg", number()}, {"torque_Nm", number()}}), typed("null")}}};
}

Json load_or_null() {
  return {{"anyOf",
           {object("Clamp load, N.", {{"low_N", number()}, {"high_N", number()}}), typed("null")}}};
}

Json values() {
  return object("Angles in degrees of the record, torques in N·m; null: not found.",
                {{"prevailing_Nm", or_null("number")},
                 {"closed", spot_or_null("Where the parts are closed.")},
                 {"gradient_Nm_per_deg", or_null("number")},
                 {"gradient_U_Nm_per_deg", or_null("number")},
                 {"origin_deg", or_null("number")},
                 {"origin_U_deg", or_null("number")},
                 {"clamp_angle_deg", or_null("number")},
                 {"yield", spot_or_null("Where the bolt yields.")},
                 {"plastic_angle_deg", or_null("number")},
                 {"end", spot_or_null("The last point under load.")},
                 {"noise_Nm", number()},
                 {"wrench_deviation", number()},
                 {"clamp_load_by_torque", load_or_null()},
                 {"clamp_load_by_angle", load_or_null()},
                 {"strokes", whole()}});
}

Json drawn() {
  Json at = list_of(number());
  at["minItems"] = at["maxItems"] = 2;
  Json line = {{"anyOf", {list_of(at), typed("null")}}};
  return object("Degrees and N·m; of many points the first, least, most and last of each piece.",
                {{"points", list_of(at)},
                 {"curve", list_of(at)},
                 {"line", std::move(line)},
                 {"target_Nm", or_null("number")},
                 {"snug_Nm", or_null("number")}});
}

}  // namespace

void add_trace_schemas(Json& schemas) {
  const Json sign =
      object("What was seen, and what looks the same.", {{"sign", text()},
                                                         {"why", text()},
                                                         {"looks_the_same", text()},
                                                         {"take_out", truth()},
                                                         {"follows", list_of(text())}});
  const Json others =
      object("The other bolts of the fastener.",
             {{"count", whole()}, {"gradient_Nm_per_deg", number()}, {"spread", number()}});
  schemas["tightening_trace"] =
      object("tightening-trace/1: one recorded tightening. It approves no joint.",
             {{"schema", constant("tightening-trace/1")},
              {"entry", or_null("string")},
              {"after_record", or_null("integer")},
              {"drive", or_null("string")},
              {"fastener", text()},
              {"bolt", or_null("integer")},
              {"file", text()},
              {"step", or_null("integer")},
              {"answer", one_of({"signs found", "not decided", "nothing found", "not judged"})},
              {"take_out", truth()},
              {"missing", list_of(text())},
              {"assumed", list_of(text())},
              {"notes", list_of(text())},
              {"signs", list_of(sign)},
              {"drawn", drawn()}},
             {{"problem", text()},
              {"decides", text()},
              {"sentences", list_of(text())},
              {"open", list_of(text())},
              {"cannot_be_told", list_of(text())},
              {"differs", text()},
              {"others", Json{{"anyOf", {others, typed("null")}}}},
              {"values", values()}});
}

}  // namespace tautmark
