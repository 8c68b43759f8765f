// SPDX-License-Identifier: Apache-2.0
// Small text helpers that every reader needs.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace tautmark {

std::string_view trimmed(std::string_view text);
// There, and not blank.
bool is_said(const std::optional<std::string>& text);
std::vector<std::string> split(std::string_view text, char separator);
std::string joined(std::span<const std::string> parts, std::string_view separator);
std::string lower_ascii(std::string_view text);
// Lower case, runs of blanks folded to one, trimmed: how names are compared.
std::string folded(std::string_view text);
// Folded, without the s of a plural: "phaser bolts" is "phaser bolt".
std::string singular(std::string_view name);

// Characters (code points), not bytes. Invalid bytes count as one each.
std::size_t character_count(std::string_view utf8);
// Byte offset of the first invalid UTF-8 sequence, or npos-like: empty when all is valid.
std::optional<std::size_t> first_invalid_utf8(std::string_view text);

// Counted in halves: "half a tooth", "1 tooth", "2.5 teeth" for 1, 2 and 5 halves of tooth, teeth.
std::string halves_text(int halves, std::string_view one, std::string_view many);

// The nearest of `known` when it is near enough to be a slip of the keyboard.
std::optional<std::string> nearest(std::string_view word, std::span<const std::string> known);

// Every `from` in the text becomes `to`.
std::string replaced(std::string_view text, std::string_view from, std::string_view to);

}  // namespace tautmark
