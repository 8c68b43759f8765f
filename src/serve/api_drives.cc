// SPDX-License-Identifier: Apache-2.0
// The definitions at hand.
#include <fmt/format.h>

#include "draw/drive_svg.h"
#include "draw/figure_of_drive.h"
#include "drive/drive_fields.h"
#include "judge/levels.h"
#include "serve/answer.h"
#include "serve/api_types_motion.h"
#include "serve/drive_asked.h"
#include "serve/handlers.h"

namespace tautmark {
namespace {

Response list_drives(Shop& shop, Request&) {
  DriveList list;
  for (const std::string& name : drives_in(shop.options.drives)) {
    const auto loaded = load_drive(name, shop.options.drives);
    if (!loaded) continue;
    const Drive& drive = loaded->drive;
    list.drives.push_back({name, drive.title.value_or(""), drive.revision.value_or(""),
                           drive.checked_by.value_or(""), drive.based_on.value_or("")});
  }
  return answer(list);
}

Response get_drive(Shop& shop, Request& request) {
  const auto drive = drive_asked(shop, request.parts.at("drive"));
  return drive ? answer(drive->drive) : drive.error();
}

Response drawing(Shop& shop, Request& request) {
  const auto drive = drive_asked(shop, request.parts.at("drive"));
  if (!drive) return drive.error();
  const auto figure = figure_of(drive->drive);
  if (!figure) return problem(404, "Nothing to draw", figure.error().why);
  return text_response("image/svg+xml",
                       said_true(request, "strands") ? strands_svg(*figure) : drive_svg(*figure));
}

Response motion(Shop& shop, Request& request) {
  const auto drive = drive_asked(shop, request.parts.at("drive"));
  if (!drive) return drive.error();
  const auto figure = figure_of(drive->drive);
  if (!figure) return problem(404, "Nothing to draw", figure.error().why);
  return answer(motion_of(drive->drive, *figure));
}

Response check(Shop& shop, Request& request) {
  const auto drive = drive_asked(shop, request.parts.at("drive"));
  return drive ? answer(check_of(*drive)) : drive.error();
}

}  // namespace

Answered<LoadedDrive> drive_asked(Shop& shop, const std::string& name) {
  const auto none = [&] {
    return answer_with(
        problem(404, "Not there", fmt::format("there is no drive of the name \"{}\"", name)));
  };
  if (!is_drive_name(name)) return none();
  auto loaded = load_drive(name, shop.options.drives);
  if (loaded) return std::move(*loaded);
  const bool is_there = !loaded.error().empty() && loaded.error().front().place.line > 0;
  if (!is_there) return none();
  return answer_with(problem_of(loaded.error()));
}

std::vector<Mistake> drive_mistakes(const Diagnostics& found) {
  std::vector<Mistake> mistakes = mistakes_of(found, {});
  for (Mistake& mistake : mistakes)
    mistake.file = std::filesystem::path(mistake.file).filename().string();
  return mistakes;
}

DriveCheck check_of(const LoadedDrive& drive) {
  DriveCheck checked;
  checked.name = drive.drive.name;
  for (const Capability& capability : capabilities(drive)) {
    LevelRow row{
        capability.level, capability.question, capability.missing.empty(), capability.detail, {}};
    for (const Missing& missing : capability.missing)
      row.missing.push_back({missing.what, missing.how});
    checked.levels.push_back(std::move(row));
  }
  checked.warnings = drive_mistakes(drive.warnings);
  return checked;
}

std::span<const Handler> drive_handlers() {
  static constexpr Handler kHandlers[] = {
      {"listDrives", &list_drives}, {"getDrive", &get_drive}, {"driveDrawing", &drawing},
      {"driveMotion", &motion},     {"checkDrive", &check},
  };
  return kHandlers;
}

}  // namespace tautmark
