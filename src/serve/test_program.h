// SPDX-License-Identifier: Apache-2.0
// Other people's programs as witnesses; for tests only.
#pragma once

#include <array>
#include <cstdio>
#include <cstdlib>
#include <string>

namespace tautmark::test {

inline bool has_program(const std::string& name) {
  return std::system(("command -v " + name + " >/dev/null 2>&1").c_str()) == 0;
}

inline std::string output_of(const std::string& command) {
  FILE* pipe = popen(command.c_str(), "r");
  std::string text;
  std::array<char, 4096> piece{};
  for (std::size_t got = 0; pipe && (got = fread(piece.data(), 1, piece.size(), pipe)) > 0;)
    text.append(piece.data(), got);
  if (pipe != nullptr) pclose(pipe);
  return text;
}

}  // namespace tautmark::test
