// SPDX-License-Identifier: Apache-2.0
#include "casework/load.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "base/hash.h"
#include "base/text.h"
#include "casework/case_check.h"
#include "casework/case_fields.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

tl::unexpected<Diagnostics> refuse_case(const std::string& name, std::string message,
                                        std::string hint = {}) {
  Diagnostic diagnostic;
  diagnostic.place.file = name;
  diagnostic.message = std::move(message);
  diagnostic.hint = std::move(hint);
  return tl::make_unexpected(Diagnostics{std::move(diagnostic)});
}

// Whether the shop has a drive of this name that says something else.
bool differs_from_shop(const LoadedDrive& drive, const fs::path& case_folder,
                       const DriveFolders& folders) {
  DriveFolders shop;
  std::error_code code;
  for (const fs::path& folder : folders.folders)
    if (!fs::equivalent(folder, case_folder, code)) shop.folders.push_back(folder);
  const std::string& name = drive.drive.name;
  const auto known = drives_in(shop);
  if (!is_drive_name(name) || std::find(known.begin(), known.end(), name) == known.end())
    return false;
  const auto of_shop = load_drive(name, shop);
  return !of_shop || of_shop->sha256 != drive.sha256;
}

void load_drives(LoadedCase& loaded, const DriveFolders& folders, Diagnostics& diagnostics) {
  constexpr std::size_t kMostCandidates = 16;
  if (loaded.value.candidates.size() > kMostCandidates) {
    add_diagnostic(diagnostics, {Severity::error,
                                 loaded.places.at("candidates"),
                                 fmt::format("{} candidates; at most {} are read",
                                             loaded.value.candidates.size(), kMostCandidates),
                                 {},
                                 {}});
    return;
  }
  std::vector<std::pair<std::string, std::string>> wanted;  // text, path of the key
  if (loaded.value.drive) wanted.emplace_back(*loaded.value.drive, "drive");
  for (std::size_t i = 0; i < loaded.value.candidates.size(); ++i)
    wanted.emplace_back(loaded.value.candidates[i], fmt::format("candidates[{}]", i));

  DriveFolders with_own = folders;
  const fs::path folder = loaded.file.parent_path();
  with_own.folders.insert(with_own.folders.begin(), folder.empty() ? fs::path(".") : folder);
  std::map<std::string, std::string> path_of;  // by name of the drive
  for (const auto& [text, path] : wanted) {
    if (text.empty()) continue;  // was not readable, and said so
    std::string target = text;
    if (!is_drive_name(text)) {
      if (const auto problem = path_problem(text)) {
        add_diagnostic(diagnostics, {Severity::error,
                                     loaded.places.at(path),
                                     *problem,
                                     "name the drive, or a drive file beside the case",
                                     {}});
        continue;
      }
      target = (with_own.folders.front() / text).generic_string();
    }
    auto drive = load_drive(target, with_own);
    if (!drive) {
      // A drive that is not found is a mistake of the case; mistakes inside it are the drive's.
      for (Diagnostic diagnostic : drive.error()) {
        if (diagnostic.place.line <= 0) {
          diagnostic.message = fmt::format("drive \"{}\": {}", text, diagnostic.message);
          diagnostic.place = loaded.places.at(path);
        }
        add_diagnostic(diagnostics, std::move(diagnostic));
      }
      continue;
    }
    const auto [first, is_new] = path_of.emplace(drive->drive.name, path);
    if (!is_new) {
      Diagnostic twice{Severity::error,
                       loaded.places.at(path),
                       fmt::format("the drive \"{}\" is named a second time", drive->drive.name),
                       {},
                       {}};
      twice.second = DiagnosticNote{loaded.places.at(first->second), "the first one is here"};
      add_diagnostic(diagnostics, std::move(twice));
      continue;
    }
    for (const Diagnostic& warning : drive->warnings)
      if (warning.severity == Severity::error) add_diagnostic(diagnostics, warning);
    drive->differs_from_shop = differs_from_shop(*drive, with_own.folders.front(), folders);
    loaded.drives.push_back(std::move(*drive));
  }
}

}  // namespace

Parsed<fs::path> case_file_of(const std::string& case_name) {
  const fs::path named = case_name;
  std::error_code code;
  if (!fs::is_directory(named, code)) return named;
  for (const char* file : {"case.yaml", "case.json"})
    if (fs::exists(named / file, code)) return named / file;
  return refuse_case(case_name, "no case.yaml in this folder",
                     "give the folder of a case, or the case file itself");
}

Parsed<LoadedCase> load_case(const std::string& case_name, const DriveFolders& folders,
                             const MoreCaseChecks& more) {
  LoadedCase loaded;
  loaded.shown_name = case_name;
  const auto path = case_file_of(case_name);
  if (!path) return tl::make_unexpected(path.error());
  loaded.file = *path;
  const auto file = load_text_file(loaded.file, loaded.file.generic_string());
  if (!file) return tl::make_unexpected(file.error());
  loaded.sha256 = sha256_hex((*file)->text);
  const auto node = parse_tree(*file);
  if (!node) return tl::make_unexpected(node.error());

  Diagnostics diagnostics;
  // A file of another format would only give mistakes that are none.
  if (const Node* format = node->find("tautmark"); format != nullptr && format->text != "case/1") {
    const bool is_drive = format->text.starts_with("drive/");
    diagnostics.push_back(
        error_at(*format,
                 is_drive ? std::string("this is a drive file; a case file is wanted here")
                          : fmt::format("\"{}\" is not a format of a case file", format->text),
                 is_drive ? "look at a drive with: tautmark drive check FILE"
                          : "the first line of a case file is: tautmark: case/1"));
    return tl::make_unexpected(diagnostics);
  }
  ReadContext context;
  context.diagnostics = &diagnostics;
  context.places = &loaded.places;
  if (const Node* sign = node->find("decimal_sign"); sign != nullptr && sign->text == "comma")
    context.rules.decimal_sign = ',';
  read_record(*node, loaded.value, context);
  load_drives(loaded, folders, diagnostics);
  check_case(loaded, diagnostics);
  if (more)
    for (Diagnostic& found : more(loaded)) add_diagnostic(diagnostics, std::move(found));
  if (has_errors(diagnostics)) {
    sort_by_place(diagnostics);
    return tl::make_unexpected(diagnostics);
  }
  return loaded;
}

}  // namespace tautmark
