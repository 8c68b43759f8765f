// SPDX-License-Identifier: Apache-2.0
// What cmake/TmEmbed.cmake leaves in the program.
#pragma once

#include <span>
#include <string_view>

namespace tautmark {

struct EmbeddedFile {
  std::string_view path, type, etag;
  const char *begin, *end;

  [[nodiscard]] std::string_view bytes() const {
    return {begin, static_cast<std::size_t>(end - begin)};
  }
};
std::span<const EmbeddedFile> embedded_page();  // used through assets.h
std::span<const EmbeddedFile> embedded_demo();  // demo cases, and the drives they stand on

}  // namespace tautmark
