// SPDX-License-Identifier: Apache-2.0
// Random numbers that depend on (seed, stream, counter) alone, never on the order in which they are
// asked for: Philox 4x32 with 10 rounds. Source: Salmon, Moraes, Dror, Shaw, "Parallel random
// numbers: as easy as 1, 2, 3", SC11 (2011).
#pragma once

#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace tautmark::recording {

using PhiloxWords = std::array<std::uint32_t, 4>;

constexpr PhiloxWords philox(PhiloxWords counter, std::array<std::uint32_t, 2> key) {
  for (int round = 0; round < 10; ++round) {
    const std::uint64_t a = 0xD2511F53ull * counter[0], b = 0xCD9E8D57ull * counter[2];
    counter = {
        static_cast<std::uint32_t>(b >> 32) ^ counter[1] ^ key[0], static_cast<std::uint32_t>(b),
        static_cast<std::uint32_t>(a >> 32) ^ counter[3] ^ key[1], static_cast<std::uint32_t>(a)};
    key[0] += 0x9E3779B9u;
    key[1] += 0xBB67AE85u;
  }
  return counter;
}

class CounterRandom {
 public:
  explicit CounterRandom(std::uint64_t seed) : seed_(seed) {}

  // Uniform in [0, 1), 53 bits.
  [[nodiscard]] double uniform(std::uint32_t stream, std::uint64_t counter) const {
    const PhiloxWords w = words(stream, counter);
    return number(w[0], w[1]);
  }
  // Standard normal (Box and Muller).
  [[nodiscard]] double normal(std::uint32_t stream, std::uint64_t counter) const {
    const PhiloxWords w = words(stream, counter);
    return std::sqrt(-2 * std::log(1 - number(w[0], w[1]))) *
           std::cos(2 * std::numbers::pi * number(w[2], w[3]));
  }

 private:
  [[nodiscard]] PhiloxWords words(std::uint32_t stream, std::uint64_t counter) const {
    return philox(
        {static_cast<std::uint32_t>(counter), static_cast<std::uint32_t>(counter >> 32), stream, 0},
        {static_cast<std::uint32_t>(seed_), static_cast<std::uint32_t>(seed_ >> 32)});
  }
  static double number(std::uint32_t high, std::uint32_t low) {
    return static_cast<double>((std::uint64_t{high} << 21) ^ (low >> 11)) * 0x1p-53;
  }
  std::uint64_t seed_;
};

}  // namespace tautmark::recording
