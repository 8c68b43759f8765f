// SPDX-License-Identifier: Apache-2.0
#include "cli/dialog.h"

#include <cstdio>
#include <iostream>

#include "base/text.h"
#include "cli/terminal.h"

namespace tautmark::cli {

void say(std::string_view text) {
  std::fwrite(text.data(), 1, text.size(), stderr);
  std::fflush(stderr);
}

std::optional<std::string> read_answer(std::string_view prompt) {
  say(prompt);
  std::string line;
  const bool read = static_cast<bool>(std::getline(std::cin, line));
  // The person's own Enter ends the line on a terminal only.
  if (!read || !input_is_terminal()) say("\n");
  if (!read) return std::nullopt;
  return std::string(trimmed(line));
}

}  // namespace tautmark::cli
