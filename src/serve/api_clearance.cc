// SPDX-License-Identifier: Apache-2.0
// Valves and pistons of an engine: gaps by error in teeth, the way of a case, and what a positive
// stop or a dial indicator says while it is being read; clearance/1, docs/clearance.md.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "base/text.h"
#include "casework/case_fields.h"
#include "draw/drive_svg.h"
#include "draw/plot_of_clearance.h"
#include "judge/cam_measured.h"
#include "judge/judge.h"
#include "judge/top_known.h"
#include "judge/way_answer.h"
#include "report/clearance_json.h"
#include "report/way_json.h"
#include "serve/case_reading.h"
#include "serve/drive_asked.h"
#include "serve/handlers.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::int64_t kMostReadings = std::int64_t{256} << 10;

Response as_json(const Json& json) {
  return json_response(json.dump(-1, ' ', false, Json::error_handler_t::replace));
}

// The definition of a case where it is only one: which engine it is must be known.
const LoadedDrive* only_drive(const LoadedCase& loaded) {
  const std::vector<const LoadedDrive*> drives = drives_in_use(loaded);
  return drives.size() == 1 ? drives.front() : nullptr;
}

Response drive_clearance(Shop& shop, Request& request) {
  const auto drive = drive_asked(shop, request.parts.at("drive"));
  if (!drive) return drive.error();
  return as_json({{"schema", "clearance/1"},
                  {"drives", Json::array({clearance_json(clearance_shown(*drive))})},
                  {"after_record", nullptr}});
}

Response case_clearance(Shop& shop, Request& request) {
  const auto read = read_case(shop, request.parts.at("case"));
  if (!read) return read.error();
  Json drives = Json::array();
  for (const LoadedDrive* drive : drives_in_use(read->loaded))
    drives.push_back(clearance_json(clearance_shown(*drive, &read->loaded.value)));
  return as_json({{"schema", "clearance/1"},
                  {"drives", drives},
                  {"way", way_json(way_answer(read->loaded, only_drive(read->loaded)))},
                  {"without_figures", without_figures()},
                  {"after_record", read->kept->summary.head_seq}});
}

struct Drawn {
  std::string camshaft;
  PlotOptions options;
};
Answered<Drawn> drawn_asked(const Request& request, const LoadedDrive& drive) {
  const std::string said = asked(request, "paper");
  const auto paper = paper_named(said.empty() ? "screen" : said);
  if (!paper)
    return answer_with(problem(400, "Wrong question", "the paper is screen, dark or print"));
  Drawn drawn{asked(request, "cam"), {.paper = *paper}};
  const std::vector<std::string> known = camshafts_of(valves_of(drive));
  if (std::find(known.begin(), known.end(), drawn.camshaft) != known.end()) return drawn;
  return answer_with(
      problem(404, "Nothing to draw",
              fmt::format("the definition has no valves of a camshaft \"{}\"", drawn.camshaft)));
}

Response map_of(const Drawn& drawn, const LoadedDrive& drive, const Case* engine = nullptr) {
  return text_response("image/svg+xml",
                       clearance_map_svg(drive, drawn.camshaft, drawn.options, engine));
}

Response section_of(Request& request, const LoadedDrive& drive, const Case* engine = nullptr) {
  const auto drawn = drawn_asked(request, drive);
  if (!drawn) return drawn.error();
  const auto teeth = number_asked(request, "error", 0, -kTeethInTable, kTeethInTable);
  if (!teeth) return teeth.error();
  SectionAsked section{.camshaft = drawn->camshaft, .teeth = static_cast<int>(*teeth)};
  if (const std::string phaser = asked(request, "phaser"); !phaser.empty()) section.phaser = phaser;
  const auto svg = clearance_section_svg(drive, section, drawn->options, engine);
  if (!svg) return problem(404, "Nothing to draw", svg.error().why);
  return text_response("image/svg+xml", *svg);
}

Response drive_map(Shop& shop, Request& request) {
  const auto drive = drive_asked(shop, request.parts.at("drive"));
  if (!drive) return drive.error();
  const auto drawn = drawn_asked(request, *drive);
  return drawn ? map_of(*drawn, *drive) : drawn.error();
}

Response drive_section(Shop& shop, Request& request) {
  const auto drive = drive_asked(shop, request.parts.at("drive"));
  return drive ? section_of(request, *drive) : drive.error();
}

Response no_drive() {
  return problem(404, "Nothing to draw", "which engine it is must be known first");
}

// Where a way was looked for, with what was found on it.
Response case_map(Shop& shop, Request& request) {
  const auto read = read_case(shop, request.parts.at("case"));
  if (!read) return read.error();
  const LoadedDrive* drive = only_drive(read->loaded);
  if (drive == nullptr) return no_drive();
  const auto drawn = drawn_asked(request, *drive);
  if (!drawn) return drawn.error();
  const WayAnswer way = way_answer(read->loaded, drive);
  for (std::size_t i = 0; i < way.engine.camshafts.size(); ++i)
    if (way.engine.camshafts[i].name == drawn->camshaft)
      return text_response("image/svg+xml", clearance_map_svg(*drive, way, i, drawn->options));
  return map_of(*drawn, *drive, &read->loaded.value);
}

Response case_section(Shop& shop, Request& request) {
  const auto read = read_case(shop, request.parts.at("case"));
  if (!read) return read.error();
  const LoadedDrive* drive = only_drive(read->loaded);
  return drive == nullptr ? no_drive() : section_of(request, *drive, &read->loaded.value);
}

Json not_yet(const std::string& why) { return {{"why_not", why}, {"found", nullptr}}; }
Json found(Json json) { return {{"why_not", nullptr}, {"found", std::move(json)}}; }

Json stop_json(const clearance::TopFound& top) {
  return {{"words", top.words},
          {"wheel_reads_deg", in_crank_deg(top.wheel_reads)},
          {"U_deg", 2 * in_crank_deg(top.u)},
          {"half_angle_deg", in_crank_deg(top.half_angle)},
          {"cautions", top.cautions}};
}

std::string phase_words(const CamMeasured& cam) {
  const double early = in_crank_deg(cam.early);
  return fmt::format("{:.1f} ± {:.1f} deg crank {} against the definition", std::abs(early),
                     in_crank_deg(cam.U), early < 0 ? "late" : "early");
}

Json indicator_json(const CamMeasured& cam) {
  Json fitted = Json::array();
  for (const LiftFitted& one : cam.fitted)
    fitted.push_back({{"at_deg", in_crank_deg(one.at)},
                      {"seen_mm", in_mm(one.seen)},
                      {"fitted_mm", in_mm(one.fitted)}});
  const auto degrees = [](const std::optional<CrankAngle>& angle) {
    return angle ? Json(in_crank_deg(*angle)) : Json(nullptr);
  };
  return {{"camshaft", cam.camshaft},
          {"valves", cam.valves},
          {"early_deg", in_crank_deg(cam.early)},
          {"U_deg", in_crank_deg(cam.U)},
          {"center_deg", degrees(cam.center ? std::optional(cam.center->center) : std::nullopt)},
          {"nominal_center_deg", degrees(cam.nominal_center)},
          {"words", phase_words(cam)},
          {"warnings", cam.warnings},
          {"explained", cam.explained ? Json(cam.explained->words) : Json(nullptr)},
          {"fitted", fitted}};
}

Response read_stop(Shop& shop, Request& request) {
  const auto stop = body_as<StopReading>(request);
  if (!stop) return stop.error();
  const auto read = read_case(shop, request.parts.at("case"));
  if (!read) return read.error();
  const auto top = top_found(*stop, only_drive(read->loaded));
  return as_json(top ? found(stop_json(*top)) : not_yet(top.error().why));
}

Response read_indicator(Shop& shop, Request& request) {
  const auto reading = body_as<IndicatorReading>(request);
  if (!reading) return reading.error();
  const auto read = read_case(shop, request.parts.at("case"));
  if (!read) return read.error();
  const LoadedDrive* drive = only_drive(read->loaded);
  if (drive == nullptr) return as_json(not_yet("which engine it is must be known first"));
  // By the last stop of the case, where nothing is against it.
  CheckInput input;
  input.value = &read->loaded.value;
  input.drive = drive;
  const auto top = top_known(input);
  const bool relied_on = top && top->found && top->doubt.empty() && !top->wheel_still_off;
  const auto cam = cam_measured(*reading, *drive, relied_on ? &*top->found : nullptr);
  return as_json(cam ? found(indicator_json(*cam)) : not_yet(cam.error().why));
}

}  // namespace

std::span<const Handler> clearance_handlers() {
  static constexpr Handler kHandlers[] = {
      {"caseClearance", &case_clearance},
      {"driveClearance", &drive_clearance},
      {"caseClearanceMap", &case_map},
      {"driveClearanceMap", &drive_map},
      {"caseClearanceSection", &case_section},
      {"driveClearanceSection", &drive_section},
      {"readStop", &read_stop, nullptr, kMostReadings},
      {"readIndicator", &read_indicator, nullptr, kMostReadings},
  };
  return kHandlers;
}

}  // namespace tautmark
