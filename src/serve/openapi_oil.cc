// SPDX-License-Identifier: Apache-2.0
#include "serve/openapi_findings.h"
#include "serve/openapi_words.h"

namespace tautmark {
namespace {

using namespace schema;  // NOLINT(google-build-using-namespace): the words of this file

Json either_null(Json schema) { return {{"anyOf", {std::move(schema), typed("null")}}}; }

Json gauge_schema() {
  return object("What a gauge read.",
                {{"place", text()}, {"kPa", number()}, {"U_kPa", number()}, {"entry", text()}});
}

Json forecast_schema() {
  const Json option = object("One way of repair.", {{"option", text()},
                                                    {"leakage", number()},
                                                    {"leakage_U", number()},
                                                    {"head_kPa", number()},
                                                    {"low_kPa", number()},
                                                    {"high_kPa", number()},
                                                    {"means", text()}});
  return object("What each way of repair would do, by a first-order estimate.",
                {{"options", list_of(option)},
                 {"best", or_null("string")},
                 {"highest", list_of(text())},
                 {"said", text()},
                 {"measure_next", list_of(text())},
                 {"estimate", text()}});
}

Json banks_schema() {
  return object("The heads side by side, from cold clearances.",
                {{"bank", whole()},
                 {"better_bank", whole()},
                 {"condition", text()},
                 {"gallery", ref("oil_gauge")},
                 {"head", ref("oil_gauge")},
                 {"better_head", ref("oil_gauge")},
                 {"from_better_bank", ref("oil_forecast")},
                 {"with_both_banks", ref_or_null("oil_forecast")},
                 {"explained", truth()},
                 {"not_told", text()},
                 {"left_out", list_of(text())},
                 {"evidence", list_of(text())}});
}

Json curve_schema() {
  const Json point = object(
      "Torque that the phaser has by what it needs.",
      {{"clearance_mm", number()}, {"margin", number()}, {"low", number()}, {"high", number()}});
  return object("The phaser over the clearance of the journal that feeds it.",
                {{"journal", text()},
                 {"points", list_of(point)},
                 {"measured_mm", or_null("number")},
                 {"measured_U_mm", or_null("number")},
                 {"most_mm", or_null("number")}});
}

Json network_schema() {
  const Json place =
      object("A place, with its pressure.", {{"name", text()}, {"kPa", ref("oil_range")}},
             {{"read", object("What was read there.",
                              {{"kPa", number()}, {"U_kPa", number()}, {"entry", text()}})},
              {"least_kPa", number()}});
  const Json way = object("A way of the oil; null: the sump.",
                          {{"name", text()},
                           {"kind", text()},
                           {"from", or_null("string")},
                           {"to", or_null("string")},
                           {"L_min", ref("oil_range")}},
                          {{"clearance_mm", number()}, {"journal", text()}});
  const Json option = object("One way of repair.", {{"option", text()},
                                                    {"head_kPa", ref("oil_range")},
                                                    {"gallery_kPa", ref("oil_range")},
                                                    {"authority", ref_or_null("oil_authority")},
                                                    {"means", text()}});
  const Json journal =
      object("A journal that oil goes past; diametral, cold.", {{"place", text()},
                                                                {"bank", or_null("integer")},
                                                                {"mm", number()},
                                                                {"U_mm", number()},
                                                                {"measured", truth()}});
  const Json gauges = object(
      "The gauges that were read beside each other.",
      {{"gallery", ref("oil_gauge")}, {"heads", list_of(ref("oil_gauge"))}, {"lowest", text()}});
  const Json matters = object("What 10 um more clearance of one journal does to the lowest head.",
                              {{"journal", text()}, {"kPa_for_10_um", number()}});
  const Json drift = object(
      "Of the phaser on a constant command, to retard, by what passes between its chambers: the "
      "least. Degrees of the camshaft.",
      {{"deg_per_s", number()}, {"U_deg_per_s", number()}});
  const Json swing = object(
      "Whole swing of a phaser that holds, with the valve events, by what passes between its "
      "chambers and 0.5 to 5 % of air in the oil. Degrees of the camshaft.",
      {{"least_deg", number()}, {"most_deg", number()}});
  const Json back =
      object("How fast its wide open valve brings it to advance. Degrees of the camshaft.",
             {{"deg_per_s", number()}, {"U_deg_per_s", number()}, {"state", text()}});
  const Json saw_tooth =
      object("What drift, way back and the dead band of its control make. Degrees of the camshaft.",
             {{"height_deg", number()}, {"period_s", number()}});
  const Json sensitivity =
      object("What 1 um more of one clearance does to the pressure at each of the places.",
             {{"clearance", text()}, {"kPa_for_1_um", list_of(number())}});
  return object("The ways of the oil, fitted to this engine's gauges; ranges are 95 %.",
                {{"condition", text()},
                 {"oil", text()},
                 {"explained", truth()},
                 {"places", list_of(place)},
                 {"ways", list_of(way)},
                 {"bank", or_null("integer")},
                 {"options", list_of(option)},
                 {"matters", list_of(matters)},
                 {"drift", either_null(drift)},
                 {"swing", either_null(swing)},
                 {"back", either_null(back)},
                 {"saw_tooth", either_null(saw_tooth)},
                 {"sensitivities", list_of(sensitivity)},
                 {"choice", text()},
                 {"highest", list_of(text())},
                 {"measure_next", list_of(text())},
                 {"left_out", list_of(text())},
                 {"from_others_kPa", ref_or_null("oil_range")},
                 {"curve", either_null(curve_schema())},
                 {"gauges", gauges},
                 {"journals", list_of(journal)},
                 {"assumed", list_of(text())},
                 {"evidence", list_of(text())}});
}

Json wear_schema() {
  const Json suspect =
      object("Whose wear it may be.",
             {{"name", text()}, {"probability", number()}, {"times_as_open", ref("oil_range")}});
  return object("Whose wear explains the gauges, by the ports alone.",
                {{"condition", text()},
                 {"explained", truth()},
                 {"suspects", list_of(suspect)},
                 {"measured", list_of(text())},
                 {"said", list_of(text())},
                 {"evidence", list_of(text())}});
}

Json chart_schema() {
  const Json limit =
      object("The limit there.", {{"degC", number()}, {"kPa", number()}, {"indicative", truth()}});
  const Json point = object("As read.", {{"degC", number()},
                                         {"kPa", number()},
                                         {"U_kPa", number()},
                                         {"entry", text()},
                                         {"beside_it", truth()}});
  return object("Pressure against oil temperature at one port.", {{"port", text()},
                                                                  {"speed_per_min", number()},
                                                                  {"oil", text()},
                                                                  {"limit", list_of(limit)},
                                                                  {"points", list_of(point)}});
}

}  // namespace

void add_oil_schemas(Json& schemas) {
  schemas["oil_range"] = object("Most likely, and 95 %.",
                                {{"likely", number()}, {"low", number()}, {"high", number()}});
  schemas["oil_gauge"] = gauge_schema();
  schemas["oil_authority"] =
      object("Torque of the vanes by what the phaser needs to advance.", {{"margin", number()},
                                                                          {"low", number()},
                                                                          {"high", number()},
                                                                          {"band", text()},
                                                                          {"worst", text()}});
  schemas["oil_forecast"] = forecast_schema();
  schemas["oil_banks"] = banks_schema();
  schemas["oil_network"] = network_schema();
  schemas["oil_wear"] = wear_schema();
  schemas["oil_chart"] = chart_schema();
  const Json drawings = object(
      "The same, drawn: SVG.",
      {{"circuit", or_null("string")}, {"curve", or_null("string")}, {"charts", list_of(text())}});
  schemas["drive_oil"] = object("Of one definition. An estimate, never a pass.",
                                {{"drive", text()},
                                 {"grade", or_null("string")},
                                 {"ports", list_of(text())},
                                 {"limits", list_of(text())},
                                 {"findings", list_of(ref("finding"))},
                                 {"banks", ref_or_null("oil_banks")},
                                 {"missing", list_of(text())},
                                 {"network", ref_or_null("oil_network")},
                                 {"network_missing", list_of(text())},
                                 {"wear", ref_or_null("oil_wear")},
                                 {"charts", list_of(ref("oil_chart"))},
                                 {"cautions", list_of(text())},
                                 {"drawings", drawings}});
  schemas["case_oil"] =
      object("oil/1: the oil of the engine of a case.", {{"schema", constant("oil/1")},
                                                         {"drives", list_of(ref("drive_oil"))},
                                                         {"after_record", whole()}});
  schemas["oil_circuit"] =
      object("The same engine with other clearances, in the order of the places and ways of oil/1.",
             {{"places", list_of(number())},
              {"ways", list_of(number())},
              {"authority", ref_or_null("oil_authority")},
              {"circuit", text()},
              {"after_record", whole()}});
}

}  // namespace tautmark
