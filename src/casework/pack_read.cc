// SPDX-License-Identifier: Apache-2.0
#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <set>

#include "base/hash.h"
#include "base/tree.h"
#include "casework/case_sums.h"
#include "casework/pack.h"
#include "casework/pack_manifest.h"
#include "casework/pack_names.h"
#include "casework/whole.h"
#include "casework/zip_entries.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

struct OpenPack {
  ZipEntries entries;
  PackManifest manifest;
  std::vector<std::string> problems;  // names and sizes; not yet the sums
};

Parsed<PackManifest> manifest_of(const fs::path& zip, const ZipEntries& entries) {
  const auto refuse = [&](std::string message, std::string hint = {}) {
    return tl::make_unexpected(Diagnostics{pack_error(zip, std::move(message), std::move(hint))});
  };
  const ZipEntry* entry = entries.find(kManifestName);
  if (entry == nullptr)
    return refuse("a zip file without manifest.json: not a packed case",
                  "unpack it with another program, look at what came out, and pack the folder of "
                  "the case with: tautmark case pack FOLDER");
  if (entry->bytes > kMaxTextBytes)
    return refuse(fmt::format("a manifest of {} bytes; at most {} MB are read", entry->bytes,
                              kMaxTextBytes >> 20U));
  std::string text;
  const auto failed = read_entry(entries, *entry, [&](std::string_view piece) {
    text += piece;
    return std::optional<std::string>();
  });
  if (failed) return refuse(fmt::format("the manifest cannot be read: {}", *failed));
  return read_manifest(fmt::format("{}/{}", zip.generic_string(), kManifestName), std::move(text));
}

Parsed<OpenPack> open_pack(const fs::path& zip, const PackLimits& limits) {
  auto entries = open_zip_entries(zip, limits);
  if (!entries) return tl::make_unexpected(std::move(entries.error()));
  auto manifest = manifest_of(zip, *entries);
  if (!manifest) return tl::make_unexpected(std::move(manifest.error()));
  OpenPack pack{std::move(*entries), std::move(*manifest), {}};
  std::set<std::string_view> named = {kManifestName};
  for (const PackedFile& file : pack.manifest.files) {
    named.insert(file.name);
    const std::string shown = readable_name(file.name);
    const ZipEntry* entry = pack.entries.find(file.name);
    if (entry == nullptr)
      pack.problems.push_back(fmt::format("\"{}\" is missing", shown));
    else if (entry->bytes != file.bytes)
      pack.problems.push_back(fmt::format("\"{}\" was changed: {} bytes instead of {}", shown,
                                          entry->bytes, file.bytes));
  }
  for (const ZipEntry& entry : pack.entries.files)
    if (!named.contains(entry.name))
      pack.problems.push_back(fmt::format("\"{}\" was added: the manifest does not name it",
                                          readable_name(entry.name)));
  return pack;
}

// Reads one file of the manifest through; what is wrong with it.
std::optional<std::string> file_problem(const OpenPack& pack, const PackedFile& file,
                                        const UsePiece& use) {
  const ZipEntry* entry = pack.entries.find(file.name);
  if (entry == nullptr || entry->bytes != file.bytes) return std::nullopt;  // said already
  Sha256 sum;
  std::optional<std::string> stopped;
  const auto failed = read_entry(pack.entries, *entry, [&](std::string_view piece) {
    sum.add(piece);
    stopped = use(piece);
    return stopped;
  });
  if (stopped) return fmt::format("\"{}\" {}", readable_name(file.name), *stopped);
  if (failed) return fmt::format("\"{}\" was changed: {}", readable_name(file.name), *failed);
  if (sum.hex() != file.sha256)
    return fmt::format("\"{}\" was changed: its SHA-256 is not the manifest's",
                       readable_name(file.name));
  return std::nullopt;
}

std::optional<std::string> write_all(int descriptor, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t done = write(descriptor, bytes.data(), bytes.size());
    if (done < 0 && errno == EINTR) continue;
    if (done <= 0) return fmt::format("cannot be written: {}", std::strerror(errno));
    bytes.remove_prefix(static_cast<std::size_t>(done));
  }
  return std::nullopt;
}

std::optional<std::string> unpack_file(const OpenPack& pack, const PackedFile& file,
                                       const fs::path& folder, bool durable) {
  const fs::path path = folder / file.name;
  std::error_code code;
  fs::create_directories(path.parent_path(), code);
  const int out = open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666);
  if (out < 0) return fmt::format("\"{}\" cannot be written: {}", file.name, std::strerror(errno));
  auto problem =
      file_problem(pack, file, [&](std::string_view piece) { return write_all(out, piece); });
  const bool safe = !durable || fsync(out) == 0;
  if ((close(out) != 0 || !safe) && !problem)
    problem = fmt::format("\"{}\" cannot be written: {}", file.name, std::strerror(errno));
  return problem;
}

std::optional<std::string> put_folders_on_disk(const fs::path& folder) {
  std::error_code code;
  for (const auto& below : fs::recursive_directory_iterator(folder, code))
    if (below.is_directory(code))
      if (auto failed = put_on_disk(below.path())) return failed;
  return put_on_disk(folder);
}

Diagnostics as_diagnostics(const fs::path& zip, const std::vector<std::string>& problems) {
  Diagnostics diagnostics;
  for (const std::string& problem : problems) add_diagnostic(diagnostics, pack_error(zip, problem));
  return diagnostics;
}

}  // namespace

bool is_packed_case(const fs::path& file) {
  std::error_code code;
  if (!fs::is_regular_file(file, code)) return false;
  std::ifstream in(file, std::ios::binary);
  char begin[4] = {};
  in.read(begin, sizeof(begin));
  const std::string_view seen(begin, static_cast<std::size_t>(in.gcount()));
  return seen == "PK\3\4" || seen == "PK\5\6";  // the second: with nothing in it
}

Parsed<PackChecked> verify_pack(const fs::path& zip, const PackLimits& limits) {
  auto pack = open_pack(zip, limits);
  if (!pack) return tl::make_unexpected(std::move(pack.error()));
  std::string case_text;
  for (const PackedFile& file : pack->manifest.files) {
    const bool is_case = file.name == pack->manifest.case_file;
    auto problem = file_problem(*pack, file, [&](std::string_view piece) {
      if (is_case && case_text.size() <= kMaxTextBytes) case_text += piece;
      return std::optional<std::string>();
    });
    if (problem) pack->problems.push_back(std::move(*problem));
  }
  PackChecked checked{std::move(pack->manifest), std::move(pack->problems)};
  if (!checked.problems.empty()) return checked;
  // The manifest holds; the sums that entries carry are older than it.
  const auto value = read_case_alone(
      make_text_file(fmt::format("{}/{}", zip.generic_string(), checked.manifest.case_file),
                     std::move(case_text)));
  if (!value) return tl::make_unexpected(value.error());
  checked.problems = check_sums(*value, [&](const std::string& name) {
                       const auto found = std::find_if(
                           checked.manifest.files.begin(), checked.manifest.files.end(),
                           [&](const PackedFile& file) { return file.name == name; });
                       return found == checked.manifest.files.end() ? std::optional<std::string>()
                                                                    : std::optional(found->sha256);
                     }).problems;
  return checked;
}

Parsed<PackManifest> unpack_case(const fs::path& zip, const fs::path& folder,
                                 const UnpackOptions& options) {
  const auto refuse = [&](const fs::path& what, std::string message) {
    return tl::make_unexpected(Diagnostics{pack_error(what, std::move(message))});
  };
  fs::path wanted = folder.lexically_normal();
  if (!wanted.has_filename()) wanted = wanted.parent_path();
  std::error_code code;
  if (fs::exists(fs::symlink_status(wanted, code)))
    return refuse(folder, "it is there already; it was not touched");
  const auto space = fs::space(folder_of(wanted), code);
  if (code) return refuse(folder, "the folder around it cannot be used: " + code.message());
  auto pack = open_pack(zip, options.limits);
  if (!pack) return tl::make_unexpected(std::move(pack.error()));
  std::uint64_t needed = options.limits.disk_reserve;  // cannot wrap: entries have their limit
  for (const ZipEntry& entry : pack->entries.files) needed += entry.bytes;
  if (needed > space.available)
    return refuse(folder, fmt::format("too little room on the disk: {} bytes are free, {} are "
                                      "needed, of which {} stay free",
                                      space.available, needed, options.limits.disk_reserve));
  if (!pack->problems.empty()) return tl::make_unexpected(as_diagnostics(zip, pack->problems));

  FolderBeside beside(wanted, "unpacking");
  if (beside.problem()) return refuse(folder, *beside.problem());
  for (const PackedFile& file : pack->manifest.files)
    if (auto problem = unpack_file(*pack, file, beside.path(), options.durable))
      pack->problems.push_back(std::move(*problem));
  if (pack->problems.empty() && options.durable)
    if (auto failed = put_folders_on_disk(beside.path()))
      return refuse(folder, "cannot be written: " + *failed);
  if (!pack->problems.empty()) return tl::make_unexpected(as_diagnostics(zip, pack->problems));
  if (auto failed = take_free_name(beside.path(), wanted, options.durable))
    return refuse(folder, "cannot be unpacked there: " + *failed);
  return std::move(pack->manifest);
}

}  // namespace tautmark
