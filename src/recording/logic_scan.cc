// SPDX-License-Identifier: Apache-2.0
#include "recording/logic_scan.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>

#include "base/wide.h"
#include "recording/edges.h"

namespace tautmark {
namespace {

constexpr std::size_t kStride = 1024;  // bytes looked at before the first question

std::uint64_t sample_at(const char* p, std::size_t unit) {
  std::uint64_t sample = 0;
  for (std::size_t i = unit; i-- > 0;) sample = sample << 8U | static_cast<unsigned char>(p[i]);
  return sample;
}

// Whether any of the kStride bytes differs from the pattern.
TAUTMARK_WIDE bool differs(const char* p, std::uint64_t pattern) {
  std::uint64_t changed = 0;
  for (std::size_t i = 0; i < kStride; i += sizeof pattern) {
    std::uint64_t here = 0;
    std::memcpy(&here, p + i, sizeof here);
    changed |= here ^ pattern;
  }
  return changed != 0;
}

// The same against the byte `unit` before each: for samples of 3, 5, 6 or 7 bytes.
TAUTMARK_WIDE bool changes(const char* p, std::size_t unit) {
  std::uint64_t changed = 0;
  for (std::size_t i = 0; i < kStride; i += sizeof changed) {
    std::uint64_t here = 0, before = 0;
    std::memcpy(&here, p + i, sizeof here);
    std::memcpy(&before, p + i - unit, sizeof before);
    changed |= here ^ before;
  }
  return changed != 0;
}

// How many of the kStride bytes at `p` are as the byte `unit` before each.
std::size_t steady_bytes(const char* p, std::size_t unit) {
  static_assert(std::endian::native == std::endian::little);
  for (std::size_t i = 0; i < kStride; i += sizeof(std::uint64_t)) {
    std::uint64_t here = 0, before = 0;
    std::memcpy(&here, p + i, sizeof here);
    std::memcpy(&before, p + i - unit, sizeof before);
    if (here != before) return i + static_cast<std::size_t>(std::countr_zero(here ^ before)) / 8;
  }
  return kStride;
}

}  // namespace

LogicScan::LogicScan(std::size_t unit, double step, std::vector<SignalTrain>& trains)
    : unit_(unit), step_(step), trains_(&trains) {
  mask_ = trains.size() >= 64 ? ~std::uint64_t{0} : (std::uint64_t{1} << trains.size()) - 1;
}

void LogicScan::take(const char* sample) {
  const std::uint64_t now = sample_at(sample, unit_) & mask_;
  std::uint64_t changed = samples_ == 0 ? 0 : now ^ last_;
  for (; changed != 0; changed &= changed - 1) {
    const auto channel = static_cast<std::size_t>(std::countr_zero(changed));
    const bool is_high = (now >> channel & 1U) != 0;
    (*trains_)[channel].edges.push_back({(static_cast<double>(samples_) - 0.5) * step_,
                                         static_cast<std::int8_t>(is_high ? 1 : -1)});
    ++edges_;
  }
  last_ = now;
  ++samples_;
}

void LogicScan::whole_samples(const char* p, const char* end) {
  if (p == end) return;
  take(p);
  p += unit_;
  const bool repeats = std::has_single_bit(unit_);  // a sample fills a pattern of eight bytes
  std::uint64_t pattern = 0;
  while (static_cast<std::size_t>(end - p) >= kStride) {
    for (std::size_t i = 0; repeats && i < sizeof pattern; i += unit_)
      std::memcpy(reinterpret_cast<char*>(&pattern) + i, p - unit_, unit_);
    const char* const from = p;
    while (static_cast<std::size_t>(end - p) >= kStride &&
           !(repeats ? differs(p, pattern) : changes(p, unit_)))
      p += kStride / unit_ * unit_;
    if (static_cast<std::size_t>(end - p) >= kStride) p += steady_bytes(p, unit_) / unit_ * unit_;
    samples_ += (p - from) / static_cast<std::ptrdiff_t>(unit_);
    if (p == end) return;
    take(p);
    p += unit_;
  }
  for (; p < end; p += unit_) take(p);
}

void LogicScan::feed(std::string_view bytes) {
  if (!rest_.empty()) {
    const std::size_t wanted = std::min(unit_ - rest_.size(), bytes.size());
    rest_ += bytes.substr(0, wanted);
    bytes.remove_prefix(wanted);
    if (rest_.size() < unit_) return;
    take(rest_.data());
    rest_.clear();
  }
  const std::size_t whole = bytes.size() / unit_ * unit_;
  whole_samples(bytes.data(), bytes.data() + whole);
  rest_ = bytes.substr(whole);
}

std::vector<SignalTrain> logic_trains(std::size_t channels, double step) {
  std::vector<SignalTrain> trains(channels);
  for (std::size_t c = 0; c < channels; ++c) {
    trains[c].channel = static_cast<int>(c) + 1;
    trains[c].time_uncertainty = step / std::sqrt(12.0);
  }
  return trains;
}

void finish_logic_trains(std::vector<SignalTrain>& trains) {
  for (SignalTrain& train : trains) {
    if (train.edges.empty()) train.kind = SignalKind::dead;
    train.glitches = drop_glitches(train.edges);
  }
}

}  // namespace tautmark
