// SPDX-License-Identifier: Apache-2.0
// The definitions at hand.
#include "draw/drive_svg.h"
#include "draw/figure_of_drive.h"
#include "drive/drive_fields.h"
#include "judge/levels.h"
#include "serve/answer.h"
#include "serve/api_types_motion.h"
#include "serve/handlers.h"

namespace tautmark {
namespace {

// By name only: a path would reach any file of the machine.
Answered<LoadedDrive> drive_asked(Shop& shop, const Request& request) {
  const std::string& name = request.parts.at("drive");
  if (!is_drive_name(name))
    return answer_with(problem(404, "Not there", "there is no drive of this name"));
  auto loaded = load_drive(name, shop.options.drives);
  if (loaded) return std::move(*loaded);
  Response wrong = problem_of(loaded.error());
  const bool is_there = !loaded.error().empty() && loaded.error().front().place.line > 0;
  if (!is_there) wrong = problem(404, "Not there", "there is no drive of this name");
  return answer_with(std::move(wrong));
}

Response list_drives(Shop& shop, Request&) {
  DriveList list;
  for (const std::string& name : drives_in(shop.options.drives)) {
    const auto loaded = load_drive(name, shop.options.drives);
    if (!loaded) continue;
    const Drive& drive = loaded->drive;
    list.drives.push_back({name, drive.title.value_or(""), drive.revision.value_or(""),
                           drive.checked_by.value_or("")});
  }
  return answer(list);
}

Response get_drive(Shop& shop, Request& request) {
  const auto drive = drive_asked(shop, request);
  return drive ? answer(drive->drive) : drive.error();
}

Response drawing(Shop& shop, Request& request) {
  const auto drive = drive_asked(shop, request);
  if (!drive) return drive.error();
  const auto figure = figure_of(drive->drive);
  if (!figure) return problem(404, "Nothing to draw", figure.error().why);
  return text_response("image/svg+xml",
                       said_true(request, "strands") ? strands_svg(*figure) : drive_svg(*figure));
}

Response motion(Shop& shop, Request& request) {
  const auto drive = drive_asked(shop, request);
  if (!drive) return drive.error();
  const auto figure = figure_of(drive->drive);
  if (!figure) return problem(404, "Nothing to draw", figure.error().why);
  return answer(motion_of(drive->drive, *figure));
}

Response check(Shop& shop, Request& request) {
  const auto drive = drive_asked(shop, request);
  if (!drive) return drive.error();
  DriveCheck checked;
  checked.name = drive->drive.name;
  for (const Capability& capability : capabilities(*drive)) {
    LevelRow row{
        capability.level, capability.question, capability.missing.empty(), capability.detail, {}};
    for (const Missing& missing : capability.missing)
      row.missing.push_back({missing.what, missing.how});
    checked.levels.push_back(std::move(row));
  }
  checked.warnings = mistakes_of(drive->warnings, {});
  for (Mistake& mistake : checked.warnings)
    mistake.file = std::filesystem::path(mistake.file).filename().string();
  return answer(checked);
}

}  // namespace

std::span<const Handler> drive_handlers() {
  static constexpr Handler kHandlers[] = {
      {"listDrives", &list_drives}, {"getDrive", &get_drive}, {"driveDrawing", &drawing},
      {"driveMotion", &motion},     {"checkDrive", &check},
  };
  return kHandlers;
}

}  // namespace tautmark
