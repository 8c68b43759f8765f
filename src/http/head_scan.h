// SPDX-License-Identifier: Apache-2.0
// Where the head of a request ends, and what in it is refused before the rest of it has come.
// Stricter than a reader of HTTP has to be (RFC 9112, 2.2 and 5.2): a bare line feed, a folded line
// and a control character are 400, since proxies and servers disagree about them.
#pragma once

#include <cstddef>
#include <string_view>

namespace tautmark {

inline constexpr std::size_t kMostHead = 16 * 1024;   // bytes with the empty line; more: 431
inline constexpr std::size_t kMostTarget = 4 * 1024;  // bytes; more: 414

struct HeadScan {
  int refused = 0;       // status; 0: fine so far
  std::size_t size = 0;  // bytes of the head with its empty line; 0: not all here
};

// `seen` bytes were looked at before and were fine.
HeadScan scan_head(std::string_view bytes, std::size_t seen);

// RFC 9110, 5.6.2.
bool is_token_character(char c);

}  // namespace tautmark
