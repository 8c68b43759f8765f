// SPDX-License-Identifier: Apache-2.0
#include "cli/case_source.h"

#include <cerrno>
#include <cstdlib>
#include <cstring>

#include "casework/pack.h"
#include "cli/commands.h"

namespace tautmark::cli {

namespace fs = std::filesystem;

class ScratchFolder {
 public:
  explicit ScratchFolder(fs::path path) : path_(std::move(path)) {}
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  ~ScratchFolder() {
    std::error_code code;
    fs::remove_all(path_, code);
  }
  [[nodiscard]] const fs::path& path() const { return path_; }

 private:
  fs::path path_;
};

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

}  // namespace

const fs::path& path_of(const ScratchFolder& folder) { return folder.path(); }

Parsed<std::shared_ptr<const ScratchFolder>> make_scratch_folder() {
  std::error_code code;
  const fs::path parent = fs::temp_directory_path(code);
  std::string name = (parent / "tautmark-XXXXXX").string();
  if (!code && mkdtemp(name.data()) != nullptr) return std::make_shared<const ScratchFolder>(name);
  Diagnostic diagnostic;
  diagnostic.place.file = parent.string();
  diagnostic.message = std::string("no temporary folder can be made: ") +
                       (code ? code.message() : std::strerror(errno));
  diagnostic.hint = "name one with room in it: TMPDIR=FOLDER";
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
  if (is_packed_case(case_name)) {
    auto scratch = make_scratch_folder();
    if (!scratch) return tl::make_unexpected(scratch.error());
    source.unpacked = std::move(*scratch);
    folder = (source.unpacked->path() / "case").generic_string();
    UnpackOptions options;
    options.durable = false;
    if (const auto done = unpack_case(case_name, folder, options); !done)
      return tl::make_unexpected(done.error());
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
