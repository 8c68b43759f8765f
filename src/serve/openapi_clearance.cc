// SPDX-License-Identifier: Apache-2.0
#include "serve/openapi_findings.h"
#include "serve/openapi_words.h"

namespace tautmark {
namespace {

using namespace schema;  // NOLINT(google-build-using-namespace): the words of this file

Json gap_cell_schema() {
  return object("The least gap at one error and one place of the phaser; null: not known.",
                {{"phaser", text()},
                 {"early_crank_deg", number()},
                 {"answer", one_of({"no contact expected", "below the least gap wanted", "contact",
                                    "not known"})},
                 {"gap_mm", or_null("number")},
                 {"uncertainty_mm", or_null("number")},
                 {"wall_mm", or_null("number")},
                 {"other_valve_mm", or_null("number")},
                 {"spare_mm", or_null("number")},
                 {"nearest", or_null("string")},
                 {"at_crank_deg", or_null("number")},
                 {"missing", list_of(text())},
                 {"words", text()}});
}

Json valves_schema() {
  const Json row =
      object("One error in teeth.",
             {{"teeth_early", whole()}, {"words", text()}, {"cells", list_of(ref("gap_cell"))}});
  return object("Valves of one kind of one camshaft.", {{"camshaft", text()},
                                                        {"valves", text()},
                                                        {"least_wanted_mm", or_null("number")},
                                                        {"missing", list_of(text())},
                                                        {"rows", list_of(row)}});
}

Json free_schema() {
  const Json window = object("After the firing dead center that fires_at counts from.",
                             {{"from_crank_deg", number()},
                              {"to_crank_deg", number()},
                              {"park_crank_deg", number()},
                              {"at_park_mm", number()}});
  return object("Where the crankshaft may stand while camshafts turn freely.",
                {{"windows", list_of(window)},
                 {"least_mm", or_null("number")},
                 {"not_known", list_of(text())}});
}

Json freed_schema() {
  const Json rest = object("Where the springs hold it, cam deg.",
                           {{"from_cam_deg", number()}, {"to_cam_deg", number()}});
  const Json camshaft =
      object("One camshaft that nothing holds.",
             {{"camshaft", text()}, {"most_Nm", number()}, {"rests", list_of(rest)}});
  const Json pushed = object(
      "What the springs do to it there.",
      {{"camshaft", text()}, {"by_cam_deg", number()}, {"with_Nm", number()}, {"words", text()}});
  const Json place =
      object("A place to park the crankshaft, camshafts right.",
             {{"crank_deg", number()}, {"worst_Nm", number()}, {"camshafts", list_of(pushed)}});
  return object("What the valve springs do to freed camshafts; the least push first.",
                {{"camshafts", list_of(camshaft)},
                 {"parking", list_of(place)},
                 {"not_known", list_of(text())}});
}

Json way_schema() {
  const Json move = object("One move; the least gap along it.",
                           {{"turns", one_of({"crank", "camshaft", "together"})},
                            {"camshaft", or_null("string")},
                            {"by_deg", number()},
                            {"least_mm", or_null("number")},
                            {"words", text()}});
  return object("From where the engine stands to where it should.",
                {{"entry", or_null("string")},
                 {"answer", turning_answer()},
                 {"may_turn", truth()},
                 {"forbidden", list_of(text())},
                 {"ask", list_of(text())},
                 {"no_way", or_null("string")},
                 {"moves", list_of(move)},
                 {"least_mm", or_null("number")},
                 {"explained", list_of(text())},
                 {"holds_for", text()},
                 {"cautions", list_of(text())}});
}

// While it is read: what is found, or why not yet.
Json live(std::string_view words, std::string_view name) {
  return object(words, {{"why_not", or_null("string")}, {"found", ref_or_null(name)}});
}

void add_live(Json& schemas) {
  schemas["stop_found"] =
      object("Top dead center by a positive stop.", {{"words", text()},
                                                     {"wheel_reads_deg", number()},
                                                     {"U_deg", number()},
                                                     {"half_angle_deg", number()},
                                                     {"cautions", list_of(text())}});
  const Json fitted =
      object("One reading of the table.",
             {{"at_deg", number()}, {"seen_mm", number()}, {"fitted_mm", number()}});
  schemas["indicator_found"] =
      object("Phase of a camshaft by a dial indicator.", {{"camshaft", text()},
                                                          {"valves", text()},
                                                          {"early_deg", number()},
                                                          {"U_deg", number()},
                                                          {"center_deg", or_null("number")},
                                                          {"nominal_center_deg", or_null("number")},
                                                          {"words", text()},
                                                          {"warnings", list_of(text())},
                                                          {"explained", or_null("string")},
                                                          {"fitted", list_of(fitted)}});
  schemas["stop_read"] = live("Of a stop entry that is not entered yet.", "stop_found");
  schemas["indicator_read"] =
      live("Of an indicator entry that is not entered yet.", "indicator_found");
}

}  // namespace

void add_clearance_schemas(Json& schemas) {
  schemas["gap_cell"] = gap_cell_schema();
  schemas["valve_gaps"] = valves_schema();
  schemas["way"] = way_schema();
  schemas["drive_clearance"] = object("Gaps of one definition. They allow no turning.",
                                      {{"drive", text()},
                                       {"turn", constant("DO NOT TURN")},
                                       {"valves", list_of(ref("valve_gaps"))},
                                       {"events", list_of(text())},
                                       {"free_camshafts", free_schema()},
                                       {"freed_camshafts", freed_schema()},
                                       {"cautions", list_of(text())},
                                       {"without_figures", list_of(text())}});
  schemas["clearance"] =
      object("clearance/1: gaps of valve to piston; of a case also its way.",
             {{"schema", constant("clearance/1")},
              {"drives", list_of(ref("drive_clearance"))},
              {"after_record", or_null("integer")}},
             {{"way", ref_or_null("way")}, {"without_figures", list_of(text())}});
  add_live(schemas);
}

}  // namespace tautmark
