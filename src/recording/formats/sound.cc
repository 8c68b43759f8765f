// SPDX-License-Identifier: Apache-2.0
// Sound files: WAV, RF64 and W64. Each channel is a signal. An AC-coupled input removes the levels
// of a hall sensor; its edges survive as spikes, which are taken as an inductive wave.
#include <fmt/format.h>
#include <sndfile.h>

#include <algorithm>
#include <cstdint>
#include <cstring>
#include <memory>

#include "recording/formats/formats.h"
#include "recording/samples.h"

namespace tautmark {
namespace {

constexpr sf_count_t kBlockFrames = 4096;   // of four channels: within the nearer cache
constexpr double kShortUnit = 1.0 / 32768;  // as libsndfile does: full scale is 1
constexpr sf_count_t kLookBlocks = 64, kLookFrames = 4096;

struct Memory {
  std::string_view bytes;
  sf_count_t at = 0;
};

SF_VIRTUAL_IO memory_io() {
  SF_VIRTUAL_IO io{};
  io.get_filelen = [](void* memory) {
    return static_cast<sf_count_t>(static_cast<Memory*>(memory)->bytes.size());
  };
  io.seek = [](sf_count_t offset, int whence, void* memory) {
    auto& file = *static_cast<Memory*>(memory);
    const auto size = static_cast<sf_count_t>(file.bytes.size());
    const sf_count_t base = whence == SEEK_SET ? 0 : whence == SEEK_CUR ? file.at : size;
    if (offset < -base || offset > size - base) return sf_count_t{-1};
    return file.at = base + offset;
  };
  io.read = [](void* into, sf_count_t count, void* memory) {
    auto& file = *static_cast<Memory*>(memory);
    const sf_count_t left = static_cast<sf_count_t>(file.bytes.size()) - file.at;
    const sf_count_t read = std::clamp(count, sf_count_t{0}, left);
    std::memcpy(into, file.bytes.data() + file.at, static_cast<std::size_t>(read));
    file.at += read;
    return read;
  };
  io.write = [](const void*, sf_count_t, void*) { return sf_count_t{0}; };
  io.tell = [](void* memory) { return static_cast<Memory*>(memory)->at; };
  return io;
}

struct CloseSound {
  void operator()(SNDFILE* sound) const { sf_close(sound); }
};

class SoundReader {
 public:
  SoundReader(SNDFILE* sound, const SF_INFO& info)
      : sound_(sound),
        frames_(info.frames),
        channels_(static_cast<std::size_t>(info.channels)),
        block_(std::clamp(info.frames, sf_count_t{1}, kBlockFrames)),
        is_short_((info.format & SF_FORMAT_SUBMASK) == SF_FORMAT_PCM_16),
        plain_(channels_ * static_cast<std::size_t>(block_)) {
    if (is_short_)
      short_woven_.resize(plain_.size());
    else
      woven_.resize(plain_.size());
  }

  tl::expected<void, Diagnostics> scan(Extent extent, const SampleVisit& visit) {
    const bool jumps = extent == Extent::look && frames_ > 2 * kLookBlocks * kLookFrames;
    sf_count_t at = 0;
    if (sf_seek(sound_, 0, SEEK_SET) != 0) return {};
    for (sf_count_t look = 0; !jumps || look < kLookBlocks; ++look) {
      if (jumps) {
        at = frames_ / kLookBlocks * look;
        if (sf_seek(sound_, at, SEEK_SET) != at) return {};
      }
      const sf_count_t wanted = jumps ? kLookFrames : block_;
      const sf_count_t count = is_short_ ? sf_readf_short(sound_, short_woven_.data(), wanted)
                                         : sf_readf_double(sound_, woven_.data(), wanted);
      if (count <= 0) return {};
      const auto rows = static_cast<std::size_t>(count);
      const SampleBlock block =
          is_short_ ? unwoven(short_woven_, kShortUnit, at, rows) : unwoven(woven_, 1, at, rows);
      if (auto done = visit(block); !done) return done;
      at += count;
    }
    return {};
  }

 private:
  template <class Number>
  SampleBlock unwoven(const std::vector<Number>& woven, double unit, sf_count_t first,
                      std::size_t count) {
    SampleBlock block{first, count, nullptr, {}};
    for (std::size_t c = 0; c < channels_; ++c) {
      double* column = plain_.data() + c * static_cast<std::size_t>(block_);
      for (std::size_t i = 0; i < count; ++i) column[i] = unit * woven[i * channels_ + c];
      block.channels.push_back(column);
    }
    return block;
  }

  SNDFILE* sound_;
  sf_count_t frames_;
  std::size_t channels_;
  sf_count_t block_;  // frames
  bool is_short_;     // 16 bits, the usual: turned into numbers while being sorted by channel
  std::vector<double> plain_, woven_;
  std::vector<std::int16_t> short_woven_;
};

// RIFF states the bytes that follow its first eight.
bool is_cut_off(std::string_view bytes) {
  if (!bytes.starts_with("RIFF") || bytes.size() < 8) return false;
  std::uint32_t stated = 0;
  std::memcpy(&stated, bytes.data() + 4, sizeof stated);
  return stated != 0xFFFFFFFF && stated > bytes.size() - 8;
}

}  // namespace

Parsed<SignalTrains> read_sound(const RecordingFile& file) {
  Memory memory{file.bytes};
  SF_VIRTUAL_IO io = memory_io();
  SF_INFO info{};
  const std::unique_ptr<SNDFILE, CloseSound> sound(sf_open_virtual(&io, SFM_READ, &info, &memory));
  const auto refuse = [&](std::string why) {
    return tl::unexpected(recording_error(file.name, std::move(why)));
  };
  if (!sound)
    return refuse(fmt::format("a sound file that cannot be read: {}", sf_strerror(nullptr)));
  if (info.channels < 1 || info.channels > static_cast<int>(kMostChannels))
    return refuse(fmt::format("{} channels; at most {}", info.channels, kMostChannels));
  if (info.samplerate < 1) return refuse("the file states no sample rate");
  SampleSource source;
  source.format = "sound file";
  source.names.resize(static_cast<std::size_t>(info.channels));
  source.step = 1.0 / info.samplerate;
  if (is_cut_off(file.bytes)) source.notes.emplace_back("the file is truncated");
  SoundReader reader(sound.get(), info);
  source.scan = [&](Extent extent, const SampleVisit& visit) { return reader.scan(extent, visit); };
  source.place = [&](std::int64_t) { return TextPlace{file.name, 0, 0, 1, {}}; };
  return trains_or_tap(file, source);
}

}  // namespace tautmark
