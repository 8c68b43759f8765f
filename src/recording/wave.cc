// SPDX-License-Identifier: Apache-2.0
#include "recording/wave.h"

#include <bit>
#include <string_view>

namespace tautmark {
namespace {

static_assert(std::endian::native == std::endian::little, "the answer is little endian");

constexpr std::string_view kMagic = "TMWAVE1\n";
constexpr std::uint32_t kSamples = 1, kHolds = 2;

template <class T>
void put(std::string& out, const T* first, std::size_t count) {
  out.append(reinterpret_cast<const char*>(first), count * sizeof(T));
}

}  // namespace

std::string wave_bytes(const Wave& wave) {
  const std::uint32_t head[] = {
      (wave.has_samples ? kSamples : 0) | (wave.holds ? kHolds : 0),
      static_cast<std::uint32_t>(wave.has_samples ? wave.values.size() : wave.bins.size())};
  const double facts[] = {wave.from, wave.to, wave.first_time, wave.last_time,
                          static_cast<double>(wave.samples)};
  std::string out(kMagic);
  put(out, head, 2);
  put(out, facts, 5);
  put(out, wave.times.data(), wave.times.size());
  put(out, wave.values.data(), wave.values.size());
  put(out, wave.bins.data(), wave.bins.size());
  return out;
}

}  // namespace tautmark
