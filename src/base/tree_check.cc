// SPDX-License-Identifier: Apache-2.0
#include "base/tree_check.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"

namespace tautmark {

Node PlaceCounter::at_byte(std::size_t byte) {
  byte = std::min(byte, file_->text.size());
  const auto next = std::upper_bound(file_->line_starts.begin(), file_->line_starts.end(), byte);
  const auto index = static_cast<std::size_t>(next - file_->line_starts.begin()) - 1;
  return at_line(static_cast<int>(index) + 1, byte - file_->line_starts[index]);
}

Node PlaceCounter::at_line(int line, std::size_t byte_in_line) {
  const std::string_view text = file_->line(line);
  const std::size_t byte = std::min(byte_in_line, text.size());
  if (line != line_ || byte < byte_) {
    line_ = line;
    byte_ = 0;
    column_ = 1;
  }
  column_ += static_cast<int>(character_count(text.substr(byte_, byte - byte_)));
  byte_ = byte;
  Node node;
  node.file = file_;
  node.line = line;
  node.column = column_;
  return node;
}

std::optional<ControlCharacter> first_control_character(std::string_view utf8) {
  for (std::size_t i = 0; i < utf8.size(); ++i) {
    const auto c = static_cast<unsigned char>(utf8[i]);
    if (c == '\n' || c == '\t' || c == '\r') continue;
    if (c < 0x20 || c == 0x7F) return ControlCharacter{i, c};
    if (c != 0xC2 || i + 1 == utf8.size()) continue;
    const auto second = static_cast<unsigned char>(utf8[i + 1]);  // U+0080 to U+009F
    if (second < 0xA0) return ControlCharacter{i, second};
  }
  return std::nullopt;
}

std::string control_character_text(unsigned code) {
  return fmt::format("control character 0x{:02X} in the text", code);
}

Diagnostics text_check(const TextFileRef& file, IndentRule rule) {
  Diagnostics diagnostics;
  PlaceCounter counter(file);
  const std::string& text = file->text;
  if (const auto bad = first_invalid_utf8(text)) {
    diagnostics.push_back(error_at(counter.at_byte(*bad), "this is not UTF-8 text",
                                   "is it a photo, a recording or a spreadsheet file?"));
    return diagnostics;
  }
  if (const auto control = first_control_character(text)) {
    diagnostics.push_back(
        error_at(counter.at_byte(control->byte), control_character_text(control->code)));
    return diagnostics;
  }
  for (std::size_t i = text.find('\r'); i != std::string::npos; i = text.find('\r', i + 1)) {
    if (i + 1 < text.size() && text[i + 1] == '\n') continue;
    diagnostics.push_back(error_at(counter.at_byte(i), control_character_text('\r')));
    return diagnostics;
  }
  if (rule == IndentRule::tabs_allowed) return diagnostics;
  for (const std::size_t start : file->line_starts) {
    const std::size_t first = text.find_first_not_of(' ', start);
    if (first != std::string::npos && text[first] == '\t')
      add_diagnostic(diagnostics, error_at(counter.at_byte(first), "a tab is used as indentation",
                                           "use blanks; two per level are usual"));
  }
  return diagnostics;
}

}  // namespace tautmark
