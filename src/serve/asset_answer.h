// SPDX-License-Identifier: Apache-2.0
// How a file of the page is sent: packed where the browser takes it, and kept by the browser for as
// long as that is safe.
#pragma once

#include <functional>
#include <string>
#include <string_view>

#include "http/http.h"
#include "serve/assets.h"

namespace tautmark {

// Accept-Encoding (RFC 9110, section 12.5.3) names gzip, and not with the weight 0.
bool accepts_gzip(std::string_view accept_encoding);

// "/code/case-B7x_9aQk.js": the name holds a hash of the content, so it never becomes another file.
bool is_named_by_content(std::string_view path);

// gzip (RFC 1952), the same bytes for the same text.
std::string gzip_of(std::string_view bytes);

// ETag, Cache-Control, and gzip where it is smaller; 304 for what the browser has already. Packs
// when it is called, not when it answers.
std::function<Response(Request&)> asset_handler(const Asset& asset);

}  // namespace tautmark
