// SPDX-License-Identifier: Apache-2.0
// Reading at memory speed: packed logic beside memchr for an absent byte, sampled text beside a
// bare loop of std::from_chars, sound. The pairs run over the same mapped file.
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <cstring>
#include <filesystem>
#include <fstream>

#include "recording/mapped_file.h"
#include "recording/read.h"

namespace {

using tautmark::MappedFile;

class Files {
 public:
  Files() {
    std::string name = (std::filesystem::temp_directory_path() / "tautmark-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) std::abort();
    folder_ = name;
    write("logic", logic());
    write("text", text());
    write("sound", sound());
  }
  ~Files() { std::filesystem::remove_all(folder_); }
  [[nodiscard]] std::string path(const std::string& name) const { return folder_ / name; }

 private:
  void write(const std::string& name, const std::string& bytes) const {
    std::ofstream(folder_ / name, std::ios::binary) << bytes;
  }
  // 256 MB, an edge every 8192 samples.
  static std::string logic() {
    std::string bytes(std::size_t{256} << 20, '\0');
    for (std::size_t i = 0; i < bytes.size(); ++i) bytes[i] = static_cast<char>(i >> 13 & 3);
    return bytes;
  }
  // Two channels of 2 million samples: an inductive wave and a hall signal.
  static std::string text() {
    std::string out = "Time [s],crank,cam\n";
    for (int i = 0; i < 2000000; ++i)
      out += fmt::format("{:.6f},{:.4f},{:.3f}\n", i * 1e-5, 2 * std::sin(0.05 * i),
                         i / 3000 % 2 * 4.6 + 0.2);
    return out;
  }
  // Four channels of 16 bits, 4 million frames.
  static std::string sound() {
    constexpr std::uint32_t kFrames = 4000000, kBytes = kFrames * 8;
    std::string out(44 + kBytes, '\0');
    const auto put = [&](std::size_t at, std::uint32_t value, std::size_t size) {
      std::memcpy(out.data() + at, &value, size);
    };
    std::memcpy(out.data(), "RIFF----WAVEfmt ", 16);
    put(4, kBytes + 36, 4), put(16, 16, 4), put(20, 1, 2), put(22, 4, 2), put(24, 100000, 4);
    put(28, 800000, 4), put(32, 8, 2), put(34, 16, 2), put(40, kBytes, 4);
    std::memcpy(out.data() + 36, "data", 4);
    for (std::uint32_t i = 0; i < kFrames * 4; ++i)
      put(44 + i * 2, static_cast<std::uint32_t>(20000 * std::sin(0.02 * (i / 4) + i % 4)), 2);
    return out;
  }
  std::filesystem::path folder_;
};

const Files& files() {
  static const Files kFiles;
  return kFiles;
}

void set_bytes(benchmark::State& state, std::size_t size) {
  state.SetBytesProcessed(static_cast<std::int64_t>(size) * state.iterations());
}

void absent_byte(benchmark::State& state) {
  const auto file = MappedFile::open(files().path("logic"));
  for (auto _ : state)
    benchmark::DoNotOptimize(std::memchr(file->bytes().data(), 77, file->bytes().size()));
  set_bytes(state, file->bytes().size());
}
BENCHMARK(absent_byte);

void packed_logic(benchmark::State& state) {
  tautmark::RecordingOptions options;
  options.packed_logic_channels = 8;
  options.sample_rate = 1e6;
  for (auto _ : state)
    if (!tautmark::read_recording(files().path("logic"), options)) std::abort();
  set_bytes(state, std::filesystem::file_size(files().path("logic")));
}
BENCHMARK(packed_logic);

void bare_from_chars(benchmark::State& state) {
  const auto file = MappedFile::open(files().path("text"));
  for (auto _ : state) {
    const char* p = file->bytes().data() + file->bytes().find('\n') + 1;
    const char* const end = file->bytes().data() + file->bytes().size();
    double sum = 0;
    while (p < end) {
      double value = 0;
      p = std::from_chars(p, end, value).ptr + 1;
      sum += value;
    }
    benchmark::DoNotOptimize(sum);
  }
  set_bytes(state, file->bytes().size());
}
BENCHMARK(bare_from_chars)->UseRealTime();

void read_file(benchmark::State& state, const std::string& name) {
  tautmark::RecordingOptions options;
  options.threads = static_cast<int>(state.range(0));
  for (auto _ : state)
    if (!tautmark::read_recording(files().path(name), options)) std::abort();
  set_bytes(state, std::filesystem::file_size(files().path(name)));
}
BENCHMARK_CAPTURE(read_file, text, "text")->Arg(1)->Arg(2)->UseRealTime();
BENCHMARK_CAPTURE(read_file, sound, "sound")->Arg(1)->UseRealTime();

}  // namespace
