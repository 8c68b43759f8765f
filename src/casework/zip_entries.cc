// SPDX-License-Identifier: Apache-2.0
#include "casework/zip_entries.h"

#include <fmt/format.h>
#include <sys/stat.h>
#include <zip.h>

#include <algorithm>
#include <fstream>
#include <limits>

#include "base/tree.h"
#include "casework/pack_names.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kPiece = std::size_t{256} << 10U;  // bytes unpacked at a time

// Sizes in APPNOTE.TXT 6.3.10, sections 4.3.7 (local header), 4.3.12 (directory), 4.3.14 to 4.3.16
// (its end), without names and extra fields.
constexpr std::uint64_t kLocalHeader = 30, kDirectoryEntry = 46, kEnd = 22, kLocator64 = 20,
                        kEnd64 = 56;
constexpr std::uint64_t kLongestComment = 65535;
// Of the directory, which libzip holds in memory as a whole.
constexpr std::uint64_t kMostDirectory = std::uint64_t{16} << 20U;

std::uint64_t little_endian(std::string_view bytes, std::size_t at, std::size_t length) {
  std::uint64_t value = 0;
  for (std::size_t i = length; i-- > 0;)
    value = (value << 8U) | static_cast<unsigned char>(bytes[at + i]);
  return value;
}

std::string bytes_at(std::ifstream& in, std::uint64_t from, std::uint64_t length) {
  std::string bytes(static_cast<std::size_t>(length), '\0');
  in.clear();
  in.seekg(static_cast<std::streamoff>(from));
  in.read(bytes.data(), static_cast<std::streamsize>(length));
  bytes.resize(static_cast<std::size_t>(std::max<std::streamsize>(in.gcount(), 0)));
  return bytes;
}

// Nothing that could be taken for the end of the directory may claim one that would fill the
// memory. The count of entries that it gives is no bound: readers pass over it.
bool directory_is_small(const fs::path& file, std::uint64_t size) {
  std::ifstream in(file, std::ios::binary);
  const std::uint64_t length = std::min(size, kLongestComment + kEnd + kLocator64);
  const std::uint64_t begin = size - length;
  const std::string tail = bytes_at(in, begin, length);
  for (auto at = tail.find("PK\5\6"); at != std::string::npos; at = tail.find("PK\5\6", at + 1)) {
    if (tail.size() - at < kEnd) break;
    const std::uint64_t directory = little_endian(tail, at + 12, 4);
    const std::uint64_t offset = little_endian(tail, at + 16, 4);
    if (directory > kMostDirectory && directory + offset <= begin + at) return false;
    if (at < kLocator64 || tail.compare(at - kLocator64, 4, "PK\6\7") != 0) continue;
    const std::uint64_t where = little_endian(tail, at - kLocator64 + 8, 8);
    if (where > size || size - where < kEnd64) continue;
    const std::string end = bytes_at(in, where, kEnd64);
    if (end.size() == kEnd64 && end.starts_with("PK\6\6") &&
        little_endian(end, 40, 8) > kMostDirectory)
      return false;
  }
  return true;
}

tl::expected<OpenZip, std::string> open_zip(const fs::path& file, int flags) {
  int why = 0;
  OpenZip zip(::zip_open(file.c_str(), ZIP_RDONLY | flags, &why));
  if (zip) return zip;
  zip_error_t error;
  zip_error_init_with_code(&error, why);
  std::string text = zip_error_strerror(&error);
  zip_error_fini(&error);
  return tl::make_unexpected(std::move(text));
}

std::optional<std::string> kind_problem(zip_t* zip, zip_uint64_t index, std::string_view name,
                                        bool is_folder) {
  zip_uint8_t system = 0;
  zip_uint32_t attributes = 0;
  const std::string shown = readable_name(name);
  if (zip_file_get_external_attributes(zip, index, 0, &system, &attributes) != 0)
    return fmt::format("\"{}\": its entry is damaged", shown);
  switch ((attributes >> 16U) & S_IFMT) {
    case 0:
      return std::nullopt;
    case S_IFREG:
      if (!is_folder) return std::nullopt;
      break;
    case S_IFDIR:
      if (is_folder) return std::nullopt;
      break;
    case S_IFLNK:
      return fmt::format("\"{}\" is a symbolic link", shown);
    default:
      break;
  }
  return fmt::format("\"{}\" is a special file", shown);
}

std::optional<std::string> size_problem(const zip_stat_t& facts, const std::string& shown,
                                        const PackLimits& limits) {
  constexpr zip_uint64_t kWanted =
      ZIP_STAT_SIZE | ZIP_STAT_COMP_SIZE | ZIP_STAT_COMP_METHOD | ZIP_STAT_ENCRYPTION_METHOD;
  if ((facts.valid & kWanted) != kWanted) return fmt::format("\"{}\": its entry is damaged", shown);
  if (facts.encryption_method != ZIP_EM_NONE)
    return fmt::format("\"{}\" is encrypted; packed cases never are", shown);
  if (facts.comp_method != ZIP_CM_STORE && facts.comp_method != ZIP_CM_DEFLATE)
    return fmt::format(
        "\"{}\" is packed in an unusual way (method {}); stored and deflated "
        "files are read",
        shown, facts.comp_method);
  if (facts.size > limits.ratio_from && facts.size / limits.most_ratio > facts.comp_size)
    return fmt::format("\"{}\" claims to be {} bytes out of {}: a bomb", shown, facts.size,
                       facts.comp_size);
  return std::nullopt;
}

struct Looked {
  std::vector<ZipEntry> files;
  NamesTaken names;
  std::uint64_t bytes = 0;   // unpacked
  std::uint64_t packed = 0;  // in the file, with headers
};

std::optional<std::string> look_at(zip_t* zip, zip_uint64_t index, const PackLimits& limits,
                                   Looked& looked) {
  zip_stat_t facts;
  const char* raw = zip_get_name(zip, index, ZIP_FL_ENC_RAW);
  if (raw == nullptr || zip_stat_index(zip, index, 0, &facts) != 0)
    return fmt::format("entry {} is damaged", index + 1);
  std::string name = raw;
  const bool is_folder = name.ends_with('/');
  if (is_folder) name.pop_back();
  const std::string shown = readable_name(name);
  if (auto problem = pack_name_problem(name)) return problem;
  if (auto problem = kind_problem(zip, index, name, is_folder)) return problem;
  if (auto problem = size_problem(facts, shown, limits)) return problem;
  looked.packed += kLocalHeader + kDirectoryEntry + 2 * name.size() +
                   std::min<std::uint64_t>(facts.comp_size, std::uint64_t{1} << 48U);
  if (is_folder)
    return facts.size == 0 ? std::nullopt
                           : std::optional(fmt::format("\"{}\" is a folder with bytes", shown));
  if (auto problem = looked.names.problem_of_next(name)) return problem;
  // Subtracted, not added: a claim may be as large as the type.
  if (facts.size > limits.most_bytes - looked.bytes)
    return fmt::format("\"{}\": with it there are more than {} bytes to unpack", shown,
                       limits.most_bytes);
  looked.bytes += facts.size;
  looked.files.push_back({std::move(name), index, facts.size, facts.comp_size});
  return std::nullopt;
}

}  // namespace

Diagnostic pack_error(const fs::path& pack, std::string message, std::string hint) {
  Diagnostic diagnostic;
  diagnostic.place.file = pack.generic_string();
  diagnostic.message = std::move(message);
  diagnostic.hint = std::move(hint);
  return diagnostic;
}

void CloseZip::operator()(zip* open) const { zip_discard(open); }

const ZipEntry* ZipEntries::find(std::string_view name) const {
  const auto found = std::lower_bound(
      files.begin(), files.end(), name,
      [](const ZipEntry& entry, std::string_view key) { return entry.name < key; });
  return found != files.end() && found->name == name ? &*found : nullptr;
}

Parsed<ZipEntries> open_zip_entries(const fs::path& file, const PackLimits& limits) {
  const auto refuse = [&](std::string message, std::string hint = {}) {
    return tl::make_unexpected(Diagnostics{pack_error(file, std::move(message), std::move(hint))});
  };
  std::error_code code;
  if (!fs::exists(file, code)) return refuse("no such file");
  if (!fs::is_regular_file(file, code)) return refuse("a packed case is a file");
  const std::uint64_t size = fs::file_size(file, code);
  if (code) return refuse("cannot be read: " + code.message());
  if (!is_packed_case(file)) return refuse("this is not a packed case, nor another zip file");
  if (!directory_is_small(file, size)) return refuse("its list of entries is too long");
  auto zip = open_zip(file, 0);
  if (!zip) return refuse("the zip file is cut off or damaged: " + zip.error());
  const auto count = static_cast<zip_uint64_t>(zip_get_num_entries(zip->get(), 0));
  if (count > limits.most_entries)
    return refuse(fmt::format("{} entries; at most {} are read", count, limits.most_entries));

  Diagnostics diagnostics;
  Looked looked;
  for (zip_uint64_t index = 0; index < count; ++index)
    if (auto problem = look_at(zip->get(), index, limits, looked))
      add_diagnostic(diagnostics, pack_error(file, std::move(*problem)));
  // Entries that share bytes of the file gain nothing unless they have more than the file.
  if (diagnostics.empty() && looked.packed + kEnd > size)
    diagnostics.push_back(pack_error(file, "entries of this zip file overlap"));
  if (!diagnostics.empty()) return tl::make_unexpected(std::move(diagnostics));

  // Last, since it does not say which entry it is: every local header against the directory.
  zip = open_zip(file, ZIP_CHECKCONS);
  if (!zip)
    return refuse("parts of the zip file contradict each other: " + zip.error(),
                  "where it was packed anew by another program, pack it with: tautmark case pack");
  if (static_cast<zip_uint64_t>(zip_get_num_entries(zip->get(), 0)) != count)
    return refuse("the zip file can be read in two ways");
  for (const ZipEntry& entry : looked.files)
    if (const char* raw = zip_get_name(zip->get(), entry.index, ZIP_FL_ENC_RAW);
        raw == nullptr || entry.name != raw)
      return refuse("the zip file can be read in two ways");
  std::sort(looked.files.begin(), looked.files.end(),
            [](const ZipEntry& a, const ZipEntry& b) { return a.name < b.name; });
  return ZipEntries{std::move(*zip), std::move(looked.files)};
}

std::optional<std::string> read_entry(const ZipEntries& entries, const ZipEntry& entry,
                                      const UsePiece& use) {
  const std::unique_ptr<zip_file_t, decltype(&zip_fclose)> open(
      zip_fopen_index(entries.zip.get(), entry.index, 0), &zip_fclose);
  if (!open) return "it cannot be unpacked";
  std::vector<char> room(kPiece);
  std::uint64_t done = 0;
  for (;;) {
    const zip_int64_t count = zip_fread(open.get(), room.data(), room.size());
    if (count < 0) return "its bytes are damaged";
    if (count == 0) break;
    done += static_cast<std::uint64_t>(count);
    if (done > entry.bytes) return "it is longer than it claims";
    if (auto stopped = use({room.data(), static_cast<std::size_t>(count)})) return stopped;
  }
  if (done < entry.bytes) return "it is shorter than it claims";
  return std::nullopt;
}

}  // namespace tautmark
