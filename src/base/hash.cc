// SPDX-License-Identifier: Apache-2.0
#include "base/hash.h"

#include <sodium.h>

namespace tautmark {
namespace {

using Sum = std::array<unsigned char, crypto_hash_sha256_BYTES>;

const unsigned char* octets(std::string_view bytes) {
  return reinterpret_cast<const unsigned char*>(bytes.data());
}

std::string hex_of(const Sum& sum) {
  std::array<char, crypto_hash_sha256_BYTES * 2 + 1> hex{};
  sodium_bin2hex(hex.data(), hex.size(), sum.data(), sum.size());
  return hex.data();
}

}  // namespace

std::string sha256_hex(std::string_view bytes) {
  Sum sum{};
  crypto_hash_sha256(sum.data(), octets(bytes), bytes.size());
  return hex_of(sum);
}

// The header keeps libsodium out of every file that includes it.
static_assert(sizeof(crypto_hash_sha256_state) <= 128);
static_assert(alignof(crypto_hash_sha256_state) <= 8);

Sha256::Sha256() : state_{} {
  crypto_hash_sha256_init(reinterpret_cast<crypto_hash_sha256_state*>(state_.data()));
}

void Sha256::add(std::string_view bytes) {
  crypto_hash_sha256_update(reinterpret_cast<crypto_hash_sha256_state*>(state_.data()),
                            octets(bytes), bytes.size());
}

std::string Sha256::hex() {
  Sum sum{};
  crypto_hash_sha256_final(reinterpret_cast<crypto_hash_sha256_state*>(state_.data()), sum.data());
  return hex_of(sum);
}

}  // namespace tautmark
