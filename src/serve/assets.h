// SPDX-License-Identifier: Apache-2.0
// The files of the page, part of the program (cmake/TmEmbed.cmake).
#pragma once

#include <string_view>
#include <vector>

namespace tautmark {

struct Asset {
  std::string_view path;   // "/index.html"
  std::string_view type;   // "text/html; charset=utf-8"
  std::string_view etag;   // in its quotes; changes with the bytes
  std::string_view bytes;  // for as long as the program runs
};

std::vector<Asset> all_assets();

}  // namespace tautmark
