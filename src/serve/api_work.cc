// SPDX-License-Identifier: Apache-2.0
// The work on one engine: its procedure with where it stands, its fasteners as cards, its parts;
// work/1, docs/procedure.md.
#include <nlohmann/json.hpp>

#include "drive/drive_fields.h"
#include "judge/tightening.h"
#include "report/fastener_json.h"
#include "report/procedure_view.h"
#include "serve/case_reading.h"
#include "serve/drive_asked.h"
#include "serve/handlers.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

// `drive` null: which engine it is is not known, and no figure is given.
Json work_json(const LoadedDrive* drive, const ProcedureSeen& seen,
               std::span<const tighten::Wrench> wrenches) {
  Json json = {{"schema", "work/1"}, {"drive", nullptr}, {"cautions", Json::array()}};
  json["procedure"] = seen ? procedure_json(*seen) : Json(nullptr);
  json["why"] = seen ? Json(nullptr) : Json(seen.error());
  json["fasteners"] = Json::array();
  json["parts"] = Json::array();
  if (drive == nullptr) return json;
  json.update(tightening_json(*drive, fastener_cards(drive->drive, wrenches)));
  for (const PartSet& part : drive->drive.parts)
    json["parts"].push_back(Json::parse(api_json(part)));
  return json;
}

Response work_response(const Json& json) {
  return json_response(json.dump(-1, ' ', false, Json::error_handler_t::replace));
}

Response case_work(Shop& shop, Request& request) {
  // The turning answer is the one of the findings: two that differ would be one too many.
  const auto judged = judged_case(shop, request.parts.at("case"));
  if (!judged) return judged.error();
  const LoadedCase& loaded = judged->read.loaded;
  const std::vector<const LoadedDrive*> drives = drives_in_use(loaded);
  Json json = work_json(drives.size() == 1 ? drives.front() : nullptr,
                        procedure_of(loaded, judged->judgement->turning),
                        torque_wrenches(loaded.value.instruments));
  json["after_record"] = judged->read.kept->summary.head_seq;
  return work_response(json);
}

Response drive_work(Shop& shop, Request& request) {
  const auto drive = drive_asked(shop, request.parts.at("drive"));
  if (!drive) return drive.error();
  Json json = work_json(&*drive, procedure_of(*drive), {});
  json["after_record"] = nullptr;
  return work_response(json);
}

}  // namespace

std::span<const Handler> work_handlers() {
  static constexpr Handler kHandlers[] = {{"caseWork", &case_work}, {"driveWork", &drive_work}};
  return kHandlers;
}

}  // namespace tautmark
