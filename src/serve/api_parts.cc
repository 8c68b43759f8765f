// SPDX-License-Identifier: Apache-2.0
// The list of parts of a case and of a definition, and sets against definitions; parts/1,
// parts-coverage/1, docs/parts.md.
#include <nlohmann/json.hpp>

#include "report/parts_view.h"
#include "serve/case_reading.h"
#include "serve/drive_asked.h"
#include "serve/handlers.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

Response json_told(const Json& json) {
  return json_response(json.dump(-1, ' ', false, Json::error_handler_t::replace));
}

Response case_parts(Shop& shop, Request& request) {
  const auto judged = judged_case(shop, request.parts.at("case"));
  if (!judged) return judged.error();
  Json json = parts_json(parts_of(judged->read.loaded, *judged->judgement));
  json["after_record"] = judged->read.kept->summary.head_seq;
  return json_told(json);
}

Response drive_parts(Shop& shop, Request& request) {
  const auto drive = drive_asked(shop, request.parts.at("drive"));
  if (!drive) return drive.error();
  Json json = parts_json(parts_of(*drive));
  json["after_record"] = nullptr;
  return json_told(json);
}

Response parts_coverage(Shop& shop, Request&) {
  std::vector<parts::DriveList> lists;
  for (const std::string& name : drives_in(shop.options.drives))
    if (const auto loaded = load_drive(name, shop.options.drives))
      lists.push_back(parts::list_for_coverage(loaded->drive, nullptr));
  return json_told(coverage_json(parts::coverage_of(lists)));
}

}  // namespace

std::span<const Handler> parts_handlers() {
  static constexpr Handler kHandlers[] = {
      {"caseParts", &case_parts}, {"driveParts", &drive_parts}, {"partsCoverage", &parts_coverage}};
  return kHandlers;
}

}  // namespace tautmark
