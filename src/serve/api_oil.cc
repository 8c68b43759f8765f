// SPDX-License-Identifier: Apache-2.0
// The oil of an engine: what its gauges tell, what each repair would do, and the same circuit with
// other clearances; oil/1, docs/oil.md.
#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "base/text.h"
#include "draw/drive_svg.h"
#include "draw/oil_of_case.h"
#include "judge/circuit_middle.h"
#include "judge/judge.h"
#include "report/oil_json.h"
#include "report/oil_network_json.h"
#include "serve/api_options.h"
#include "serve/api_types_oil.h"
#include "serve/case_reading.h"
#include "serve/handlers.h"

namespace tautmark {

std::span<const FieldInfo> Description<OilClearance>::fields() {
  static const FieldInfo kFields[] = {
      field<&OilClearance::place>("place", "The journal.", "bank 2 / camshaft / journal 1"),
      field<&OilClearance::mm>("mm", "Diametral, cold; up to 1.", "0.10"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<OilAsked>::fields() {
  static const FieldInfo kFields[] = {
      field<&OilAsked::clearances>("clearances", "All others stay as they are.", "", kAlways),
  };
  return kFields;
}

namespace {

using Json = nlohmann::ordered_json;

constexpr double kWidest = 1;  // mm: more is no bearing

Response as_json(const Json& json) {
  return json_response(json.dump(-1, ' ', false, Json::error_handler_t::replace));
}

Answered<PlotOptions> paper_asked(const Request& request) {
  const std::string said = asked(request, "paper");
  const auto paper = paper_named(said.empty() ? "screen" : said);
  if (!paper)
    return answer_with(problem(400, "Wrong question", "the paper is screen, dark or print"));
  return PlotOptions{.paper = *paper};
}

Json drawings_json(const LoadedDrive& drive, const OilShown& shown, const PlotOptions& options) {
  const auto& told = shown.network.told;
  Json charts = Json::array();
  for (const PressureChart& chart : shown.charts)
    charts.push_back(pressure_chart_svg(pressure_drawing_of(drive, chart), options));
  const bool has_curve = told && told->curve && !told->curve->points.empty();
  return {{"circuit",
           told ? Json(oil_circuit_svg(circuit_drawing_of(drive, *told), options)) : Json(nullptr)},
          {"curve", has_curve ? Json(authority_curve_svg(
                                    authority_drawing_of(drive, *told, *told->curve), options))
                              : Json(nullptr)},
          {"charts", charts}};
}

Response case_oil(Shop& shop, Request& request) {
  const auto options = paper_asked(request);
  if (!options) return options.error();
  const auto read = read_case(shop, request.parts.at("case"));
  if (!read) return read.error();
  Json drives = Json::array();
  for (const LoadedDrive* drive : drives_in_use(read->loaded)) {
    const OilShown shown = oil_shown(*drive, &read->loaded);
    Json one = oil_json(shown);
    one["drawings"] = drawings_json(*drive, shown, *options);
    drives.push_back(std::move(one));
  }
  return as_json(
      {{"schema", "oil/1"}, {"drives", drives}, {"after_record", read->kept->summary.head_seq}});
}

// Fitted once for each state of the case: a slider asks for it many times a second.
std::shared_ptr<const OilToldOrMissing> told_of(Shop& shop, const CaseRead& read,
                                                const LoadedDrive& drive) {
  const std::string state = state_of(read.loaded);
  auto told = shop.oils.find(read.summary.uid, state);
  if (told != nullptr) return told;
  told = std::make_shared<const OilToldOrMissing>(oil_told(check_input(read.loaded, &drive)));
  shop.oils.keep(read.summary.uid, state, told);
  return told;
}

Answered<std::vector<KnownClearance>> clearances_asked(const OilAsked& body) {
  std::vector<KnownClearance> all;
  for (const OilClearance& one : body.clearances) {
    if (!(one.mm > 0) || one.mm > kWidest)
      return answer_with(problem(
          422, "Not a clearance",
          fmt::format("{}: a clearance is above 0 and at most {:.0f} mm", one.place, kWidest)));
    for (const KnownClearance& before : all)
      if (same_place(before.place, one.place))
        return answer_with(
            problem(422, "Named twice", fmt::format("{} is named twice", one.place)));
    all.push_back({one.place, mm(one.mm), Length{}});
  }
  return all;
}

Response solve_circuit(Shop& shop, Request& request) {
  const auto options = paper_asked(request);
  if (!options) return options.error();
  const auto body = body_as<OilAsked>(request);
  if (!body) return body.error();
  const auto clearances = clearances_asked(*body);
  if (!clearances) return clearances.error();
  const auto read = read_case(shop, request.parts.at("case"));
  if (!read) return read.error();
  const std::vector<const LoadedDrive*> drives = drives_in_use(read->loaded);
  if (drives.size() != 1)
    return problem(404, "Nothing to solve", "which engine it is must be known first");
  const LoadedDrive& drive = *drives.front();
  const auto of = told_of(shop, *read, drive);
  if (!of->told)
    return problem(404, "Nothing to solve",
                   of->missing.empty() ? "the definition tells no ways of the oil"
                                       : "first: " + joined(of->missing, "; "));
  const auto solved = solved_with(*of->told, *clearances);
  if (!solved) return problem(422, "Not solved", solved.error().why);
  Json out = solved_json(*solved);
  out["circuit"] =
      oil_circuit_svg(circuit_drawing_of(drive, *of->told, *solved, *clearances), *options);
  out["after_record"] = read->kept->summary.head_seq;
  return as_json(out);
}

}  // namespace

std::span<const Handler> oil_handlers() {
  static constexpr Handler kHandlers[] = {
      {"caseOil", &case_oil},
      {"solveOilCircuit", &solve_circuit},
  };
  return kHandlers;
}

}  // namespace tautmark
