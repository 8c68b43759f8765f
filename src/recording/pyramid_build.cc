// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <limits>
#include <memory>
#include <string>

#include "recording/formats/formats.h"
#include "recording/pyramid.h"
#include "recording/pyramid_layout.h"

namespace tautmark {
namespace {

constexpr double kStepSlack = 0.02, kClock = 1e-9;  // as trains_of.cc forgives
constexpr std::size_t kGathered = 1 << 18;          // bytes
constexpr float kNone = std::numeric_limits<float>::quiet_NaN();

struct CloseFile {
  void operator()(std::FILE* file) const { std::fclose(file); }
};
using File = std::unique_ptr<std::FILE, CloseFile>;

// The number, where one is NaN. Not fmin: this runs once a sample.
WaveBin joined(const WaveBin& a, const WaveBin& b) {
  return {b.low < a.low || a.low != a.low ? b.low : a.low,
          b.high > a.high || a.high != a.high ? b.high : a.high};
}

// Takes the values of one level one by one and writes nothing but this level; the levels above it
// are kept as one open block each, and in memory until the end: a sixteenth of a sixteenth ...
class PyramidWriter {
 public:
  PyramidWriter(const SampleSource& source, std::FILE* file) : source_(source), file_(file) {
    header_.start = source.start;
    header_.step = source.step;
    header_.flags = source.rows_only_at_changes ? kHolds : 0;
    static_cast<void>(put(&header_, sizeof header_));
  }

  tl::expected<void, Diagnostics> add(const SampleBlock& block, std::size_t column) {
    const double* values = block.channels[column];
    for (std::size_t i = 0; i < block.rows; ++i) {
      const std::int64_t row = block.first_row + static_cast<std::int64_t>(i);
      double time = block.times != nullptr
                        ? block.times[i]
                        : source_.start + static_cast<double>(row) * source_.step;
      if (rows_ == 0) {
        header_.first_time = time;
        if (block.times != nullptr) header_.flags |= kHasTimes;
      } else if (time < header_.last_time) {
        const double back = header_.last_time - time;
        if (back > last_step_ * (1 + kStepSlack) + kClock)
          return tl::unexpected(recording_error(
              source_.place(row), fmt::format("time runs backwards by {:.6g} s", back)));
        time = header_.last_time;
      } else {
        last_step_ = time - header_.last_time;
      }
      ++rows_;
      header_.last_time = time;
      if (!put_sample(time, static_cast<float>(values[i])))
        return tl::unexpected(recording_error("", std::strerror(errno)));
    }
    return {};
  }

  // Level by level from what was written below, then the header over its place.
  bool finish() {
    if (!put_gathered()) return false;
    const bool has_times = (header_.flags & kHasTimes) != 0;
    const std::int64_t bytes = header_.samples * sample_bytes(has_times);
    const std::int64_t filled = level_zero_bytes(header_.samples, has_times);
    static constexpr char kZeros[8] = {};
    if (!put(kZeros, static_cast<std::size_t>(filled - bytes))) return false;
    std::memcpy(header_.magic, kPyramidMagic, sizeof kPyramidMagic);
    header_.factor = static_cast<std::uint32_t>(kPyramidFactor);
    std::int64_t at = static_cast<std::int64_t>(sizeof header_), count = header_.samples;
    for (bool is_zero = true; count > 1; is_zero = false) {
      const std::int64_t size = is_zero ? sample_bytes(has_times) : kExtremeBytes;
      if (!add_level(at, count, size, is_zero ? size - 4 : 0, is_zero)) return false;
      at += is_zero ? filled : count * kExtremeBytes;
      count = blocks_above(count);
    }
    return std::fseek(file_, 0, SEEK_SET) == 0 && put(&header_, sizeof header_) &&
           std::fflush(file_) == 0;
  }

  [[nodiscard]] std::int64_t rows() const { return rows_; }

 private:
  bool put(const void* bytes, std::size_t size) {
    return size == 0 || std::fwrite(bytes, size, 1, file_) == 1;
  }

  bool put_sample(double time, float value) {
    const bool same = value == last_value_ || (std::isnan(value) && std::isnan(last_value_));
    if ((header_.flags & kHolds) != 0 && header_.samples > 0 && same) return true;
    last_value_ = value;
    ++header_.samples;
    if ((header_.flags & kHasTimes) != 0) gather(&time, sizeof time);
    gather(&value, sizeof value);
    return gathered_.size() < kGathered || put_gathered();
  }

  void gather(const void* bytes, std::size_t size) {
    gathered_.append(static_cast<const char*>(bytes), size);
  }
  bool put_gathered() {
    const bool done = put(gathered_.data(), gathered_.size());
    gathered_.clear();
    return done;
  }

  // Extremes of each sixteen of `count` items of `size` bytes that stand at `at`, written at the
  // end of the file.
  bool add_level(std::int64_t at, std::int64_t count, std::int64_t size, std::int64_t offset,
                 bool is_zero) {
    constexpr std::int64_t kItems = kPyramidFactor * 4096;  // read at a time
    std::vector<char> room(static_cast<std::size_t>(kItems * size));
    std::vector<WaveBin> out;
    for (std::int64_t first = 0; first < count; first += kItems) {
      const std::int64_t items = std::min(kItems, count - first);
      if (std::fseek(file_, at + first * size, SEEK_SET) != 0 ||
          std::fread(room.data(), static_cast<std::size_t>(items * size), 1, file_) != 1)
        return false;
      out.assign(static_cast<std::size_t>(blocks_above(items)), {kNone, kNone});
      for (std::int64_t i = 0; i < items; ++i) {
        WaveBin bin;
        const char* item = room.data() + i * size + offset;
        std::memcpy(&bin, item, is_zero ? sizeof(float) : sizeof bin);
        if (is_zero) bin.high = bin.low;
        WaveBin& block = out[static_cast<std::size_t>(i / kPyramidFactor)];
        block = joined(block, bin);
      }
      if (std::fseek(file_, 0, SEEK_END) != 0 || !put(out.data(), out.size() * sizeof(WaveBin)))
        return false;
    }
    return true;
  }

  const SampleSource& source_;
  std::FILE* file_;
  PyramidHeader header_{};
  std::string gathered_;  // samples on their way to the file: one write for many
  std::int64_t rows_ = 0;
  double last_step_ = 0;
  float last_value_ = 0;
};

}  // namespace

tl::expected<void, Diagnostics> write_pyramid(const std::string& recording, int channel,
                                              const RecordingOptions& options,
                                              const std::string& pyramid,
                                              const std::function<bool()>& goes_on) {
  const auto refuse = [&](std::string why) {
    return tl::unexpected(recording_error(recording, std::move(why)));
  };
  // Two that make the same one at a time do not write into each other's.
  static std::atomic<int> count{0};
  const std::string part = fmt::format("{}.{}-{}.part", pyramid, ::getpid(), ++count);
  struct Remove {
    const std::string& name;
    ~Remove() { std::remove(name.c_str()); }
  } remove{part};
  bool was_taken = false;
  ChannelTap tap;
  tap.channel = channel;
  tap.take = [&](const SampleSource& source,
                 std::size_t column) -> tl::expected<void, Diagnostics> {
    const auto cannot = [&] {
      return tl::unexpected(recording_error(
          recording,
          fmt::format("its samples cannot be kept for drawing: {}", std::strerror(errno))));
    };
    was_taken = true;
    const File file(std::fopen(part.c_str(), "w+b"));
    if (!file) return cannot();
    PyramidWriter writer(source, file.get());
    auto done = source.scan(Extent::whole,
                            [&](const SampleBlock& block) -> tl::expected<void, Diagnostics> {
                              if (goes_on && !goes_on()) return refuse("it is wanted no more");
                              return writer.add(block, column);
                            });
    if (!done) return std::ferror(file.get()) != 0 ? cannot() : done;
    if (writer.rows() == 0) return refuse("no samples");
    if (!writer.finish()) return cannot();
    return {};
  };
  const auto mapped = MappedFile::open(recording);
  if (!mapped) return refuse(mapped.error().why);
  const auto read = read_any({recording, mapped->bytes(), recording, &tap}, options);
  if (!read) return tl::unexpected(read.error());
  if (!was_taken) return refuse(fmt::format("it has no channel {}", channel));
  if (std::rename(part.c_str(), pyramid.c_str()) != 0)
    return refuse(fmt::format("its samples cannot be kept for drawing: {}", std::strerror(errno)));
  return {};
}

}  // namespace tautmark
