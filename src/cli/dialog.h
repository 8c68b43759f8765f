// SPDX-License-Identifier: Apache-2.0
// Questions on standard error, answers from standard input, one per line.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace tautmark::cli {

void say(std::string_view text);

// Shows the prompt and reads one line, without blanks at its ends. Empty: no more input.
std::optional<std::string> read_answer(std::string_view prompt);

}  // namespace tautmark::cli
