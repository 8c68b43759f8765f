// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>

#include "base/text.h"
#include "cli/commands.h"

namespace tautmark::cli {
namespace {

namespace fs = std::filesystem;

void add_drives_above(fs::path folder, std::vector<fs::path>& folders) {
  std::error_code code;
  folder = fs::weakly_canonical(folder, code);
  if (code) return;
  for (int up = 0; up < 6 && !folder.empty(); ++up) {
    if (fs::is_directory(folder / "drives", code)) folders.push_back(folder / "drives");
    if (folder == folder.parent_path()) return;
    folder = folder.parent_path();
  }
}

bool cannot_write(const std::string& file, const std::string& why) {
  fmt::print(stderr, "{}: error: cannot be written{}{}\n", file, why.empty() ? "" : ": ", why);
  return false;
}

// A device or a pipe is written to, never replaced.
bool write_through(const std::string& file, const std::string& text) {
  if (fs::is_directory(file)) return cannot_write(file, "it is a folder");
  std::ofstream out(file, std::ios::binary);
  out.write(text.data(), static_cast<std::streamsize>(text.size()));
  out.close();
  return out ? true : cannot_write(file, "");
}

}  // namespace

DriveFolders drive_folders(const std::vector<std::string>& named, const std::string& beside) {
  DriveFolders result;
  for (const std::string& folder : named) result.folders.emplace_back(folder);
  if (const char* from_environment = std::getenv("TAUTMARK_DRIVES"))
    for (const std::string& folder : split(from_environment, ':'))
      if (!folder.empty()) result.folders.emplace_back(folder);
  std::error_code code;
  if (!beside.empty()) {
    const fs::path path = beside;
    add_drives_above(fs::is_directory(path, code) ? path
                     : path.parent_path().empty() ? fs::path(".")
                                                  : path.parent_path(),
                     result.folders);
  }
  add_drives_above(fs::current_path(code), result.folders);
  const fs::path program = fs::read_symlink("/proc/self/exe", code);
  if (!code) {
    for (const fs::path& folder : {program.parent_path() / "../../drives",
                                   program.parent_path() / "../share/tautmark/drives"})
      if (fs::is_directory(folder, code))
        result.folders.push_back(fs::weakly_canonical(folder, code));
  }
  // The same folder by two ways is one folder.
  std::vector<fs::path> once;
  for (const fs::path& folder : result.folders) {
    const fs::path real = fs::weakly_canonical(folder, code);
    if (std::find(once.begin(), once.end(), real) != once.end()) continue;
    once.push_back(real);
  }
  // Messages name a folder from where one stands when it lies below.
  const fs::path here = fs::current_path(code);
  result.folders.clear();
  for (const fs::path& folder : once) {
    const fs::path near = folder.lexically_proximate(here);
    result.folders.push_back(near.empty() || *near.begin() == ".." ? folder : near);
  }
  return result;
}

int report_input(const Diagnostics& diagnostics) {
  std::fputs(diagnostics_text(diagnostics).c_str(), stderr);
  return kExitInput;
}

bool write_output(const std::string& file, const std::string& text) {
  if (file == "-") {
    std::fwrite(text.data(), 1, text.size(), stdout);
    return std::fflush(stdout) == 0 && std::ferror(stdout) == 0;
  }
  std::error_code code;
  const auto status = fs::status(file, code);
  if (fs::exists(status) && !fs::is_regular_file(status)) return write_through(file, text);
  const std::string beside = fmt::format("{}.{}.new", file, getpid());
  {
    std::ofstream out(beside, std::ios::binary);
    out.write(text.data(), static_cast<std::streamsize>(text.size()));
    out.close();
    if (!out) {
      fs::remove(beside, code);
      return cannot_write(file, "");
    }
  }
  fs::rename(beside, file, code);
  if (!code) return true;
  const std::string why = code.message();
  fs::remove(beside, code);
  return cannot_write(file, why);
}

}  // namespace tautmark::cli
