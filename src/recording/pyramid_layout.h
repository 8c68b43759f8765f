// SPDX-License-Identifier: Apache-2.0
// The bytes of a pyramid file, docs/formats/wave.md. Little endian.
#pragma once

#include <bit>
#include <cstdint>

namespace tautmark {

static_assert(std::endian::native == std::endian::little, "the file is little endian");

inline constexpr char kPyramidMagic[8] = {'T', 'M', 'P', 'Y', 'R', 'A', '1', '\n'};
inline constexpr std::uint32_t kHasTimes = 1, kHolds = 2;
inline constexpr std::int64_t kPyramidFactor = 16;

struct PyramidHeader {
  char magic[8];
  std::uint32_t flags;
  std::uint32_t factor;
  std::int64_t samples;
  double start, step;  // s, where samples carry no times
  double first_time, last_time;
  std::int64_t reserved;  // 0
};
static_assert(sizeof(PyramidHeader) == 64);

// Level 0: float, or double and float without a gap where samples carry their times; then filled
// up to a multiple of 8. Level 1 and above: pairs of float.
constexpr std::int64_t sample_bytes(bool has_times) { return has_times ? 12 : 4; }
constexpr std::int64_t level_zero_bytes(std::int64_t samples, bool has_times) {
  return (samples * sample_bytes(has_times) + 7) / 8 * 8;
}
constexpr std::int64_t blocks_above(std::int64_t count) {
  return (count + kPyramidFactor - 1) / kPyramidFactor;
}
inline constexpr std::int64_t kExtremeBytes = 8;

}  // namespace tautmark
