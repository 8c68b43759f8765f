// SPDX-License-Identifier: Apache-2.0
// Reading at memory speed: packed logic beside memchr for an absent byte, sampled text beside a
// bare loop of std::from_chars, and on two threads, sound. Both of a pair run by turns over the
// same mapped file, and the least time of each counts. One core: processor time; two: wall time.
// A budget that is missed ends with 1.
//
// With FILE, and for packed logic the number of channels and the rate: processor seconds of one
// core for reading and decoding it, then recording/1.
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstring>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <functional>

#include "recording/decode.h"
#include "recording/mapped_file.h"
#include "recording/read.h"
#include "report/recording_report.h"

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

constexpr int kRounds = 15;
constexpr double kGiga = 1e9;

double seconds(clockid_t clock, const std::function<void()>& work) {
  timespec from{}, to{};
  clock_gettime(clock, &from);
  work();
  clock_gettime(clock, &to);
  return static_cast<double>(to.tv_sec - from.tv_sec) +
         1e-9 * static_cast<double>(to.tv_nsec - from.tv_nsec);
}

struct Pair {
  double first = 0, second = 0;  // s
};
Pair least_times(clockid_t clock, const std::function<void()>& first,
                 const std::function<void()>& second) {
  Pair least{1e9, 1e9};
  for (int round = 0; round < kRounds; ++round) {
    least.first = std::min(least.first, seconds(clock, first));
    least.second = std::min(least.second, seconds(clock, second));
  }
  return least;
}

volatile double kept;  // so that no work is left out

void absent_byte(std::string_view bytes) {
  kept = std::memchr(bytes.data(), 77, bytes.size()) == nullptr ? 0 : 1;
}

void bare_from_chars(std::string_view bytes) {
  const char* p = bytes.data() + bytes.find('\n') + 1;
  const char* const end = bytes.data() + bytes.size();
  double sum = 0;
  while (p < end) {
    double value = 0;
    p = std::from_chars(p, end, value).ptr + 1;
    sum += value;
  }
  kept = sum;
}

void read(std::string_view bytes, int threads, bool is_packed = false) {
  tautmark::RecordingOptions options;
  options.threads = threads;
  if (is_packed) {
    options.packed_logic_channels = 8;
    options.sample_rate = 1e6;
  }
  const auto trains = tautmark::read_recording_bytes("bench", bytes, options);
  if (!trains) std::abort();
  kept = trains->last_time;
}

bool missed = false;

void line(const char* what, double value, const char* unit, double budget, bool must) {
  const bool holds = value >= budget;
  missed |= must && !holds;
  fmt::print("{:<52} {:8.2f} {:<5} {} {:<5.4g}{}\n", what, value, unit, must ? "budget" : "aim   ",
             budget, holds ? "" : "  MISSED");
}

int read_and_decode(int count, char** words) {
  tautmark::RecordingOptions options;
  options.threads = 1;
  if (count > 3) {
    options.packed_logic_channels = std::atoi(words[2]);
    options.sample_rate = std::atof(words[3]);
  }
  std::string json;
  const double time = seconds(CLOCK_PROCESS_CPUTIME_ID, [&] {
    const auto trains = tautmark::read_recording(words[1], options);
    if (!trains) std::abort();
    const auto decoded = tautmark::decode_recording(*trains);
    if (!decoded) std::abort();
    json = tautmark::recording_json(words[1], *trains, *decoded);
  });
  fmt::print("{}\n{}\n", time, json);
  return 0;
}

}  // namespace

int main(int count, char** words) {
  if (count > 1) return read_and_decode(count, words);
  const Files files;
  const auto mapped = [&](const char* name) { return *MappedFile::open(files.path(name)); };
  constexpr clockid_t kCore = CLOCK_PROCESS_CPUTIME_ID, kWall = CLOCK_MONOTONIC;

  const MappedFile logic = mapped("logic"), text = mapped("text"), sound = mapped("sound");
  const auto rate = [](const MappedFile& file, double time) {
    return static_cast<double>(file.bytes().size()) / time / kGiga;
  };
  const Pair packed = least_times(
      kCore, [&] { absent_byte(logic.bytes()); }, [&] { read(logic.bytes(), 1, true); });
  fmt::print("{:<52} {:8.2f} GB/s\n", "memchr for an absent byte, 256 MB",
             rate(logic, packed.first));
  line("packed logic, an edge every 8192 bytes", rate(logic, packed.second), "GB/s", 2, true);
  line("  beside memchr", packed.first / packed.second, "", 0.6, false);

  const Pair sampled = least_times(
      kCore, [&] { bare_from_chars(text.bytes()); }, [&] { read(text.bytes(), 1); });
  fmt::print("{:<52} {:8.2f} GB/s\n", "std::from_chars alone, two channels and a time",
             rate(text, sampled.first));
  fmt::print("{:<52} {:8.2f} GB/s\n", "sampled CSV, one core", rate(text, sampled.second));
  line("  beside std::from_chars", sampled.first / sampled.second, "", 0.6, true);
  const Pair threads = least_times(
      kWall, [&] { read(text.bytes(), 1); }, [&] { read(text.bytes(), 2); });
  line("  two threads beside one, wall time", threads.first / threads.second, "", 1.5, false);

  const Pair four = least_times(
      kCore, [] {}, [&] { read(sound.bytes(), 1); });
  line("sound, four channels of 16 bits", rate(sound, four.second), "GB/s", 0.15, true);
  return missed ? 1 : 0;
}
