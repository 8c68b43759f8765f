// SPDX-License-Identifier: Apache-2.0
// A small random generator with the same numbers on every machine and with every standard library:
// xoshiro256** 1.0 (Blackman and Vigna), its state filled by splitmix64 from one seed.
// The distributions of <random> are not fixed by the standard and differ between libraries.
#pragma once

#include <array>
#include <cmath>
#include <cstdint>

namespace tautmark {

class RandomGenerator {
 public:
  explicit RandomGenerator(std::uint64_t seed) {
    for (std::uint64_t& word : state_) {
      seed += 0x9e3779b97f4a7c15;
      std::uint64_t z = seed;
      z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9;
      z = (z ^ (z >> 27)) * 0x94d049bb133111eb;
      word = z ^ (z >> 31);
    }
  }

  std::uint64_t bits() {
    const std::uint64_t result = rotated_left(state_[1] * 5, 7) * 9;
    const std::uint64_t t = state_[1] << 17;
    state_[2] ^= state_[0];
    state_[3] ^= state_[1];
    state_[1] ^= state_[2];
    state_[0] ^= state_[3];
    state_[2] ^= t;
    state_[3] = rotated_left(state_[3], 45);
    return result;
  }

  // Uniform in [0, 1), 53 bits.
  double uniform() { return static_cast<double>(bits() >> 11) * 0x1p-53; }
  // Uniform in [-1, 1).
  double symmetric() { return 2 * uniform() - 1; }
  // Standard normal by the polar method, one of its two values used: no hidden state.
  double normal() {
    for (;;) {
      const double x = symmetric();
      const double y = symmetric();
      const double square = x * x + y * y;
      if (square > 0 && square < 1) return x * std::sqrt(-2 * std::log(square) / square);
    }
  }

 private:
  static constexpr std::uint64_t rotated_left(std::uint64_t x, int k) {
    return (x << k) | (x >> (64 - k));
  }

  std::array<std::uint64_t, 4> state_{};
};

}  // namespace tautmark
