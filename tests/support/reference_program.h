// SPDX-License-Identifier: Apache-2.0
// What an independent program of tests/reference says, as scipy does there.
#pragma once

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cstdio>
#include <cstdlib>
#include <map>
#include <sstream>
#include <string>

#include "support/temp_folder.h"

namespace tautmark::test {

// All that it prints; a failed test where it cannot run. `script` may be followed by its words.
inline std::string told_by(const std::string& script, const std::string& input = "") {
  const TempFolder folder;
  const std::string command = fmt::format("/usr/bin/python3 {}/reference/{} < '{}' 2>&1",
                                          TAUTMARK_TESTS_DIR, script, folder.write("input", input));
  FILE* pipe = popen(command.c_str(), "r");
  std::string output;
  char buffer[4096];
  while (pipe != nullptr && std::fgets(buffer, sizeof buffer, pipe) != nullptr) output += buffer;
  EXPECT_EQ(pipe != nullptr ? pclose(pipe) : -1, 0) << "needs python3 with scipy:\n" << output;
  return output;
}

// Of lines "name value".
inline std::map<std::string, double> values_told_by(const std::string& script,
                                                    const std::string& input = "") {
  std::map<std::string, double> values;
  std::istringstream lines(told_by(script, input));
  for (std::string line; std::getline(lines, line);)
    if (const auto blank = line.find(' '); blank != std::string::npos)
      values[line.substr(0, blank)] = std::strtod(line.c_str() + blank, nullptr);
  return values;
}

}  // namespace tautmark::test
