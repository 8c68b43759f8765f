// SPDX-License-Identifier: Apache-2.0
#include "cli/terminal.h"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>

namespace tautmark::cli {

TextStyle output_style() {
  TextStyle style;
  if (isatty(STDOUT_FILENO) == 0) return style;
  winsize size{};
  if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
    style.width = std::clamp<int>(size.ws_col, 50, 120);
  const char* no_color = std::getenv("NO_COLOR");
  style.bold = no_color == nullptr || *no_color == '\0';
  return style;
}

bool input_is_terminal() { return isatty(STDIN_FILENO) != 0; }

}  // namespace tautmark::cli
