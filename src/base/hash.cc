// SPDX-License-Identifier: Apache-2.0
#include "base/hash.h"

#include <sodium.h>

#include <array>

namespace tautmark {

std::string sha256_hex(std::string_view bytes) {
  std::array<unsigned char, crypto_hash_sha256_BYTES> sum{};
  crypto_hash_sha256(sum.data(), reinterpret_cast<const unsigned char*>(bytes.data()),
                     bytes.size());
  std::array<char, crypto_hash_sha256_BYTES * 2 + 1> hex{};
  sodium_bin2hex(hex.data(), hex.size(), sum.data(), sum.size());
  return hex.data();
}

}  // namespace tautmark
