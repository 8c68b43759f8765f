// SPDX-License-Identifier: Apache-2.0
// What every fuzz target asks of a reader.
#pragma once

#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>

#include "base/diagnostic.h"
#include "base/text.h"

namespace tautmark::fuzz {

[[noreturn]] inline void fail(std::string_view what, const std::string& details = {}) {
  std::fprintf(stderr, "%.*s\n%s\n", static_cast<int>(what.size()), what.data(), details.c_str());
  std::abort();
}

inline void require(bool holds, std::string_view what, const std::string& details = {}) {
  if (!holds) fail(what, details);
}

// A rejection says what and where, in text that a terminal may get.
inline void check_rejection(const Diagnostics& diagnostics) {
  require(has_errors(diagnostics), "rejected without an error");
  const std::string text = diagnostics_text(diagnostics);
  require(!first_invalid_utf8(text), "a message that is no text", text);
  require(text.find('\x1b') == std::string::npos, "a message that a terminal obeys", text);
  require(diagnostics.size() <= 2 * (kMostDiagnostics + 1), "too many messages");
  for (const Diagnostic& diagnostic : diagnostics) {
    require(!diagnostic.message.empty(), "an empty message");
    const bool is_summary = diagnostic.message.starts_with("more than ");
    require(diagnostic.place.line > 0 || is_summary, "an error without a line", text);
    require(diagnostic.place.column > 0 || is_summary, "an error without a column", text);
  }
}

}  // namespace tautmark::fuzz
