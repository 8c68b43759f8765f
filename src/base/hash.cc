// SPDX-License-Identifier: Apache-2.0
#include "base/hash.h"

#include <sodium.h>

#include <array>

namespace tautmark {

struct Sha256::State {
  crypto_hash_sha256_state sum;
};

Sha256::Sha256() : state_(std::make_unique<State>()) { crypto_hash_sha256_init(&state_->sum); }
Sha256::~Sha256() = default;

void Sha256::add(std::string_view bytes) {
  crypto_hash_sha256_update(&state_->sum, reinterpret_cast<const unsigned char*>(bytes.data()),
                            bytes.size());
}

std::string Sha256::hex() {
  std::array<unsigned char, crypto_hash_sha256_BYTES> sum{};
  crypto_hash_sha256_final(&state_->sum, sum.data());
  std::array<char, crypto_hash_sha256_BYTES * 2 + 1> hex{};
  sodium_bin2hex(hex.data(), hex.size(), sum.data(), sum.size());
  return hex.data();
}

std::string sha256_hex(std::string_view bytes) {
  Sha256 sum;
  sum.add(bytes);
  return sum.hex();
}

}  // namespace tautmark
