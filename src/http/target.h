// SPDX-License-Identifier: Apache-2.0
// The target of a request, "/api/cases/x%20y?q=a": what is decoded, and what is refused before
// anybody looks at it.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>

namespace tautmark {

// RFC 3986, 2.1. Empty: a % without two hexadecimal digits. Decoded once, never twice.
std::optional<std::string> percent_decoded(std::string_view text, bool plus_is_blank = false);

struct Target {
  std::string path;                          // "/api/cases/x y"
  std::map<std::string, std::string> query;  // the last of a repeated key
};

// Only "/path" and "/path?query". Refused, as written and as decoded: control characters, invalid
// UTF-8, parts "." and "..", "//", "\" and "/" written as %2F. The error is a sentence.
tl::expected<Target, std::string> read_target(std::string_view target);

}  // namespace tautmark
