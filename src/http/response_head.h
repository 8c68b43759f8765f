// SPDX-License-Identifier: Apache-2.0
// The head of a response with what every response of ours carries.
#pragma once

#include <cstdint>
#include <ctime>
#include <optional>
#include <string>

#include "http/http.h"

namespace tautmark {

enum class Framing { length, chunks, until_close, none };  // none: 1xx, 204, 304

// Of a handler's own headers those are left out that the server decides (framing, security, all of
// cross-origin access, which is never given) or that hold a control character. Cache-Control is
// the handler's; without it nothing under /api is kept.
struct HeadFacts {
  Framing framing = Framing::length;
  std::int64_t length = 0;
  bool close = false;
  bool is_api = true;
  std::time_t now = 0;
};
std::string response_head(const Response& response, const HeadFacts& facts);

// "Sun, 06 Nov 1994 08:49:37 GMT" (RFC 9110, 5.6.7), in every locale.
std::string http_date(std::time_t time);

std::string_view status_words(int status);

}  // namespace tautmark
