// SPDX-License-Identifier: Apache-2.0
#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>
#include <zip.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <set>

#include "base/hash.h"
#include "casework/load.h"
#include "casework/pack.h"
#include "casework/pack_manifest.h"
#include "casework/pack_names.h"
#include "casework/whole.h"
#include "casework/zip_entries.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

struct Source {
  fs::path path;
  PackedFile file;
  struct stat state {};
};

// 1980-01-01 00:00, the first time that a zip file can say, for every file: the time at which a
// folder was copied is no part of the case. Any reader may read what was unpacked.
constexpr zip_uint16_t kFirstDate = (1U << 5U) | 1U, kFirstTime = 0;
constexpr zip_uint32_t kPlainFile = static_cast<zip_uint32_t>(S_IFREG | 0644) << 16U;

class Packing {
 public:
  explicit Packing(const PackOptions& options) : options_(options) {}

  void error(const fs::path& path, std::string message, std::string hint = {}) {
    add_diagnostic(diagnostics, pack_error(path, std::move(message), std::move(hint)));
  }
  void add(const fs::path& path, std::string name, bool added) {
    if (sources.size() + 1 >= options_.limits.most_entries)
      return error(path,
                   fmt::format("a pack holds fewer than {} files", options_.limits.most_entries));
    if (const auto problem = pack_name_problem(name)) return error(path, *problem);
    if (const auto problem = names_.problem_of_next(name)) return error(path, *problem);
    Source source;
    source.path = path;
    source.file.name = std::move(name);
    source.file.added = added;
    sources.push_back(std::move(source));
  }
  void collect(const fs::path& folder);
  void add_drives(const LoadedCase& loaded, const fs::path& folder);
  void read_sums();
  void check_unchanged();

  std::vector<Source> sources;
  std::vector<std::string> left_out;
  Diagnostics diagnostics;

 private:
  const PackOptions& options_;
  NamesTaken names_;
};

void Packing::collect(const fs::path& folder) {
  std::error_code code;
  fs::recursive_directory_iterator below(folder, code);
  for (; !code && below != fs::recursive_directory_iterator(); below.increment(code)) {
    const fs::path& path = below->path();
    const std::string name = path.lexically_relative(folder).generic_string();
    const fs::file_status status = below->symlink_status(code);
    if (code) break;
    if (path.filename().string().starts_with('.')) {
      left_out.push_back(readable_name(name));
      if (fs::is_directory(status)) below.disable_recursion_pending();
    } else if (fs::is_symlink(status)) {
      error(path, fmt::format("\"{}\" is a symbolic link", readable_name(name)),
            "put the file itself in its place");
    } else if (name == kManifestName) {
      error(path, "this name is kept for the manifest of the pack", "give the file another name");
    } else if (fs::is_regular_file(status)) {
      add(path, name, false);
    } else if (!fs::is_directory(status)) {
      error(path, fmt::format("\"{}\" is neither a file nor a folder", readable_name(name)));
    }
    if (diagnostics.size() >= kMostDiagnostics) return;
  }
  if (code) error(folder, "cannot be read: " + code.message());
  std::sort(left_out.begin(), left_out.end());
}

// Drives are looked up beside the case first: there they are found again.
void Packing::add_drives(const LoadedCase& loaded, const fs::path& folder) {
  DriveFolders folders = options_.drives;
  folders.folders.insert(folders.folders.begin(), folder);
  std::vector<std::string> wanted = loaded.value.candidates;
  if (loaded.value.drive) wanted.push_back(*loaded.value.drive);
  std::set<std::string> beside;
  for (const Source& source : sources) beside.insert(source.file.name);
  for (const std::string& text : wanted) {
    const auto files =
        drive_files(is_drive_name(text) ? text : (folder / text).generic_string(), folders);
    if (!files) {
      for (const Diagnostic& found : files.error()) add_diagnostic(diagnostics, found);
      continue;
    }
    for (const fs::path& path : *files) {
      // One that the case names by its path is found by it.
      if (!is_drive_name(text) && path == files->front()) continue;
      if (beside.insert(path.filename().string()).second) add(path, path.filename().string(), true);
    }
  }
}

void Packing::read_sums() {
  std::uint64_t total = 0;
  std::vector<char> room(std::size_t{256} << 10U);
  for (Source& source : sources) {
    const int from =
        open(source.path.c_str(), O_RDONLY | O_CLOEXEC | (source.file.added ? 0 : O_NOFOLLOW));
    if (from < 0 || fstat(from, &source.state) != 0 || !S_ISREG(source.state.st_mode)) {
      error(source.path, fmt::format("cannot be read: {}", std::strerror(errno)));
      if (from >= 0) close(from);
      continue;
    }
    Sha256 sum;
    ssize_t count = 0;
    while ((count = read(from, room.data(), room.size())) > 0) {
      sum.add({room.data(), static_cast<std::size_t>(count)});
      source.file.bytes += static_cast<std::uint64_t>(count);
    }
    if (count < 0) error(source.path, fmt::format("cannot be read: {}", std::strerror(errno)));
    close(from);
    source.file.sha256 = sum.hex();
    total += source.file.bytes;
    if (total > options_.limits.most_bytes)
      return error(source.path, fmt::format("with it there are more than {} bytes to pack",
                                            options_.limits.most_bytes));
  }
}

// The sums were taken on a first reading, the bytes packed on a second one.
void Packing::check_unchanged() {
  for (const Source& source : sources) {
    struct stat now {};
    const struct stat& then = source.state;
    if (stat(source.path.c_str(), &now) != 0 || now.st_dev != then.st_dev ||
        now.st_ino != then.st_ino || now.st_size != then.st_size ||
        now.st_mtim.tv_sec != then.st_mtim.tv_sec || now.st_mtim.tv_nsec != then.st_mtim.tv_nsec ||
        now.st_ctim.tv_sec != then.st_ctim.tv_sec || now.st_ctim.tv_nsec != then.st_ctim.tv_nsec)
      error(source.path, "was changed while it was packed", "pack the case again");
  }
}

// Takes the source over, whatever happens.
std::optional<std::string> add_to_zip(zip_t* zip, zip_source_t* source, const std::string& name,
                                      bool stored) {
  if (source == nullptr) return zip_strerror(zip);
  const zip_int64_t added = zip_file_add(zip, name.c_str(), source, ZIP_FL_ENC_UTF_8);
  if (added < 0) {
    zip_source_free(source);
    return zip_strerror(zip);
  }
  const auto index = static_cast<zip_uint64_t>(added);
  if (zip_set_file_compression(zip, index, stored ? ZIP_CM_STORE : ZIP_CM_DEFLATE, 0) != 0 ||
      zip_file_set_dostime(zip, index, kFirstTime, kFirstDate, 0) != 0 ||
      zip_file_set_external_attributes(zip, index, 0, ZIP_OPSYS_UNIX, kPlainFile) != 0)
    return zip_strerror(zip);
  return std::nullopt;
}

// Memory does not grow with the files: libzip reads each when the zip is closed.
std::optional<std::string> write_zip(const fs::path& path, const std::string& manifest,
                                     const std::vector<Source>& sources,
                                     const std::set<std::string>& stored) {
  int why = 0;
  OpenZip zip(zip_open(path.c_str(), ZIP_CREATE | ZIP_EXCL, &why));
  if (!zip) return fmt::format("error {} of the zip library", why);
  if (auto failed =
          add_to_zip(zip.get(), zip_source_buffer(zip.get(), manifest.data(), manifest.size(), 0),
                     std::string(kManifestName), false))
    return failed;
  for (const Source& source : sources)
    if (auto failed = add_to_zip(zip.get(), zip_source_file(zip.get(), source.path.c_str(), 0, -1),
                                 source.file.name, stored.contains(source.file.name)))
      return fmt::format("\"{}\": {}", source.file.name, *failed);
  if (zip_close(zip.get()) != 0) return zip_strerror(zip.get());
  static_cast<void>(zip.release());
  return std::nullopt;
}

// Files with so little in them that the unpacking program would take them for a bomb: they are
// stored as they are.
std::set<std::string> too_small(const fs::path& path, const PackLimits& limits) {
  std::set<std::string> names;
  int why = 0;
  const OpenZip zip(zip_open(path.c_str(), ZIP_RDONLY, &why));
  if (!zip) return names;
  for (zip_int64_t i = 0; i < zip_get_num_entries(zip.get(), 0); ++i) {
    zip_stat_t facts;
    if (zip_stat_index(zip.get(), static_cast<zip_uint64_t>(i), 0, &facts) == 0 &&
        facts.size > limits.ratio_from && facts.size / limits.most_ratio > facts.comp_size)
      names.insert(facts.name);
  }
  return names;
}

bool lies_in(const fs::path& file, const fs::path& folder) {
  std::error_code code;
  const fs::path root = fs::weakly_canonical(folder, code);
  const fs::path real = fs::weakly_canonical(folder_of(file), code);
  return std::mismatch(root.begin(), root.end(), real.begin(), real.end()).first == root.end();
}

std::optional<std::string> write_pack(const fs::path& zip, const PackManifest& manifest,
                                      Packing& packing, const PackLimits& limits) {
  const std::string text = manifest_text(manifest);
  if (text.size() > kMaxTextBytes) return "the manifest would be too long";
  const FolderBeside beside(zip, "packing");
  if (beside.problem()) return beside.problem();
  const fs::path made = beside.path() / "pack.zip";
  std::set<std::string> stored;
  for (int round = 0; round < 2; ++round) {
    std::error_code code;
    fs::remove(made, code);
    if (auto failed = write_zip(made, text, packing.sources, stored)) return failed;
    stored = too_small(made, limits);
    if (stored.empty()) break;
  }
  packing.check_unchanged();
  if (!packing.diagnostics.empty()) return std::nullopt;
  if (auto failed = put_on_disk(made)) return failed;
  return take_free_name(made, zip, true);
}

// What packing needs of a case that does not load.
Parsed<LoadedCase> unread_case(const std::string& case_name, const PackOptions& options) {
  LoadedCase loaded;
  const auto file = case_file_of(case_name);
  if (!file) return tl::make_unexpected(file.error());
  const auto text = load_text_file(*file, file->generic_string());
  if (!text) return tl::make_unexpected(text.error());
  loaded.file = *file;
  loaded.sha256 = sha256_hex((*text)->text);
  loaded.value.name = options.name_if_damaged;
  return loaded;
}

}  // namespace

Parsed<Packed> pack_case(const std::string& case_name, const fs::path& zip,
                         const PackOptions& options) {
  const auto refuse = [](const fs::path& what, std::string message, std::string hint = {}) {
    return tl::make_unexpected(Diagnostics{pack_error(what, std::move(message), std::move(hint))});
  };
  auto loaded = load_case(case_name, options.drives);
  if (!loaded && !options.name_if_damaged.empty()) loaded = unread_case(case_name, options);
  if (!loaded) return tl::make_unexpected(loaded.error());
  const fs::path folder = folder_of(loaded->file);
  Packed packed;
  PackManifest& manifest = packed.manifest;
  manifest.case_name = loaded->value.name;
  manifest.case_file = loaded->file.filename().string();
  manifest.program = options.program;
  manifest.uid = options.uid;
  manifest.head_hash = options.head_hash;
  if (manifest.case_file != "case.yaml" && manifest.case_file != "case.json")
    return refuse(case_name, "only a case.yaml or case.json in a folder of its own can be packed",
                  "put it with its files into a folder, as case.yaml");
  std::error_code code;
  if (fs::exists(fs::symlink_status(zip, code)))
    return refuse(zip, "this file is there already; it was not touched");
  if (lies_in(zip, folder))
    return refuse(zip, "a pack inside the case that it holds", "write it beside the folder");

  Packing packing(options);
  packing.collect(folder);
  if (packing.diagnostics.empty()) packing.add_drives(*loaded, folder);
  std::sort(packing.sources.begin(), packing.sources.end(),
            [](const Source& a, const Source& b) { return a.file.name < b.file.name; });
  if (packing.diagnostics.empty()) packing.read_sums();
  for (const Source& source : packing.sources) manifest.files.push_back(source.file);
  for (const PackedFile& file : manifest.files)
    if (file.name == manifest.case_file && file.sha256 != loaded->sha256)
      packing.error(loaded->file, "was changed while it was packed", "pack the case again");
  if (packing.diagnostics.empty())
    if (const auto failed = write_pack(zip, manifest, packing, options.limits))
      packing.error(zip, "cannot be written: " + *failed);
  if (!packing.diagnostics.empty()) return tl::make_unexpected(std::move(packing.diagnostics));
  packed.left_out = std::move(packing.left_out);
  return packed;
}

}  // namespace tautmark
