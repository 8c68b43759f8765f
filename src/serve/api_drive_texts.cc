// SPDX-License-Identifier: Apache-2.0
// Definitions as they are written: checked while they are typed, kept, compared, printed.
#include <fmt/format.h>
#include <unistd.h>

#include <filesystem>

#include "base/hash.h"
#include "draw/drive_svg.h"
#include "draw/figure_of_drive.h"
#include "drive/compare.h"
#include "report/drive_sheet.h"
#include "serve/drive_asked.h"
#include "serve/handlers.h"
#include "serve/whole_file.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

// JSON begins with a brace, which no YAML of ours does.
std::string file_name(const std::string& name, const std::string& text) {
  const auto first = text.find_first_not_of(" \t\r\n");
  const bool is_json = first != text.npos && text[first] == '{';
  return fmt::format("{}.drive.{}", name.empty() ? "definition" : name, is_json ? "json" : "yaml");
}

Response check_text(Shop& shop, Request& request) {
  const auto asked = body_as<DriveText>(request);
  if (!asked) return asked.error();
  const std::string name = is_drive_name(asked->name) ? asked->name : "";
  const auto loaded = load_drive_text(make_text_file(file_name(name, asked->text), asked->text),
                                      shop.options.drives);
  DriveTextChecked checked;
  if (!loaded) {
    checked.mistakes = drive_mistakes(loaded.error());
    return answer(checked);
  }
  checked.check = check_of(*loaded);
  if (const auto figure = figure_of(loaded->drive)) checked.drawing = drive_svg(*figure);
  return answer(checked);
}

struct KeptText {
  fs::path path;
  TextFileRef file;
};

// The file of a name as it stands, whether it can be read as a definition or not.
Answered<std::optional<KeptText>> text_of(const DriveFolders& folders, const std::string& name) {
  if (!is_drive_name(name)) return std::nullopt;
  for (const fs::path& folder : folders.folders)
    for (const char* ending : {".drive.yaml", ".drive.json"}) {
      const fs::path path = folder / (name + ending);
      std::error_code code;
      if (!fs::is_regular_file(path, code)) continue;
      auto file = load_text_file(path, path.filename().string());
      if (!file) return answer_with(problem_of(file.error()));
      return KeptText{path, std::move(*file)};
    }
  return std::nullopt;
}

Response text(Shop& shop, Request& request) {
  const auto found = text_of(shop.options.drives, request.parts.at("drive"));
  if (!found) return found.error();
  if (!*found) return problem(404, "Not there", "there is no drive of this name");
  const std::string& as_written = (*found)->file->text;
  Response response = text_response("text/plain; charset=utf-8", as_written);
  response.headers.emplace_back("ETag", fmt::format("\"{}\"", sha256_hex(as_written)));
  return response;
}

bool is_writable(const fs::path& folder) {
  std::error_code code;
  return fs::is_directory(folder, code) && access(folder.c_str(), W_OK | X_OK) == 0;
}

// Where what is written is also what is found: no folder behind the one that holds the name now.
Answered<fs::path> folder_for(const ShopOptions& options, const std::optional<KeptText>& there) {
  if (!options.saves_to.empty()) return options.saves_to;
  const fs::path holds_it = there ? there->path.parent_path() : fs::path();
  if (there && is_writable(holds_it)) return holds_it;
  for (const fs::path& folder : options.drives.folders) {
    if (there && folder == holds_it) break;
    if (is_writable(folder)) return folder;
  }
  return answer_with(problem(
      409, "No folder to write to",
      "there is no folder of definitions that can be written to; make one and start the program "
      "with it: tautmark serve --drives FOLDER"));
}

std::optional<Response> wrong_state(const std::optional<KeptText>& there,
                                    const DriveToSave& asked) {
  constexpr std::string_view kTitle = "It is not what it should be";
  if (!there && !asked.replaces.empty())
    return problem(409, kTitle, "there is no definition of this name any more; load it anew");
  if (there && asked.replaces.empty())
    return problem(409, "There already",
                   "there is a definition of this name; open it and change it there");
  if (there && sha256_hex(there->file->text) != asked.replaces)
    return problem(409, kTitle,
                   "somebody has changed this definition meanwhile; load it anew and compare");
  return std::nullopt;
}

// A copy under the date when it was last changed ("thin.drive.2026-11-03-140509.yaml"), which no
// program takes for a definition: those end in ".drive.yaml" or ".drive.json".
Answered<std::string> keep_beside(const KeptText& there, const fs::path& folder) {
  std::error_code code;
  const auto changed = fs::last_write_time(there.path, code);
  const auto since = std::chrono::duration_cast<std::chrono::microseconds>(
      std::chrono::file_clock::to_sys(changed).time_since_epoch());
  std::string date = time_text(code ? now_microseconds() : since.count()).substr(0, 19);
  std::erase(date, ':');
  date[10] = '-';
  const std::string stem = fmt::format("{}.{}", there.path.stem().string(), date);
  std::string name = stem + there.path.extension().string();
  for (int i = 2; fs::exists(folder / name, code); ++i)
    name = fmt::format("{}-{}{}", stem, i, there.path.extension().string());
  if (const auto failed = write_whole_file(folder / name, there.file->text, 0644))
    return answer_with(problem(507, "The text before cannot be kept", *failed));
  return name;
}

Response save(Shop& shop, Request& request) {
  auto asked = body_as<DriveToSave>(request);
  if (!asked) return asked.error();
  // Without a mark of the byte order: the sum is of what is read back.
  asked->text = make_text_file("", std::move(asked->text))->text;
  const std::string& name = request.parts.at("drive");
  if (!is_drive_name(name))
    return problem(422, "This cannot be a name",
                   "a name of a definition has letters, digits, - and _ only");
  DriveSaved saved{name, file_name(name, asked->text), sha256_hex(asked->text), {}};
  const auto loaded = load_drive_text(make_text_file(saved.file, asked->text), shop.options.drives);
  if (!loaded) return problem_of(loaded.error());
  if (loaded->drive.name != name)
    return problem(422, "Another name",
                   fmt::format("the definition calls itself \"{}\"", loaded->drive.name));
  const std::lock_guard one_at_a_time(shop.saving_drives);
  const auto looked = text_of(shop.options.drives, name);
  if (!looked) return looked.error();
  const std::optional<KeptText>& there = *looked;
  if (auto wrong = wrong_state(there, *asked)) return std::move(*wrong);
  const auto folder = folder_for(shop.options, there);
  if (!folder) return folder.error();
  const bool is_its_folder = there && there->path.parent_path() == *folder;
  if (is_its_folder && there->file->text != asked->text) {
    auto kept = keep_beside(*there, *folder);
    if (!kept) return kept.error();
    saved.kept = std::move(*kept);
  }
  if (const auto failed = write_whole_file(*folder / saved.file, asked->text, 0644))
    return problem(507, "The definition cannot be kept", *failed);
  std::error_code code;  // of the other format; what it said lies beside it
  if (is_its_folder && there->path.filename() != saved.file) fs::remove(there->path, code);
  const auto noted = note_audit(shop.database(), request.seat, "drive saved", name, saved.sha256);
  if (!noted) return problem_of(noted.error());
  return answer(saved, there ? 200 : 201);
}

Response compare(Shop& shop, Request& request) {
  const auto here = drive_asked(shop, request.parts.at("drive"));
  if (!here) return here.error();
  const auto there = drive_asked(shop, asked(request, "with"));
  if (!there) return there.error();
  DriveComparison compared = compare_drives(here->drive, there->drive);
  DriveDifferences all;
  for (auto* group : {&compared.biting, &compared.fields})
    for (DriveDifference& one : *group)
      all.differences.push_back({std::move(one.field), std::move(one.here), std::move(one.there),
                                 std::move(one.where_it_bites)});
  return answer(all);
}

Response sheet(Shop& shop, Request& request) {
  const auto drive = drive_asked(shop, request.parts.at("drive"));
  return drive ? text_response("text/html; charset=utf-8", html_drive_sheet(*drive))
               : drive.error();
}

}  // namespace

std::span<const Handler> drive_text_handlers() {
  static constexpr Handler kHandlers[] = {
      {"checkDriveText", &check_text}, {"saveDrive", &save},   {"driveText", &text},
      {"compareDrives", &compare},     {"driveSheet", &sheet},
  };
  return kHandlers;
}

}  // namespace tautmark
