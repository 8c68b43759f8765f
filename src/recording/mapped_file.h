// SPDX-License-Identifier: Apache-2.0
// A file mapped into memory, read only.
#pragma once

#include <memory>
#include <string>
#include <string_view>

#include "base/diagnostic.h"

namespace tautmark {

struct Unmap {
  std::size_t size = 0;
  void operator()(const char* begin) const;
};

class MappedFile {
 public:
  // Empty when the file cannot be opened or is not a regular file.
  static Result<MappedFile> open(const std::string& path);

  [[nodiscard]] std::string_view bytes() const {
    return mapping_ ? std::string_view(mapping_.get(), mapping_.get_deleter().size)
                    : std::string_view();
  }

 private:
  std::unique_ptr<const char, Unmap> mapping_;  // empty for an empty file
};

}  // namespace tautmark
