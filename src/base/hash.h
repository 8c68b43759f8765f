// SPDX-License-Identifier: Apache-2.0
// SHA-256 (FIPS 180-4), always shown as 64 lower-case hexadecimal digits.
#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <string_view>

namespace tautmark {

std::string sha256_hex(std::string_view bytes);

// The same of bytes that come piece by piece.
class Sha256 {
 public:
  Sha256();
  void add(std::string_view bytes);
  std::string hex();  // ends it: add nothing after this

 private:
  alignas(8) std::array<std::byte, 128> state_;
};

}  // namespace tautmark
