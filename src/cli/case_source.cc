// SPDX-License-Identifier: Apache-2.0
#include "cli/case_source.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>

#include "casework/pack.h"
#include "cli/commands.h"
#include "cli/store_source.h"
#include "store/exchange.h"

namespace tautmark::cli {

namespace fs = std::filesystem;

// Locked for as long as it is used, so that what a kill left behind is known by its free lock.
class ScratchFolder {
 public:
  ScratchFolder(fs::path path, int lock) : path_(std::move(path)), lock_(lock) {}
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  ~ScratchFolder() {
    std::error_code code;
    fs::remove_all(path_, code);
    close(lock_);
  }
  [[nodiscard]] const fs::path& path() const { return path_; }

 private:
  fs::path path_;
  int lock_;
};

namespace {

constexpr const char* kScratchName = "tautmark-case-";

// The folder's lock, when nobody holds it and the folder is ours; otherwise -1.
int free_lock(const fs::path& folder) {
  const int lock = open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
  struct stat held {};
  if (lock >= 0 && fstat(lock, &held) == 0 && held.st_uid == geteuid() &&
      flock(lock, LOCK_EX | LOCK_NB) == 0)
    return lock;
  if (lock >= 0) close(lock);
  return -1;
}

void clear_left_behind(const fs::path& parent) {
  std::error_code code;
  std::vector<fs::path> left;
  for (fs::directory_iterator at(parent, code); !code && at != fs::directory_iterator();
       at.increment(code))
    if (at->path().filename().string().starts_with(kScratchName)) left.push_back(at->path());
  for (const fs::path& folder : left)
    if (const int lock = free_lock(folder); lock >= 0) {
      const ScratchFolder removed(folder, lock);
    }
}

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

const fs::path& path_of(const ScratchFolder& folder) { return folder.path(); }

Parsed<std::shared_ptr<const ScratchFolder>> make_scratch_folder() {
  std::error_code code;
  const fs::path parent = fs::temp_directory_path(code);
  if (!code) clear_left_behind(parent);
  // Another one that clears up may take a new folder away before it is locked.
  for (int attempt = 0; !code && attempt < 10; ++attempt) {
    std::string name = (parent / kScratchName).string() + "XXXXXX";
    if (mkdtemp(name.data()) == nullptr) break;
    const int lock = free_lock(name);
    if (lock < 0) continue;
    auto made = std::make_shared<const ScratchFolder>(name, lock);
    if (fs::is_directory(name)) return made;
  }
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
  if (name_in_store(case_name) || is_packed_case(case_name)) {
    auto scratch = make_scratch_folder();
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
