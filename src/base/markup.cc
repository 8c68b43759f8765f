// SPDX-License-Identifier: Apache-2.0
#include "base/markup.h"

#include "base/text.h"

namespace tautmark {
namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";
constexpr std::string_view kNoCharacters[] = {"\xEF\xBF\xBE", "\xEF\xBF\xBF"};  // U+FFFE, U+FFFF

void add_escaped(std::string& out, char c) {
  switch (c) {
    case '&':
      out += "&amp;";
      return;
    case '<':
      out += "&lt;";
      return;
    case '>':
      out += "&gt;";
      return;
    case '"':
      out += "&quot;";
      return;
    case '\'':
      out += "&#39;";
      return;
    default:
      break;
  }
  const bool is_control = static_cast<unsigned char>(c) < 0x20 && c != '\n' && c != '\t';
  if (is_control) {
    out += kReplacement;
  } else {
    out += c;
  }
}

// All broken bytes replaced.
std::string valid_utf8(std::string_view text) {
  std::string out;
  while (const auto bad = first_invalid_utf8(text)) {
    out += text.substr(0, *bad);
    out += kReplacement;
    text.remove_prefix(*bad + 1);
  }
  out += text;
  for (const std::string_view no_character : kNoCharacters)
    out = replaced(out, no_character, kReplacement);
  return out;
}

}  // namespace

std::string escaped(std::string_view text) {
  std::string out;
  out.reserve(text.size() + text.size() / 8);
  for (const char c : valid_utf8(text)) add_escaped(out, c);
  return out;
}

}  // namespace tautmark
