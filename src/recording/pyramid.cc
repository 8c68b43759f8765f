// SPDX-License-Identifier: Apache-2.0
#include "recording/pyramid.h"

#include <fmt/format.h>
#include <sys/mman.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>

#include "recording/pyramid_layout.h"

namespace tautmark {
namespace {

constexpr float kNone = std::numeric_limits<float>::quiet_NaN();

void widen(WaveBin& bin, const WaveBin& by) {
  bin.low = std::fmin(bin.low, by.low);  // the number, where one is NaN
  bin.high = std::fmax(bin.high, by.high);
}

}  // namespace

Result<Pyramid> Pyramid::open(const std::string& path) {
  auto file = MappedFile::open(path);
  if (!file) return tl::unexpected(file.error());
  const std::string_view bytes = file->bytes();
  const auto refuse = [](const char* why) { return tl::unexpected(Refusal{why}); };
  PyramidHeader header;
  if (bytes.size() < sizeof header) return refuse("too short for a file of samples");
  std::memcpy(&header, bytes.data(), sizeof header);
  if (std::memcmp(header.magic, kPyramidMagic, sizeof kPyramidMagic) != 0 ||
      header.factor != kPyramidFactor || (header.flags & ~(kHasTimes | kHolds)) != 0)
    return refuse("not a file of samples, or of another version");
  Pyramid pyramid;
  pyramid.has_times_ = (header.flags & kHasTimes) != 0;
  pyramid.holds_ = (header.flags & kHolds) != 0;
  pyramid.samples_ = header.samples;
  pyramid.start_ = header.start;
  pyramid.step_ = header.step;
  pyramid.first_time_ = header.first_time;
  pyramid.last_time_ = header.last_time;
  if (header.samples < 1 || header.samples > kMostSamples ||
      !(std::isfinite(header.first_time) && std::isfinite(header.last_time)) ||
      !(pyramid.has_times_ || (header.step > 0 && std::isfinite(header.step))))
    return refuse("the head of the file of samples is damaged");
  std::int64_t at = static_cast<std::int64_t>(sizeof header) +
                    level_zero_bytes(header.samples, pyramid.has_times_);
  for (std::int64_t count = header.samples; count > 1; at += count * kExtremeBytes) {
    count = blocks_above(count);
    if (at > static_cast<std::int64_t>(bytes.size())) break;
    pyramid.levels_.push_back(bytes.data() + at);
  }
  if (at != static_cast<std::int64_t>(bytes.size()))
    return refuse("the file of samples is cut off");
  ::madvise(const_cast<char*>(bytes.data()), bytes.size(), MADV_RANDOM);
  pyramid.file_ = std::move(*file);
  return pyramid;
}

double Pyramid::time(std::int64_t i) const {
  if (!has_times_) return start_ + static_cast<double>(i) * step_;
  double time = 0;
  std::memcpy(&time, file_.bytes().data() + sizeof(PyramidHeader) + i * sample_bytes(true),
              sizeof time);
  return time;
}

float Pyramid::value(std::int64_t i) const {
  const std::int64_t size = sample_bytes(has_times_);
  float value = 0;
  std::memcpy(&value, file_.bytes().data() + sizeof(PyramidHeader) + (i + 1) * size - 4,
              sizeof value);
  return value;
}

// By halving; the times are in order.
std::int64_t Pyramid::first_not_before(double wanted) const {
  std::int64_t begin = 0, end = samples_;
  while (begin < end) {
    const std::int64_t middle = begin + (end - begin) / 2;
    if (time(middle) < wanted)
      begin = middle + 1;
    else
      end = middle;
  }
  return begin;
}

std::int64_t Pyramid::first_after(double wanted) const {
  return first_not_before(std::nextafter(wanted, std::numeric_limits<double>::infinity()));
}

WaveBin Pyramid::block(std::size_t level, std::int64_t i) const {
  if (level == 0) return {value(i), value(i)};
  WaveBin bin;
  std::memcpy(&bin, levels_[level - 1] + i * kExtremeBytes, sizeof bin);
  return bin;
}

// Up the levels while both ends allow it: at most 15 blocks on either side of each level.
WaveBin Pyramid::extremes(std::int64_t begin, std::int64_t end) const {
  WaveBin bin{kNone, kNone};
  for (std::size_t level = 0; begin < end; ++level) {
    const bool is_top = level == levels_.size();
    while (begin < end && (is_top || begin % kPyramidFactor != 0))
      widen(bin, block(level, begin++));
    while (begin < end && end % kPyramidFactor != 0) widen(bin, block(level, --end));
    begin /= kPyramidFactor;
    end /= kPyramidFactor;
  }
  return bin;
}

// Samples [first, last) lie in the bin from `begin` to `end`.
WaveBin Pyramid::bin_of(double begin, double end, std::int64_t first, std::int64_t last) const {
  WaveBin bin = extremes(first, last);
  const bool is_recorded = begin <= last_time_ && end >= first_time_;
  if (!holds_ || !is_recorded || first == 0) return bin;
  if (first == last || time(first) > begin) widen(bin, block(0, first - 1));
  return bin;
}

void Pyramid::add_samples(Wave& wave, std::int64_t first, std::int64_t last) const {
  wave.has_samples = true;
  if (holds_ && first > 0 && wave.from <= last_time_ &&
      (first == samples_ || time(first) > wave.from)) {
    wave.times.push_back(wave.from);
    wave.values.push_back(value(first - 1));
  }
  for (std::int64_t i = first; i < last; ++i) {
    wave.times.push_back(time(i));
    wave.values.push_back(value(i));
  }
}

Result<Wave> Pyramid::wave(double from, double to, int bins) const {
  if (!std::isfinite(from) || !std::isfinite(to) || !std::isfinite(to - from) || from > to)
    return tl::unexpected(Refusal{"the times must be numbers, the earlier one first"});
  if (bins < 1 || bins > kMostWaveBins)
    return tl::unexpected(
        Refusal{fmt::format("the number of bins must be 1 to {}", kMostWaveBins)});
  Wave wave;
  wave.holds = holds_;
  wave.from = from;
  wave.to = to;
  wave.first_time = first_time_;
  wave.last_time = last_time_;
  wave.samples = samples_;
  std::int64_t first = first_not_before(from);
  const std::int64_t last = first_after(to);
  if (last - first <= bins) {
    add_samples(wave, first, last);
    return wave;
  }
  wave.bins.reserve(static_cast<std::size_t>(bins));
  double begin = from;
  for (int i = 0; i < bins; ++i) {
    const bool is_last = i + 1 == bins;
    const double end = is_last ? to : from + (to - from) * (i + 1) / bins;
    const std::int64_t next = is_last ? last : first_not_before(end);
    wave.bins.push_back(bin_of(begin, end, first, next));
    first = next;
    begin = end;
  }
  return wave;
}

}  // namespace tautmark
