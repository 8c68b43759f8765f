// SPDX-License-Identifier: Apache-2.0
// A packed case: a case folder as one zip file with a manifest of SHA-256 sums (docs/formats/
// pack.md), and back into a folder, without loss. What comes out of a pack may come from anybody:
// nothing is written under a name that leads out of the folder, and every size has its limit.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "drive/load.h"

namespace tautmark {

// The same both ways: what is packed can be unpacked.
struct PackLimits {
  std::uint64_t most_bytes = std::uint64_t{64} << 30U;    // of all files, unpacked
  std::uint64_t disk_reserve = std::uint64_t{64} << 20U;  // stays free when it is unpacked
  std::uint64_t most_entries = 10'000;
  // Files larger than `ratio_from` that claim to be more than so many times their packed size are
  // refused; deflate cannot do much more, and only with nothing in them.
  std::uint64_t most_ratio = 1000;
  std::uint64_t ratio_from = std::uint64_t{1} << 20U;
};

struct PackedFile {
  std::string name;  // inside the folder: "recordings/idle.csv"
  std::uint64_t bytes = 0;
  std::string sha256;
  bool added = false;  // a drive file that did not lie beside the case
};

struct PackManifest {
  std::string case_name;          // as the case names itself
  std::string case_file;          // "case.yaml" or "case.json"
  std::string program;            // that packed it
  std::string uid, head_hash;     // of a case out of a store; or empty
  std::vector<PackedFile> files;  // by name
};

struct PackOptions {
  DriveFolders drives;
  std::string program;
  std::string uid, head_hash;
  // Not empty: the case goes into the pack even if load_case finds mistakes in it, under this name,
  // with what lies in its folder. For a stored case, which must always be able to leave.
  std::string name_if_damaged;
  PackLimits limits;
};
struct Packed {
  PackManifest manifest;
  std::vector<std::string> left_out;  // hidden files and folders
};

// Packs the folder of a case that load_case accepts, with the drive files that it is judged by. The
// zip is written whole or not at all; one that is there is never touched. The same folder gives the
// same bytes.
Parsed<Packed> pack_case(const std::string& case_name, const std::filesystem::path& zip,
                         const PackOptions& options);

struct UnpackOptions {
  PackLimits limits;
  bool durable = true;  // on the disk before the folder takes its name; false: for one reading
};
// Into a folder that does not exist yet, whole or not at all.
Parsed<PackManifest> unpack_case(const std::filesystem::path& zip,
                                 const std::filesystem::path& folder,
                                 const UnpackOptions& options = {});

// By its first bytes: a zip file.
bool is_packed_case(const std::filesystem::path& file);

// What does not hold, one sentence each; nothing: it holds. An error: it cannot be read.
struct PackChecked {
  PackManifest manifest;
  std::vector<std::string> problems;
};
Parsed<PackChecked> verify_pack(const std::filesystem::path& zip, const PackLimits& limits = {});
// The same of a case file or its folder: its files are there, and are those whose sums its entries
// carry.
struct CaseChecked {
  int files = 0;  // named by entries
  int sums = 0;   // of these with a SHA-256
  std::vector<std::string> problems;
};
Parsed<CaseChecked> verify_case_folder(const std::string& case_name);

}  // namespace tautmark
