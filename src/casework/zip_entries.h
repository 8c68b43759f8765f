// SPDX-License-Identifier: Apache-2.0
// A zip file from anybody, looked at with suspicion before a byte of it is unpacked. Refused by
// name: names that lead out or that some machine cannot hold, links and special files, encrypted
// entries, unusual packing, sizes past the limits; and a file whose parts overlap or contradict
// each other. Folders are passed over: those that hold files are made for them.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "casework/pack.h"

struct zip;

namespace tautmark {

struct ZipEntry {
  std::string name;
  std::uint64_t index = 0;
  std::uint64_t bytes = 0;   // as the file claims
  std::uint64_t packed = 0;  // bytes in the file
};

struct CloseZip {
  void operator()(zip* open) const;
};
using OpenZip = std::unique_ptr<zip, CloseZip>;

struct ZipEntries {
  OpenZip zip;
  std::vector<ZipEntry> files;  // by name
  [[nodiscard]] const ZipEntry* find(std::string_view name) const;
};
Parsed<ZipEntries> open_zip_entries(const std::filesystem::path& file, const PackLimits& limits);

// Gives the bytes piece by piece, never more than `entry.bytes` in all. What went wrong: damaged,
// longer than claimed, or the sentence with which `use` stopped it.
using UsePiece = std::function<std::optional<std::string>(std::string_view piece)>;
std::optional<std::string> read_entry(const ZipEntries& entries, const ZipEntry& entry,
                                      const UsePiece& use);

// An error about a pack as a whole.
Diagnostic pack_error(const std::filesystem::path& pack, std::string message,
                      std::string hint = {});

}  // namespace tautmark
