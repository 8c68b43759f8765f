// SPDX-License-Identifier: Apache-2.0
#include "base/diagnostic.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"

namespace tautmark {
namespace {

constexpr std::size_t kMaxShownLine = 160;  // a minified or binary line must not flood the screen

std::string place_text(const TextPlace& place) {
  if (place.line <= 0) return place.file;
  return fmt::format("{}:{}:{}", place.file, place.line, std::max(1, place.column));
}

// The line and a caret under the place; empty when the line is unknown or too long to help.
std::string excerpt(const TextPlace& place) {
  if (place.line <= 0 || place.line_text.empty()) return {};
  if (character_count(place.line_text) > kMaxShownLine) return {};
  std::string shown = place.line_text;
  std::replace(shown.begin(), shown.end(), '\t', ' ');
  for (char& c : shown)
    if (static_cast<unsigned char>(c) < 0x20) c = '?';
  const auto column = static_cast<std::size_t>(std::max(1, place.column));
  const auto width = std::max<std::size_t>(4, std::to_string(place.line).size());
  std::string caret(column - 1, ' ');
  caret += '^';
  if (place.length > 1) caret += std::string(static_cast<std::size_t>(place.length) - 1, '~');
  return fmt::format(" {:>{}} | {}\n {:>{}} | {}\n", place.line, width, shown, "", width, caret);
}

}  // namespace

bool has_errors(const Diagnostics& diagnostics) {
  return std::any_of(diagnostics.begin(), diagnostics.end(),
                     [](const Diagnostic& d) { return d.severity == Severity::error; });
}

std::string diagnostic_text(const Diagnostic& diagnostic) {
  std::string text = fmt::format("{}: {}: {}\n", place_text(diagnostic.place),
                                 diagnostic.severity == Severity::error ? "error" : "warning",
                                 diagnostic.message);
  text += excerpt(diagnostic.place);
  if (!diagnostic.hint.empty()) text += fmt::format("  hint: {}\n", diagnostic.hint);
  if (diagnostic.second) {
    text += fmt::format("  note: {}: {}\n", place_text(diagnostic.second->place),
                        diagnostic.second->message);
    text += excerpt(diagnostic.second->place);
  }
  return text;
}

std::string diagnostics_text(const Diagnostics& diagnostics) {
  std::string text;
  for (const Diagnostic& diagnostic : diagnostics) text += diagnostic_text(diagnostic);
  return text;
}

}  // namespace tautmark
