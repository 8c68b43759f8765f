// SPDX-License-Identifier: Apache-2.0
#include "base/tree_check.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"

namespace tautmark {
namespace {

Node node_at_byte(const TextFileRef& file, std::size_t byte) {
  const auto next = std::upper_bound(file->line_starts.begin(), file->line_starts.end(), byte);
  const auto index = static_cast<std::size_t>(next - file->line_starts.begin()) - 1;
  Node node;
  node.file = file;
  node.line = static_cast<int>(index) + 1;
  const std::size_t start = file->line_starts[index];
  node.column =
      static_cast<int>(character_count(std::string_view(file->text).substr(start, byte - start))) + 1;
  return node;
}

}  // namespace

Diagnostics text_check(const TextFileRef& file, IndentRule rule) {
  Diagnostics diagnostics;
  const std::string& text = file->text;
  if (const auto bad = first_invalid_utf8(text)) {
    diagnostics.push_back(error_at(node_at_byte(file, *bad), "this is not UTF-8 text",
                                   "is it a photo, a recording or a spreadsheet file?"));
    return diagnostics;
  }
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto c = static_cast<unsigned char>(text[i]);
    const bool allowed = c >= 0x20 || c == '\n' || c == '\t' || (c == '\r' && i + 1 < text.size() && text[i + 1] == '\n');
    if (!allowed || c == 0x7F) {
      diagnostics.push_back(error_at(node_at_byte(file, i),
                                     fmt::format("control character 0x{:02X} in the text", c)));
      return diagnostics;
    }
  }
  if (rule == IndentRule::tabs_allowed) return diagnostics;
  for (const std::size_t start : file->line_starts) {
    const std::size_t first = text.find_first_not_of(' ', start);
    if (first != std::string::npos && text[first] == '\t')
      diagnostics.push_back(error_at(node_at_byte(file, first), "a tab is used as indentation",
                                     "use blanks; two per level are usual"));
  }
  return diagnostics;
}

}  // namespace tautmark
