// SPDX-License-Identifier: Apache-2.0
#include "serve/openapi_findings.h"

#include "serve/openapi_words.h"

namespace tautmark {
namespace {

using namespace schema;  // NOLINT(google-build-using-namespace): the words of this file

Json verdict() { return one_of({"pass", "fail", "open"}); }

void add_finding(Json& schemas) {
  schemas["finding_value"] = object(
      "A value and its expanded uncertainty, SI.",
      {{"value", number()}, {"unit", text()}, {"U", number()}, {"k", number()}, {"shown", text()}});
  schemas["finding_limit"] = object(
      "The limit that was applied, SI.",
      {{"unit", text()},
       {"applies_to", or_null("string")},
       {"origin", one_of({"maker", "shop", "common practice", "program default", "unknown"})},
       {"source", text()},
       {"checked_by", or_null("string")},
       {"shown", text()}},
      {{"lower", number()}, {"upper", number()}});
  Json because = or_null("string");
  because["enum"] = {"not in the drive",
                     "not measured",
                     "too close to call",
                     "outside the model",
                     "limit without authority",
                     "not confirmed for this variant",
                     "variants differ",
                     "implausible readings",
                     "forecast",
                     nullptr};
  const Json variant = object("The answer of one candidate.",
                              {{"drive", text()}, {"verdict", text()}, {"limit", text()}});
  schemas["finding"] = object("One question, answered.",
                              {{"check", text()},
                               {"subject", text()},
                               {"verdict", verdict()},
                               {"value", ref_or_null("finding_value")},
                               {"limit", ref_or_null("finding_limit")},
                               {"probability_within", or_null("number")},
                               {"why", text()},
                               {"open_because", because},
                               {"forecast", truth()},
                               {"evidence", list_of(text())},
                               {"follows", list_of(text())},
                               {"next", list_of(text())},
                               {"cautions", list_of(text())},
                               {"sources", list_of(text())},
                               {"budget", list_of(text())}},
                              {{"variants", list_of(variant)}});
}

void add_quick(Json& schemas) {
  const Json ask = object(
      "What must be said first.",
      {{"input", text()}, {"sentence", text()}, {"example", text()}, {"choices", list_of(text())}});
  const Json said = object("What was said to one input.", {{"input", text()}, {"text", text()}});
  const Json answer =
      object("The answer; the first line is what to say.",
             {{"question", text()},
              {"lines", list_of(text())},
              {"steps", list_of(text())},
              {"assumed", list_of(text())},
              {"cautions", list_of(text())},
              {"asked", list_of(said)}},
             {{"verdict", verdict()}, {"finding", ref("finding")}, {"forbids", text()}});
  schemas["quick_outcome"] = object("Either what is asked back or the answer.", Json::object(),
                                    {{"ask", ask}, {"answer", answer}});
}

void add_findings(Json& schemas) {
  add_finding(schemas);
  add_quick(schemas);
  const Json never = object("What is DO NOT TURN whatever is known.",
                            {{"asked", one_of({"backwards", "starter", "start"})},
                             {"because", text()},
                             {"instead", text()},
                             {"changes_it", text()},
                             {"say", text()}});
  schemas["turning"] = object("May the engine be turned.", {{"answer", turning_answer()},
                                                            {"because", text()},
                                                            {"instead", text()},
                                                            {"changes_it", text()},
                                                            {"next", text()},
                                                            {"say", text()},
                                                            {"holds_for", text()},
                                                            {"cautions", list_of(text())},
                                                            {"moves", list_of(text())},
                                                            {"never", list_of(never)}});
  const Json drive = object("A definition judged against.", {{"name", text()},
                                                             {"title", text()},
                                                             {"revision", text()},
                                                             {"source", text()},
                                                             {"checked_by", or_null("string")},
                                                             {"sha256", text()},
                                                             {"differs_from_shop", truth()}});
  Json headline = list_of(text());
  headline["minItems"] = headline["maxItems"] = 3;
  schemas["findings"] = object(
      "findings/1: all that was found on one engine.",
      {{"schema", constant("findings/1")},
       {"drive", or_null("string")},
       {"drive_sha256", or_null("string")},
       {"drives", list_of(drive)},
       {"case", text()},
       {"case_sha256", text()},
       {"after_record", or_null("integer")},
       {"program", text()},
       {"invented", truth()},
       {"summary", object("Counts.", {{"pass", whole()}, {"fail", whole()}, {"open", whole()}})},
       {"forecasts", whole()},
       {"headline", headline},
       {"turning", ref("turning")},
       {"findings", list_of(ref("finding"))},
       {"not_looked_at",
        list_of(object("Nothing of it in the case.", {{"check", text()}, {"places", text()}}))},
       {"only", list_of(text())},
       {"corrections", list_of(text())},
       {"persons_decisions", list_of(text())}});
}

Json behaviour() {
  const Json state =
      object("What a phaser does.", {{"name", text()},
                                     {"seen", one_of({"seen", "not seen", "cannot tell"})},
                                     {"value", or_null("number")},
                                     {"unit", text()},
                                     {"chance", or_null("number")},
                                     {"says", text()},
                                     {"judged_by", text()},
                                     {"next", or_null("string")}});
  const Json response = object("Answer to one command.", {{"time_s", number()},
                                                          {"from_deg", number()},
                                                          {"to_deg", number()},
                                                          {"moved_deg", number()},
                                                          {"moved_U_deg", or_null("number")},
                                                          {"time_U_s", number()}});
  return object("How the cam behaves.", {{"states", list_of(state)},
                                         {"responses", list_of(response)},
                                         {"hunting", {{"type", {"object", "null"}}}}});
}

void add_cam(Json& schemas) {
  const Json edge = object("Mean place of one edge.", {{"polarity", whole()},
                                                       {"angle_deg", number()},
                                                       {"sd_deg", or_null("number")},
                                                       {"count", whole()}});
  const Json phase = object("Crank degrees, advance positive.",
                            {{"mean_deg", number()},
                             {"sd_deg", or_null("number")},
                             {"jitter_deg", or_null("number")},
                             {"systematic_deg", number()},
                             {"against", one_of({"self", "reference"})}},
                            {{"U_deg", number()}, {"polarity", whole()}, {"cycles", whole()}});
  const Json window = object(
      "Against the drive's window; the findings judge.",
      {{"limit_deg", or_null("number")}, {"says", text()}, {"open_because", or_null("string")}});
  const Json histogram =
      object("How often each phase was there, of every cycle.",
             {{"from_deg", number()}, {"step_deg", number()}, {"counts", list_of(whole())}});
  const Json cycles = object("Phase cycle by cycle, crank degrees, advance positive.",
                             {{"every", whole()},
                              {"time_s", list_of(number())},
                              {"psi_deg", list_of(number())},
                              {"U_deg", list_of(number())},
                              {"histogram", {{"oneOf", {histogram, {{"type", "null"}}}}}}});
  schemas["recorded_cam"] =
      object("One cam's channel.",
             {{"channel", whole()}, {"edges", list_of(edge)}, {"wrong_edges", whole()}},
             {{"cam", text()},
              {"phase", phase},
              {"window", window},
              {"behaviour", behaviour()},
              {"cycles", cycles}});
}

void add_recording(Json& schemas) {
  add_cam(schemas);
  const Json speed = object("Of the turns.", {{"min", number()},
                                              {"median", number()},
                                              {"max", number()},
                                              {"unit", text()},
                                              {"revolutions", whole()}});
  const Json wheel = object("The crank's wheel.", {{"name", text()},
                                                   {"slots", whole()},
                                                   {"edges_per_turn", whole()},
                                                   {"steps_deg", list_of(number())}});
  const Json crank = object("The crank's channel.", {{"channel", whole()},
                                                     {"polarity", whole()},
                                                     {"wheel", wheel},
                                                     {"glitches", whole()},
                                                     {"missed_teeth", whole()},
                                                     {"extra_edges", whole()}});
  const Json meaning = object("What the phases can mean.",
                              {{"name", text()}, {"probability", number()}, {"says", text()}});
  const Json signal = object("What is wrong with a signal.", {{"channel", whole()},
                                                              {"severity", one_of({"bad", "note"})},
                                                              {"number", whole()},
                                                              {"says", text()}});
  Json known = {{"signals", list_of(signal)},
                {"command_log", {{"type", {"object", "null"}}}},
                {"comparison", {{"type", {"object", "null"}}}},
                {"drive", text()},
                {"not_compared", or_null("string")},
                {"contradictions", list_of(text())},
                {"missing_cams",
                 list_of(object("Not in the recording.", {{"cam", text()}, {"why", text()}}))},
                {"separated", truth()},
                {"none_fits", truth()},
                {"sentence", text()}};
  schemas["recording_report"] =
      object("recording/1: what one recording says.",
             {{"schema", constant("recording/1")},
              {"recording", text()},
              {"format", text()},
              {"first_time_s", number()},
              {"last_time_s", number()},
              {"channels",
               list_of(object("A channel.",
                              {{"channel", whole()}, {"name", text()}, {"is_logic", truth()}}))},
              {"cycle_resolved", truth()},
              {"speed", speed},
              {"crank", crank},
              {"cams", list_of(ref("recorded_cam"))},
              {"rejected_channels",
               list_of(object("Neither crank nor cam.", {{"channel", whole()}, {"why", text()}}))},
              {"hypotheses", list_of(meaning)},
              {"notes", list_of(text())}},
             known);
}

}  // namespace

void add_report_schemas(Json& schemas) {
  add_findings(schemas);
  add_recording(schemas);
}

}  // namespace tautmark
