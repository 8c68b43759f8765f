// SPDX-License-Identifier: Apache-2.0
#include "http/target.h"

#include <algorithm>

#include "base/text.h"

namespace tautmark {

namespace {

int hex_digit(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

// C0, DEL, and C1 (U+0080 to U+009F, C2 80 to C2 9F in UTF-8).
bool has_control_character(std::string_view text) {
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto c = static_cast<unsigned char>(text[i]);
    if (c < 0x20 || c == 0x7f) return true;
    if (c == 0xc2 && i + 1 < text.size() && static_cast<unsigned char>(text[i + 1]) < 0xa0)
      return true;
  }
  return false;
}

bool has_dots(std::string_view path) {
  const auto parts = split(path, '/');
  return std::ranges::any_of(parts, [](const auto& part) { return part == "." || part == ".."; });
}

tl::expected<std::string, std::string> decoded(std::string_view text, bool plus_is_blank) {
  auto plain = percent_decoded(text, plus_is_blank);
  if (!plain) return tl::make_unexpected("The address holds a % without two digits behind it.");
  if (first_invalid_utf8(*plain)) return tl::make_unexpected("The address is not in UTF-8.");
  if (has_control_character(*plain))
    return tl::make_unexpected("The address holds a control character.");
  return std::move(*plain);
}

}  // namespace

std::optional<std::string> percent_decoded(std::string_view text, bool plus_is_blank) {
  std::string plain;
  plain.reserve(text.size());
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] != '%') {
      plain += text[i] == '+' && plus_is_blank ? ' ' : text[i];
      continue;
    }
    if (i + 2 >= text.size()) return std::nullopt;
    const int high = hex_digit(text[i + 1]), low = hex_digit(text[i + 2]);
    if (high < 0 || low < 0) return std::nullopt;
    plain += static_cast<char>(high * 16 + low);
    i += 2;
  }
  return plain;
}

tl::expected<Target, std::string> read_target(std::string_view target) {
  if (!target.starts_with('/')) return tl::make_unexpected("The address must begin with a slash.");
  for (const char c : target)
    if (c <= ' ' || c >= 0x7f || c == '#')
      return tl::make_unexpected("The address holds a character that must be written with %.");

  Target result;
  const std::size_t mark = target.find('?');
  const auto path = decoded(target.substr(0, mark), false);
  if (!path) return tl::make_unexpected(path.error());
  const std::string_view written = target.substr(0, mark);
  if (std::ranges::count(*path, '/') != std::ranges::count(written, '/') ||
      path->find('\\') != std::string::npos)
    return tl::make_unexpected("A part of the address holds a slash.");
  if (path->find("//") != std::string::npos || has_dots(*path))
    return tl::make_unexpected("The address holds \"..\", \".\" or an empty part.");
  result.path = *path;
  if (mark == std::string_view::npos) return result;

  for (const std::string& pair : split(target.substr(mark + 1), '&')) {
    if (pair.empty()) continue;
    const std::size_t equals = pair.find('=');
    const auto key = decoded(std::string_view(pair).substr(0, equals), true);
    if (!key) return tl::make_unexpected(key.error());
    const auto value = equals == std::string::npos
                           ? std::string{}
                           : decoded(std::string_view(pair).substr(equals + 1), true);
    if (!value) return tl::make_unexpected(value.error());
    result.query[*key] = *value;
  }
  return result;
}

}  // namespace tautmark
