// SPDX-License-Identifier: Apache-2.0
#include "recording/logic_scan.h"

#include <algorithm>
#include <bit>
#include <cstring>

namespace tautmark {
namespace {

constexpr std::size_t kStride = 512;  // bytes looked at before the first question

std::uint64_t sample_at(const char* p, std::size_t unit) {
  std::uint64_t sample = 0;
  for (std::size_t i = unit; i-- > 0;) sample = sample << 8U | static_cast<unsigned char>(p[i]);
  return sample;
}

// Whether any of the kStride bytes at `p` differs from the byte `unit` before it. Written so that
// the compiler makes vector code of it.
bool any_change(const char* p, std::size_t unit) {
  std::uint64_t changed = 0;
  for (std::size_t i = 0; i < kStride; i += sizeof(std::uint64_t)) {
    std::uint64_t here = 0, before = 0;
    std::memcpy(&here, p + i, sizeof here);
    std::memcpy(&before, p + i - unit, sizeof before);
    changed |= here ^ before;
  }
  return changed != 0;
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
  const std::size_t stride = kStride / unit_ * unit_;
  while (static_cast<std::size_t>(end - p) >= kStride) {
    if (!any_change(p, unit_)) {
      p += stride;
      samples_ += static_cast<std::int64_t>(stride / unit_);
    } else {
      for (const char* const stop = p + stride; p < stop; p += unit_) take(p);
    }
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

}  // namespace tautmark
