// SPDX-License-Identifier: Apache-2.0
// For who writes procedures: a text with its steps, the state around each and what the lint finds;
// and drives of one family side by side. authored/1 and procedure-beside/1, docs/procedure.md.
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "drive/drive_fields.h"
#include "judge/tightening.h"
#include "procedure/lint.h"
#include "report/beside_json.h"
#include "serve/drive_asked.h"
#include "serve/handlers.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

std::string short_file(const std::string& file) {
  return std::filesystem::path(file).filename().string();
}

Json finding_json(const LoadedDrive* loaded, const Diagnostic& found) {
  const auto step =
      loaded != nullptr ? procedure::step_at(*loaded, found.place) : std::optional<std::size_t>();
  return {{"step", step ? *step + 1 : 0},
          {"is_error", found.severity == Severity::error},
          {"file", short_file(found.place.file)},
          {"line", found.place.line},
          {"column", found.place.column},
          {"message", found.message},
          {"hint", found.hint}};
}

Json facts_json(const std::vector<procedure::Fact>& facts) {
  Json words = Json::array();
  for (const procedure::Fact& fact : facts) words.push_back(procedure::fact_text(fact));
  return words;
}

Json steps_json(const LoadedDrive& loaded) {
  const procedure::Plan plan = procedure::plan_of(loaded.drive);
  const std::vector<procedure::State> states = procedure::states_in_order(plan);
  const std::string own = loaded.places.at("name").file;
  Json steps = Json::array();
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    const ProcedureStep& written = *plan.steps[i].written;
    const TextPlace place = loaded.places.at(fmt::format("procedure[{}]", i));
    Json step = {{"number", i + 1},
                 {"name", written.name},
                 {"what", written.what},
                 {"is_own", place.file == own},
                 {"line", place.line},
                 {"needs", written.needs},
                 {"gives", written.gives},
                 {"ends", written.ends},
                 {"by_rule", facts_json(procedure::needs_by_rule(plan, plan.steps[i]))},
                 {"before", procedure::state_text(states[i])},
                 {"after", procedure::state_text(states[i + 1])}};
    if (written.stage) step["stage"] = choice_name(*written.stage);
    if (written.gate) step["gate"] = choice_name(*written.gate);
    if (written.bank) step["bank"] = *written.bank;
    steps.push_back(std::move(step));
  }
  return steps;
}

// Words of conditions: those of the list, then the procedure's own.
Json known_facts(const Drive& drive) {
  std::vector<std::string> words;
  const auto add = [&](std::string_view fact) {
    if (std::find(words.begin(), words.end(), fact) == words.end()) words.emplace_back(fact);
  };
  for (const procedure::FactWords& fact : procedure::all_facts()) add(fact.words);
  for (const ProcedureStep& step : drive.procedure)
    for (const std::string& given : step.gives) add(given);
  return words;
}

Json authored_json(const Parsed<LoadedDrive>& loaded) {
  Json out = {{"schema", "authored/1"}, {"is_readable", loaded.has_value()}};
  out["findings"] = Json::array();
  for (const char* key : {"steps", "facts", "fasteners", "parts"}) out[key] = Json::array();
  if (!loaded) {
    for (const Diagnostic& found : loaded.error())
      out["findings"].push_back(finding_json(nullptr, found));
    return out;
  }
  for (const Diagnostics& all :
       {loaded->warnings, fastener_lint(*loaded), procedure::procedure_lint(*loaded)})
    for (const Diagnostic& found : all) out["findings"].push_back(finding_json(&*loaded, found));
  const Drive& drive = loaded->drive;
  out["steps"] = steps_json(*loaded);
  out["facts"] = known_facts(drive);
  for (const Fastener& fastener : drive.fasteners)
    out["fasteners"].push_back({{"name", fastener.name}, {"steps", Json::array()}});
  for (std::size_t i = 0; i < drive.fasteners.size(); ++i)
    for (const TighteningStep& step : drive.fasteners[i].steps) {
      Json& steps = out["fasteners"][i]["steps"];
      if (step.torque) steps.push_back({{"torque", step.torque->text}});
      if (step.angle) steps.push_back({{"angle", step.angle->text}});
    }
  for (const PartSet& set : drive.parts) {
    if (set.holds.empty()) out["parts"].push_back(set.name);
    for (const std::string& part : set.holds) out["parts"].push_back(part);
  }
  return out;
}

Response as_json(const Json& json) {
  return json_response(json.dump(-1, ' ', false, Json::error_handler_t::replace));
}

Response author(Shop& shop, Request& request) {
  const auto asked = body_as<DriveText>(request);
  if (!asked) return asked.error();
  const std::string name = is_drive_name(asked->name) ? asked->name : "definition";
  return as_json(authored_json(
      load_drive_text(make_text_file(name + ".drive.yaml", asked->text), shop.options.drives)));
}

Response beside(Shop& shop, Request& request) {
  const auto here = drive_asked(shop, request.parts.at("drive"));
  if (!here) return here.error();
  const auto there = drive_asked(shop, asked(request, "with"));
  if (!there) return there.error();
  const LoadedDrive* const both[] = {&*here, &*there};
  return as_json(beside_json(procedure::beside(both, said_true(request, "all"))));
}

}  // namespace

std::span<const Handler> author_handlers() {
  static constexpr Handler kHandlers[] = {{"authorDrive", &author}, {"besideDrives", &beside}};
  return kHandlers;
}

}  // namespace tautmark
