// SPDX-License-Identifier: Apache-2.0
// Any bytes as a packed case. What is refused leaves nothing behind; what is unpacked holds exactly
// the files of the manifest, inside the folder, within the limits.
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "base/hash.h"
#include "casework/pack.h"
#include "fuzz_check.h"

using namespace tautmark;
namespace fs = std::filesystem;

namespace {

// In memory where the machine has such a folder: nothing here is worth a disk.
const fs::path& folder() {
  // Never destroyed: it is asked for at the very end.
  static const fs::path& folder_path = *[] {
    std::error_code code;
    const fs::path memory = "/dev/shm";
    std::string name =
        ((fs::is_directory(memory, code) ? memory : fs::temp_directory_path()) / "tautmark-XXXXXX")
            .string();
    if (mkdtemp(name.data()) == nullptr) fuzz::fail("no temporary folder");
    std::atexit([] { fs::remove_all(folder()); });
    return new fs::path(name);
  }();
  return folder_path;
}

UnpackOptions bounded() {
  UnpackOptions options;
  options.limits.most_bytes = 1 << 20;
  options.limits.most_entries = 50;
  options.limits.ratio_from = 1 << 10;
  options.limits.disk_reserve = 0;
  options.durable = false;
  return options;
}

void check_refusal(const Diagnostics& diagnostics) {
  fuzz::require(has_errors(diagnostics), "refused without an error");
  const std::string text = diagnostics_text(diagnostics);
  fuzz::require(!first_invalid_utf8(text), "a message that is no text", text);
  fuzz::require(text.find('\x1b') == std::string::npos, "a message that a terminal obeys", text);
}

void check_unpacked(const fs::path& out, const PackManifest& manifest, const PackLimits& limits) {
  std::uintmax_t bytes = 0;
  for (const PackedFile& file : manifest.files) {
    const fs::path path = out / file.name;
    fuzz::require(fs::is_regular_file(fs::symlink_status(path)), "not a file", path);
    std::ifstream in(path, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    fuzz::require(sha256_hex(text) == file.sha256, "other bytes than in the manifest", path);
    bytes += text.size();
  }
  fuzz::require(bytes <= limits.most_bytes, "more bytes than allowed");
  std::size_t files = 0;
  for (const auto& entry : fs::recursive_directory_iterator(out)) {
    fuzz::require(!entry.is_symlink(), "a link", entry.path());
    if (!entry.is_directory()) ++files;
  }
  fuzz::require(files == manifest.files.size(), "other files than in the manifest");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const fs::path zip = folder() / "case.zip";
  const fs::path out = folder() / "out";
  {
    std::ofstream file(zip, std::ios::binary);
    file.write(reinterpret_cast<const char*>(data), static_cast<std::streamsize>(size));
  }
  const UnpackOptions options = bounded();
  const auto checked = verify_pack(zip, options.limits);
  if (!checked) check_refusal(checked.error());
  const auto manifest = unpack_case(zip, out, options);
  if (manifest) {
    fuzz::require(
        !checked || checked->problems.empty() || checked->problems.front().starts_with("entry "),
        "unpacked though it does not hold");
    check_unpacked(out, *manifest, options.limits);
    fs::remove_all(out);
  } else {
    check_refusal(manifest.error());
    fuzz::require(!checked || !checked->problems.empty(), "refused though it holds",
                  diagnostics_text(manifest.error()));
  }
  fuzz::require(std::distance(fs::directory_iterator(folder()), {}) == 1, "something was left");
  return 0;
}
