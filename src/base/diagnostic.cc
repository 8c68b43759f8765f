// SPDX-License-Identifier: Apache-2.0
#include "base/diagnostic.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <tuple>

#include "base/text.h"

namespace tautmark {
namespace {

constexpr std::size_t kMaxShownLine = 160;  // of a longer line a window around the place is shown
constexpr std::size_t kShownBefore = 60;    // characters of the window in front of the place

std::string place_text(const TextPlace& place) {
  if (place.line <= 0) return place.file;
  return fmt::format("{}:{}:{}", place.file, place.line, std::max(1, place.column));
}

// `count` characters of `text` from character `first`.
std::string_view characters(std::string_view text, std::size_t first, std::size_t count) {
  const auto bytes = [](std::string_view rest, std::size_t wanted) {
    std::size_t at = 0;
    for (std::size_t n = 0; n < wanted && at < rest.size(); ++n) {
      ++at;
      while (at < rest.size() && (static_cast<unsigned char>(rest[at]) & 0xC0U) == 0x80U) ++at;
    }
    return at;
  };
  text.remove_prefix(bytes(text, first));
  return text.substr(0, bytes(text, count));
}

// A terminal gets text only: whatever else stands in the line is shown as one ? per character.
std::string printable(std::string text) {
  for (std::size_t at = 0; at < text.size();) {
    const auto bad = first_invalid_utf8(std::string_view(text).substr(at));
    if (!bad) break;
    at += *bad;
    text[at++] = '?';
  }
  for (char& c : text) {
    if (c == '\t') c = ' ';
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) c = '?';
  }
  return text;
}

// The line and a caret under the place; empty when the line is unknown.
std::string excerpt(const TextPlace& place) {
  if (place.line <= 0 || place.line_text.empty()) return {};
  std::string shown = printable(place.line_text);
  auto before = static_cast<std::size_t>(std::max(1, place.column)) - 1;
  const std::size_t count = character_count(shown);
  if (count > kMaxShownLine) {
    const std::size_t first = before > kShownBefore ? before - kShownBefore : 0;
    const std::string window(characters(shown, first, kMaxShownLine));
    shown = (first > 0 ? "…" : "") + window + (first + kMaxShownLine < count ? "…" : "");
    before = before - first + (first > 0 ? 1 : 0);
  }
  const auto width = std::max<std::size_t>(4, std::to_string(place.line).size());
  const std::size_t room = character_count(shown);
  const auto length = static_cast<std::size_t>(std::max(1, place.length));
  std::string caret(before, ' ');
  caret += '^';
  if (before < room) caret += std::string(std::min(length, room - before) - 1, '~');
  return fmt::format(" {:>{}} | {}\n {:>{}} | {}\n", place.line, width, shown, "", width, caret);
}

bool same_place(const TextPlace& a, const TextPlace& b) {
  return a.file == b.file && a.line == b.line && a.column == b.column;
}

}  // namespace

std::string clipped(std::string text) {
  constexpr std::size_t kMostBytes = 700;
  if (text.size() <= kMostBytes) return text;
  std::size_t end = kMostBytes;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
  return text.substr(0, end) + "…";
}

bool has_errors(const Diagnostics& diagnostics) {
  return std::any_of(diagnostics.begin(), diagnostics.end(),
                     [](const Diagnostic& d) { return d.severity == Severity::error; });
}

void add_diagnostic(Diagnostics& diagnostics, Diagnostic diagnostic) {
  const auto count = static_cast<std::size_t>(
      std::count_if(diagnostics.begin(), diagnostics.end(),
                    [&](const Diagnostic& d) { return d.severity == diagnostic.severity; }));
  if (count > kMostDiagnostics) return;
  if (count == kMostDiagnostics) {
    const bool is_error = diagnostic.severity == Severity::error;
    diagnostic.place = {.file = diagnostic.place.file, .line_text = {}};
    diagnostic.message = fmt::format("more than {} {}; the rest is not listed", kMostDiagnostics,
                                     is_error ? "mistakes" : "warnings");
    diagnostic.hint.clear();
    diagnostic.second.reset();
  }
  diagnostic.message = clipped(std::move(diagnostic.message));
  diagnostic.hint = clipped(std::move(diagnostic.hint));
  diagnostics.push_back(std::move(diagnostic));
}

void sort_by_place(Diagnostics& diagnostics) {
  std::vector<std::string> files;
  for (const Diagnostic& d : diagnostics)
    if (std::find(files.begin(), files.end(), d.place.file) == files.end())
      files.push_back(d.place.file);
  const auto order = [&](const Diagnostic& d) {
    const auto file = std::find(files.begin(), files.end(), d.place.file) - files.begin();
    const int line = d.place.line > 0 ? d.place.line : std::numeric_limits<int>::max();
    return std::tuple(file, line, d.place.column);
  };
  std::stable_sort(diagnostics.begin(), diagnostics.end(),
                   [&](const Diagnostic& a, const Diagnostic& b) { return order(a) < order(b); });
  const auto same = [](const Diagnostic& a, const Diagnostic& b) {
    return a.severity == b.severity && same_place(a.place, b.place) && a.message == b.message;
  };
  diagnostics.erase(std::unique(diagnostics.begin(), diagnostics.end(), same), diagnostics.end());
}

std::string diagnostic_text(const Diagnostic& diagnostic) {
  std::string text =
      fmt::format("{}: {}: {}\n", place_text(diagnostic.place),
                  diagnostic.severity == Severity::error ? "error" : "warning", diagnostic.message);
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
