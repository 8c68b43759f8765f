// SPDX-License-Identifier: Apache-2.0
#include "http/head_scan.h"

namespace tautmark {

namespace {

constexpr std::size_t kMostFirstLine = kMostTarget + 32;  // method, blanks, version

bool refused(std::string_view bytes, std::size_t i) {
  const char c = bytes[i], before = i ? bytes[i - 1] : '\0';
  if (i == 0) return !is_token_character(c);
  if ((c == '\n') != (before == '\r')) return true;
  if (before == '\n' && (c == ' ' || c == '\t')) return true;  // a folded line
  return (static_cast<unsigned char>(c) < 0x20 && c != '\t' && c != '\r' && c != '\n') || c == 0x7f;
}

}  // namespace

bool is_token_character(char c) {
  return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
         (c != '\0' && std::string_view("!#$%&'*+-.^_`|~").find(c) != std::string_view::npos);
}

HeadScan scan_head(std::string_view bytes, std::size_t seen) {
  bool in_first_line = bytes.substr(0, seen).find('\n') == std::string_view::npos;
  for (std::size_t i = seen; i < bytes.size(); ++i) {
    if (refused(bytes, i)) return {400, 0};
    if (in_first_line && i >= kMostFirstLine) return {414, 0};
    if (i >= kMostHead) return {431, 0};
    if (bytes[i] != '\n') continue;
    in_first_line = false;
    if (i >= 3 && bytes[i - 2] == '\n') return {0, i + 1};
  }
  return {};
}

}  // namespace tautmark
