// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <memory>
#include <string>
#include <string_view>

namespace tautmark {

// SHA-256 (FIPS 180-4) in lower-case hexadecimal.
std::string sha256_hex(std::string_view bytes);

// The same of bytes that come piece by piece.
class Sha256 {
 public:
  Sha256();
  Sha256(const Sha256&) = delete;
  Sha256& operator=(const Sha256&) = delete;
  ~Sha256();
  void add(std::string_view bytes);
  [[nodiscard]] std::string hex();  // ends it: nothing may be added afterwards

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace tautmark
