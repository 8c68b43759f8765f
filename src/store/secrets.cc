// SPDX-License-Identifier: Apache-2.0
#include "store/secrets.h"

#include <sodium.h>

#include <array>
#include <chrono>
#include <semaphore>
#include <stdexcept>

#include "base/hash.h"

namespace tautmark {
namespace {

constexpr auto kLongestWait = std::chrono::seconds(5);
constexpr std::size_t kTokenBytes = 32;
constexpr std::size_t kLongestToken = 100;
// Base 32 of Douglas Crockford: without I, L, O and U.
constexpr std::string_view kCodeLetters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
constexpr std::size_t kCodeLength = 8;

// Two at once in the whole program: memory and processor stay bounded however many try.
class Turn {
 public:
  Turn() : has_it_(turns().try_acquire_for(kLongestWait)) {}
  Turn(const Turn&) = delete;
  Turn& operator=(const Turn&) = delete;
  ~Turn() {
    if (has_it_) turns().release();
  }
  [[nodiscard]] bool has_it() const { return has_it_; }

 private:
  static std::counting_semaphore<2>& turns() {
    static std::counting_semaphore<2> turns(2);
    return turns;
  }
  bool has_it_;
};

auto too_many() {
  return store_error(StoreTrouble::busy,
                     "too many people are logging in at once; try again in a moment");
}

void start_sodium() {
  static const int kStarted = sodium_init();
  if (kStarted < 0) throw std::runtime_error("libsodium does not start");
}

Stored<std::string> hashed(std::string_view secret) {
  std::array<char, crypto_pwhash_STRBYTES> hash{};
  if (crypto_pwhash_str(hash.data(), secret.data(), secret.size(),
                        crypto_pwhash_OPSLIMIT_INTERACTIVE,
                        crypto_pwhash_MEMLIMIT_INTERACTIVE) != 0)
    return store_error(StoreTrouble::busy, "there is not enough memory to check a password");
  return std::string(hash.data());
}

}  // namespace

Stored<std::string> password_hash(std::string_view secret) {
  start_sodium();
  const Turn turn;
  if (!turn.has_it()) return too_many();
  return hashed(secret);
}

Stored<bool> is_password(const std::string& hash, std::string_view secret) {
  start_sodium();
  const Turn turn;
  if (!turn.has_it()) return too_many();
  if (!hash.starts_with("$argon2id$")) {
    const auto same_cost = hashed(secret);
    if (!same_cost) return tl::make_unexpected(same_cost.error());
    return false;
  }
  return crypto_pwhash_str_verify(hash.c_str(), secret.data(), secret.size()) == 0;
}

std::string new_token() {
  start_sodium();
  std::array<unsigned char, kTokenBytes> bytes{};
  randombytes_buf(bytes.data(), bytes.size());
  constexpr int kKind = sodium_base64_VARIANT_URLSAFE_NO_PADDING;
  std::array<char, sodium_base64_ENCODED_LEN(kTokenBytes, kKind)> text{};
  sodium_bin2base64(text.data(), text.size(), bytes.data(), bytes.size(), kKind);
  std::string token(text.data());
  sodium_memzero(bytes.data(), bytes.size());
  sodium_memzero(text.data(), text.size());
  return token;
}

std::string token_hash(std::string_view token) {
  return sha256_hex(token.substr(0, kLongestToken));
}

std::string new_code() {
  start_sodium();
  std::string code;
  for (std::size_t i = 0; i < kCodeLength; ++i) {
    if (i == kCodeLength / 2) code += '-';
    code += kCodeLetters[randombytes_uniform(static_cast<std::uint32_t>(kCodeLetters.size()))];
  }
  return code;
}

std::string plain_code(std::string_view typed) {
  std::string code;
  for (const char c : typed.substr(0, kLongestToken)) {
    const char upper = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    if (upper == 'O') {
      code += '0';
    } else if (upper == 'I' || upper == 'L') {
      code += '1';
    } else if (upper != ' ' && upper != '-') {
      code += upper;
    }
  }
  return code;
}

}  // namespace tautmark
