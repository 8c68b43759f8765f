// SPDX-License-Identifier: Apache-2.0
// What every text file must satisfy before any parser sees it.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "base/tree.h"

namespace tautmark {

enum class IndentRule { no_tabs, tabs_allowed };

// Turns places of a text into lines and columns, which count characters. Quick when the places
// grow, as a parser's do: a line of some megabytes is counted once, not once for each of its parts.
class PlaceCounter {
 public:
  explicit PlaceCounter(const TextFileRef& file) : file_(file) {}

  // A node without content at this byte of the text, or of a line (counted from 1).
  Node at_byte(std::size_t byte);
  Node at_line(int line, std::size_t byte_in_line);
  // In its line, of the place asked for last.
  [[nodiscard]] std::size_t byte() const { return byte_; }

 private:
  TextFileRef file_;
  int line_ = 0;
  std::size_t byte_ = 0;
  int column_ = 1;
};

// The first control character of a text other than a tab or a line end: no use in these files,
// and a terminal may obey it. Also what an escape such as \x1B in quotes stands for.
struct ControlCharacter {
  std::size_t byte;
  unsigned code;
};
std::optional<ControlCharacter> first_control_character(std::string_view utf8);
std::string control_character_text(unsigned code);

// Binary junk, invalid UTF-8 and (for YAML) tabs as indentation, each with its place.
Diagnostics text_check(const TextFileRef& file, IndentRule rule);

}  // namespace tautmark
