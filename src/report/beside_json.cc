// SPDX-License-Identifier: Apache-2.0
#include "report/beside_json.h"

#include <nlohmann/json.hpp>

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

Json drive_json(const Drive& drive) {
  Json out = {{"name", drive.name}, {"title", drive.title.value_or(drive.name)}};
  if (drive.revision) out["revision"] = *drive.revision;
  if (drive.checked_by) out["checked_by"] = *drive.checked_by;
  if (drive.invented.value_or(false)) out["invented"] = true;
  return out;
}

Json row_json(const procedure::BesideRow& row) {
  Json cells = Json::array();
  for (const procedure::BesideCell& cell : row.cells)
    cells.push_back({{"text", cell.text.empty() ? Json(nullptr) : Json(cell.text)},
                     {"unconfirmed", cell.is_unconfirmed}});
  return {{"group", row.group}, {"what", row.what}, {"same", row.is_same}, {"cells", cells}};
}

}  // namespace

Json beside_json(const procedure::Beside& all) {
  Json out = {{"schema", "procedure-beside/1"}, {"drives", Json::array()}, {"rows", Json::array()}};
  for (const Drive* drive : all.drives) out["drives"].push_back(drive_json(*drive));
  for (const procedure::BesideRow& row : all.rows) out["rows"].push_back(row_json(row));
  out["same"] = all.same;
  return out;
}

}  // namespace tautmark
