// SPDX-License-Identifier: Apache-2.0
// What cmake/TmEmbed.cmake leaves in the program; used through assets.h.
#pragma once

#include <span>
#include <string_view>

namespace tautmark {

struct EmbeddedFile {
  std::string_view path, type, etag;
  const char *begin, *end;
};
std::span<const EmbeddedFile> embedded_files();

}  // namespace tautmark
