// SPDX-License-Identifier: Apache-2.0
// What is wrong in a text that someone wrote, and where: file:line:column, the line, a caret, a
// hint that can be typed, and the second place when two places disagree. All mistakes of a file are
// collected and reported at once.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <utility>
#include <vector>

namespace tautmark {

// Lines and columns count from 1; columns count characters (not bytes). Line 0: the file as a
// whole.
struct TextPlace {
  std::string file;
  int line = 0;
  int column = 0;
  int length = 1;         // characters under the caret line
  std::string line_text;  // the line itself, for the message
};

struct DiagnosticNote {
  TextPlace place;
  std::string message;
};

enum class Severity { error, warning };

struct Diagnostic {
  Severity severity = Severity::error;
  TextPlace place;
  std::string message;  // what is wrong and what was expected, lower case, no full stop
  std::string hint;     // something that can be typed; may be empty
  std::optional<DiagnosticNote> second;
};

using Diagnostics = std::vector<Diagnostic>;

template <class T>
using Parsed = tl::expected<T, Diagnostics>;

// Past so many mistakes of a file the next ones help nobody, and a hostile file must not fill the
// memory with them.
inline constexpr std::size_t kMostDiagnostics = 200;

// A message that quotes a text of some megabytes helps nobody: cut to a length that is read.
std::string clipped(std::string text);

bool has_errors(const Diagnostics& diagnostics);

// Adds one; past kMostDiagnostics of its severity a single line says that there are more.
void add_diagnostic(Diagnostics& diagnostics, Diagnostic diagnostic);
// In the order of the file, which is how they are mended; the same one twice is said once. Files
// stay in the order in which they were met.
void sort_by_place(Diagnostics& diagnostics);

// "jobs/a.yaml:41:16: error: valve lash 0.22 has no unit", the line, the caret, the hint, the note.
std::string diagnostic_text(const Diagnostic& diagnostic);
std::string diagnostics_text(const Diagnostics& diagnostics);

// A model asked outside its range, or without an input: a normal answer, not a failure.
struct Refusal {
  std::string why;
};

template <class T>
using Result = tl::expected<T, Refusal>;
inline tl::unexpected<Refusal> refuse(std::string why) {
  return tl::make_unexpected(Refusal{std::move(why)});
}

}  // namespace tautmark
