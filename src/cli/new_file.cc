// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <fstream>

#include "cli/commands.h"

namespace tautmark::cli {

bool write_new_file(const std::string& file, const std::string& text) {
  const std::string beside = fmt::format("{}.{}.new", file, getpid());
  std::error_code code;
  std::ofstream out(beside, std::ios::binary);
  out.write(text.data(), static_cast<std::streamsize>(text.size()));
  out.close();
  const bool written = static_cast<bool>(out);
  // A link is refused where the name is taken, at the very moment it is made; a rename is not, and
  // serves only file systems without links.
  bool there = written && link(beside.c_str(), file.c_str()) == 0;
  const int why = errno;
  if (!there && written && why != EEXIST && !std::filesystem::exists(file, code)) {
    std::filesystem::rename(beside, file, code);
    there = !code;
  }
  std::filesystem::remove(beside, code);
  if (there) return true;
  if (written && why == EEXIST)
    fmt::print(stderr, "{}: error: this file is there already; it was not touched\n", file);
  else
    fmt::print(stderr, "{}: error: cannot be written{}\n", file,
               written ? fmt::format(": {}", std::strerror(why)) : "");
  return false;
}

}  // namespace tautmark::cli
