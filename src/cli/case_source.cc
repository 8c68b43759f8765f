// SPDX-License-Identifier: Apache-2.0
#include "cli/case_source.h"

#include <stdexcept>

#include "casework/pack.h"
#include "cli/commands.h"
#include "cli/store_source.h"
#include "store/exchange.h"

namespace tautmark::cli {

namespace fs = std::filesystem;

namespace {

Diagnostics renamed(Diagnostics diagnostics, const std::string& from, const std::string& to) {
  const auto rename = [&](TextPlace& place) {
    if (place.file.starts_with(from)) place.file = to + place.file.substr(from.size());
  };
  for (Diagnostic& found : diagnostics) {
    rename(found.place);
    if (found.second) rename(found.second->place);
  }
  return diagnostics;
}

// The folder of a packed or stored case, made in `scratch`.
Parsed<std::string> unpacked(const std::string& case_name, const fs::path& scratch) {
  std::string folder = (scratch / "case").generic_string();
  if (const auto name = name_in_store(case_name)) {
    const auto database = Database::open(store_asked(""), OpenFor::reading, 1);
    if (!database) return tl::make_unexpected(as_diagnostics(case_name, database.error()));
    const auto written = case_for_reading(CaseStore(*database), *name, folder, FilesWanted::all);
    if (!written) return tl::make_unexpected(as_diagnostics(case_name, written.error()));
    return folder;
  }
  UnpackOptions options;
  options.durable = false;
  const auto done = unpack_case(case_name, folder, options);
  if (!done) return tl::make_unexpected(done.error());
  return folder;
}

}  // namespace

std::optional<std::string> name_in_store(const std::string& case_name) {
  constexpr std::string_view kPrefix = "store:";
  if (!case_name.starts_with(kPrefix)) return std::nullopt;
  return case_name.substr(kPrefix.size());
}

Diagnostics as_diagnostics(const std::string& case_name, const StoreError& error) {
  Diagnostic diagnostic;
  diagnostic.place.file = case_name;
  diagnostic.message = error.message;
  return {std::move(diagnostic)};
}

Parsed<std::shared_ptr<const Scratch>> make_scratch() {
  Diagnostic diagnostic;
  std::error_code code;
  const fs::path parent = fs::temp_directory_path(code);
  diagnostic.place.file = parent.string();
  diagnostic.message = "no temporary folder can be made: " + code.message();
  try {
    if (!code) return std::make_shared<const Scratch>(parent, "tautmark-case-");
  } catch (const std::runtime_error& error) {
    diagnostic.message = error.what();
  }
  diagnostic.hint = "name a folder with room in it: TMPDIR=FOLDER";
  return tl::make_unexpected(Diagnostics{std::move(diagnostic)});
}

Diagnostics as_named(const CaseSource& source, Diagnostics diagnostics) {
  if (!source.unpacked) return diagnostics;
  return renamed(std::move(diagnostics), source.value.file.parent_path().generic_string(),
                 source.value.shown_name);
}

Parsed<CaseSource> read_case(const std::string& case_name, const std::vector<std::string>& drives,
                             const MoreCaseChecks& more) {
  CaseSource source;
  std::string folder = case_name;
  if (name_in_store(case_name) || is_packed_case(case_name)) {
    auto scratch = make_scratch();
    if (!scratch) return tl::make_unexpected(scratch.error());
    source.unpacked = std::move(*scratch);
    auto made = unpacked(case_name, source.unpacked->path());
    if (!made) return tl::make_unexpected(made.error());
    folder = std::move(*made);
  }
  auto loaded = load_case(folder, drive_folders(drives, case_name), more);
  if (!loaded)
    return tl::make_unexpected(source.unpacked
                                   ? renamed(std::move(loaded.error()), folder, case_name)
                                   : std::move(loaded.error()));
  source.value = std::move(*loaded);
  source.value.shown_name = case_name;
  return source;
}

}  // namespace tautmark::cli
