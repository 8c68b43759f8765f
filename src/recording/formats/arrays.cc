// SPDX-License-Identifier: Apache-2.0
#include "recording/formats/arrays.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tautmark {
namespace {

constexpr std::int64_t kLookBlocks = 32;
constexpr std::int64_t kBlockRows = 64 * 1024;  // read at a time
constexpr std::int64_t kMostNumbers = 4 << 20;  // in memory

struct Chosen {
  const NamedArray* time = nullptr;
  std::vector<const NamedArray*> signals;
  std::int64_t rows = 0;
  std::size_t channels = 0;
};

Chosen chosen_arrays(const ArrayFile& file) {
  Chosen chosen;
  for (const NamedArray& array : file.arrays) chosen.rows = std::max(chosen.rows, array.rows);
  for (const NamedArray& array : file.arrays) {
    if (array.rows != chosen.rows) continue;
    const ColumnRole role = column_role(array.name);
    if (role == ColumnRole::time && array.width == 1 && chosen.time == nullptr) {
      chosen.time = &array;
    } else if (role != ColumnRole::index) {
      chosen.signals.push_back(&array);
      chosen.channels += array.width;
    }
  }
  return chosen;
}

class ArrayReader {
 public:
  ArrayReader(const RecordingFile& file, const Chosen& chosen)
      : name_(file.name),
        chosen_(chosen),
        block_rows_(std::min(
            {kBlockRows, chosen.rows, kMostNumbers / static_cast<std::int64_t>(chosen.channels)})) {
    const auto rows = static_cast<std::size_t>(block_rows_);
    values_.resize(rows * chosen.channels);
    if (chosen.time != nullptr) times_.resize(rows);
  }

  tl::expected<void, Diagnostics> scan(Extent extent, const SampleVisit& visit) {
    const std::int64_t blocks = (chosen_.rows + block_rows_ - 1) / block_rows_;
    const bool jumps = extent == Extent::look && blocks > 2 * kLookBlocks;
    const std::int64_t stride = jumps ? blocks / kLookBlocks : 1;
    for (std::int64_t block = 0; block < blocks; block += stride)
      if (auto done = give(block * block_rows_, visit); !done) return done;
    return {};
  }

 private:
  tl::expected<void, Diagnostics> give(std::int64_t first, const SampleVisit& visit) {
    const std::int64_t count = std::min(block_rows_, chosen_.rows - first);
    const auto damaged = [&](const NamedArray& array) {
      return tl::unexpected(recording_error(
          name_,
          fmt::format("\"{}\" is damaged or cut off near sample {}", array.name, first + 1)));
    };
    SampleBlock block{first, static_cast<std::size_t>(count), nullptr, {}};
    double* next = values_.data();
    for (const NamedArray* array : chosen_.signals) {
      if (!array->read(first, count, next)) return damaged(*array);
      for (std::size_t c = 0; c < array->width; ++c, next += count) block.channels.push_back(next);
    }
    if (chosen_.time != nullptr) {
      if (!chosen_.time->read(first, count, times_.data())) return damaged(*chosen_.time);
      const auto bad = std::find_if(times_.begin(), times_.begin() + count,
                                    [](double time) { return !std::isfinite(time); });
      if (bad != times_.begin() + count)
        return tl::unexpected(recording_error(
            name_,
            fmt::format("the time of sample {} is no number", first + (bad - times_.begin()) + 1)));
      block.times = times_.data();
    }
    return visit(block);
  }

  std::string name_;
  const Chosen& chosen_;
  std::int64_t block_rows_;
  std::vector<double> values_, times_;
};

std::optional<double> step_of(const ArrayFile& file, const RecordingOptions& options) {
  const auto positive = [&](ColumnRole role) {
    const auto found = file.scalars.find(role);
    return found != file.scalars.end() && found->second > 0 && std::isfinite(found->second)
               ? std::optional<double>(found->second)
               : std::nullopt;
  };
  if (options.sample_rate) return 1 / *options.sample_rate;
  if (const auto rate = positive(ColumnRole::rate)) return 1 / *rate;
  return positive(ColumnRole::interval);
}

}  // namespace

Parsed<SignalTrains> trains_of_arrays(const RecordingFile& file, const ArrayFile& arrays,
                                      const RecordingOptions& options) {
  const Chosen chosen = chosen_arrays(arrays);
  const auto refuse = [&](std::string why) {
    return tl::unexpected(recording_error(file.name, std::move(why)));
  };
  if (chosen.channels == 0) return refuse("no array of samples");
  if (chosen.channels > kMostChannels)
    return refuse(fmt::format("{} channels; at most {}", chosen.channels, kMostChannels));
  if (chosen.rows > kMostSamples) return refuse("more than 2^40 samples");
  SampleSource source;
  source.format = arrays.format;
  for (const NamedArray* array : chosen.signals)
    for (std::size_t c = 0; c < array->width; ++c)
      source.names.push_back(array->width == 1 ? array->name
                                               : fmt::format("{} {}", array->name, c + 1));
  if (chosen.time == nullptr) {
    const auto step = step_of(arrays, options);
    if (!step) return refuse("neither an array of times nor a sample rate: state the rate");
    source.step = *step;
    const auto start = arrays.scalars.find(ColumnRole::start);
    if (start != arrays.scalars.end() && std::isfinite(start->second)) source.start = start->second;
  }
  ArrayReader reader(file, chosen);
  source.scan = [&](Extent extent, const SampleVisit& visit) { return reader.scan(extent, visit); };
  source.place = [&](std::int64_t) { return TextPlace{file.name, 0, 0, 1, {}}; };
  return trains_or_tap(file, source);
}

}  // namespace tautmark
