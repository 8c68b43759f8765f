// SPDX-License-Identifier: Apache-2.0
// Every bin against all samples one by one (brute force), and by numpy from the recording itself:
// tests/reference/wave_numpy.py.
#include "recording/pyramid.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <cstring>
#include <iterator>
#include <limits>
#include <random>
#include <sstream>
#include <thread>

#include "recording/wave.h"
#include "support/temp_folder.h"

namespace tautmark {
namespace {

constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();

struct Truth {
  std::vector<double> times, values;
  bool holds = false;  // then rows at changes, and the last
};

WaveBin brute_bin(const Truth& truth, double begin, double end, bool is_last) {
  WaveBin bin{NAN, NAN};
  const auto take = [&](double value) {
    bin.low = std::fmin(bin.low, static_cast<float>(value));
    bin.high = std::fmax(bin.high, static_cast<float>(value));
  };
  double held = kUnknown;
  bool starts_at_sample = false;
  for (std::size_t i = 0; i < truth.times.size(); ++i) {
    const double time = truth.times[i];
    if (time < begin) held = truth.values[i];
    if (time == begin) starts_at_sample = true;
    if (time >= begin && (time < end || (is_last && time == end))) take(truth.values[i]);
  }
  if (truth.holds && begin <= truth.times.back() && !starts_at_sample) take(held);
  return bin;
}

int below(std::mt19937& random, unsigned limit) { return static_cast<int>(random() % limit); }

bool same(float a, float b) { return a == b || (std::isnan(a) && std::isnan(b)); }

void expect_wave(const Pyramid& pyramid, const Truth& truth, double from, double to, int bins) {
  const auto wave = pyramid.wave(from, to, bins);
  ASSERT_TRUE(wave) << wave.error().why;
  if (wave->has_samples) {
    std::size_t at = 0;
    for (std::size_t i = 0; i < truth.times.size() && !truth.holds; ++i) {
      if (truth.times[i] < from || truth.times[i] > to) continue;
      ASSERT_LT(at, wave->times.size());
      ASSERT_EQ(wave->times[at], truth.times[i]);
      ASSERT_TRUE(same(wave->values[at++], static_cast<float>(truth.values[i])));
    }
    if (!truth.holds) {
      ASSERT_EQ(at, wave->times.size());
    }
    // Drawn as steps they say what all bins would.
    for (std::size_t i = 0; truth.holds && i < wave->times.size(); ++i)
      ASSERT_TRUE(
          same(brute_bin(truth, wave->times[i], wave->times[i], true).low, wave->values[i]));
    return;
  }
  ASSERT_EQ(wave->bins.size(), static_cast<std::size_t>(bins));
  for (int i = 0; i < bins; ++i) {
    const double begin = from + (to - from) * i / bins;
    const bool is_last = i + 1 == bins;
    const double end = is_last ? to : from + (to - from) * (i + 1) / bins;
    const WaveBin expected = brute_bin(truth, begin, end, is_last);
    const WaveBin& got = wave->bins[static_cast<std::size_t>(i)];
    ASSERT_TRUE(same(got.low, expected.low) && same(got.high, expected.high))
        << fmt::format("bin {} of {} from {} to {}: {} {} not {} {}", i, bins, from, to, got.low,
                       got.high, expected.low, expected.high);
  }
}

void expect_all(const std::string& file, int channel, const Truth& truth,
                const RecordingOptions& options = {}) {
  const test::TempFolder folder;
  const std::string path = (folder.path() / "wave").string();
  const auto written = write_pyramid(file, channel, options, path);
  ASSERT_TRUE(written) << diagnostics_text(written.error());
  const auto inside = std::filesystem::directory_iterator(folder.path());
  EXPECT_EQ(std::distance(begin(inside), end(inside)), 1);  // nothing half made beside it
  const auto pyramid = Pyramid::open(path);
  ASSERT_TRUE(pyramid) << pyramid.error().why;
  const double first = truth.times.front(), last = truth.times.back();
  EXPECT_EQ(pyramid->first_time(), first);
  EXPECT_EQ(pyramid->last_time(), last);
  EXPECT_EQ(pyramid->holds(), truth.holds);
  expect_wave(*pyramid, truth, first, last, 1);
  expect_wave(*pyramid, truth, first, last, 64);
  expect_wave(*pyramid, truth, first - 1, last + 1, 50);
  expect_wave(*pyramid, truth, first, first, 1);
  std::mt19937 random(7);
  std::uniform_real_distribution<double> anywhere(first - 0.05 * (last - first),
                                                  last + 0.05 * (last - first));
  std::uniform_int_distribution<std::size_t> any(0, truth.times.size() - 1);
  for (int i = 0; i < 40; ++i) {
    // Half of the windows begin and end exactly at samples.
    double from = i % 2 == 0 ? anywhere(random) : truth.times[any(random)];
    double to = i % 2 == 0 ? anywhere(random) : truth.times[any(random)];
    if (from > to) std::swap(from, to);
    expect_wave(*pyramid, truth, from, to, 1 + below(random, 40));
  }
}

// Irregular times, gaps, values that are no numbers.
Truth made(std::size_t rows) {
  std::mt19937 random(rows);
  Truth truth;
  double time = 0.5;
  for (std::size_t i = 0; i < rows; ++i) {
    time += below(random, 50) == 0 ? 0.25 : 0.001 * (1 + below(random, 9));
    truth.times.push_back(std::stod(fmt::format("{:.4f}", time)));
    truth.values.push_back(below(random, 97) == 0 ? kUnknown
                                                  : std::sin(0.01 * time) + below(random, 1000));
  }
  return truth;
}

TEST(Pyramid, IrregularTimesAtEveryDepth) {
  for (const std::size_t rows : {1U, 2U, 15U, 16U, 17U, 255U, 256U, 257U, 4097U, 20000U}) {
    const Truth truth = made(rows);
    std::string text = "time,value\n";
    for (std::size_t i = 0; i < rows; ++i)
      text += std::isnan(truth.values[i])
                  ? fmt::format("{:.4f},nan\n", truth.times[i])
                  : fmt::format("{:.4f},{:.17g}\n", truth.times[i], truth.values[i]);
    const test::TempFolder folder;
    expect_all(folder.write("r.csv", text), 1, truth);
    if (HasFatalFailure()) FAIL() << rows;
  }
}

TEST(Pyramid, ATimeThatRunsBackByLessThanAStepIsTheOneBefore) {
  const test::TempFolder folder;
  const Truth truth{{0, 1, 2, 3, 3, 4, 4, 5}, {5, 1, 2, 3, 9, -4, 7, 6}, false};
  expect_all(folder.write("r.csv", "time,a\n0,5\n1,1\n2,2\n3,3\n2.5,9\n4,-4\n3.25,7\n5,6\n"), 1,
             truth);
}

TEST(Pyramid, EvenSamplesOfASoundFile) {
  constexpr std::uint32_t kRate = 44100, kRows = 30011;
  Truth truth;
  std::string data;
  for (std::uint32_t i = 0; i < kRows; ++i) {
    const auto left = static_cast<std::int16_t>((i * 7919U) % 60000U - 30000U),
               right = std::int16_t{3};
    for (const std::int16_t value : {right, left})
      data.append(reinterpret_cast<const char*>(&value), sizeof value);
    truth.times.push_back(i * (1.0 / kRate));
    truth.values.push_back(left / 32768.0);
  }
  const auto word = [](std::uint32_t value, std::size_t size) {
    return std::string(reinterpret_cast<const char*>(&value), size);
  };
  const auto bytes = static_cast<std::uint32_t>(data.size());
  const std::string wav = "RIFF" + word(36 + bytes, 4) + "WAVEfmt " + word(16, 4) + word(1, 2) +
                          word(2, 2) + word(kRate, 4) + word(4 * kRate, 4) + word(4, 2) +
                          word(16, 2) + "data" + word(bytes, 4) + data;
  const test::TempFolder folder;
  expect_all(folder.write("r.wav", wav), 2, truth);
}

TEST(Pyramid, BitsOfPackedLogicHold) {
  std::mt19937 random(3);
  Truth truth;
  truth.holds = true;
  std::string data;
  unsigned bits = 0;
  const RecordingOptions options{.sample_rate = 1e6, .packed_logic_channels = 11};
  for (int i = 0; i < 50000; ++i) {
    if (below(random, 20) == 0) bits ^= 1U << below(random, 11);
    data.push_back(static_cast<char>(bits & 0xFFU));
    data.push_back(static_cast<char>(bits >> 8U));
    const double value = bits >> 9U & 1U;
    if (truth.values.empty() || truth.values.back() != value || i == 49999) {
      truth.times.push_back(i * 1e-6);
      truth.values.push_back(value);
    }
  }
  const test::TempFolder folder;
  expect_all(folder.write("r.bin", data), 10, truth, options);
}

TEST(Pyramid, WiresAndRealsOfADumpHold) {
  std::mt19937 random(5);
  Truth wire, real;
  wire.holds = real.holds = true;
  std::string text =
      "$timescale 1 us $end\n$var wire 1 ! a $end\n$var real 64 \" p $end\n$var wire 2 # v $end\n"
      "$enddefinitions $end\n";
  char state = 'x';
  double value = kUnknown;
  for (int i = 0; i < 3000; ++i) {
    const int tick = 10 + 7 * i;
    text += fmt::format("#{}\n", tick);
    if (below(random, 3) == 0) text += fmt::format("{}!\n", state = "01x"[below(random, 3)]);
    if (below(random, 4) == 0)
      text += fmt::format("r{} \"\n", value = static_cast<double>(below(random, 99)));
    text += fmt::format("b{}{} #\n", below(random, 2), below(random, 2));
    wire.times.push_back(tick * 1e-6);
    wire.values.push_back(state == 'x' ? kUnknown : state - '0');
    real.times.push_back(tick * 1e-6);
    real.values.push_back(value);
  }
  const test::TempFolder folder;
  const std::string file = folder.write("r.vcd", text);
  expect_all(file, 1, wire);
  expect_all(file, 4, real);
}

TEST(Pyramid, WhatIsNotThereIsRefused) {
  const test::TempFolder folder;
  const std::string file = folder.write("r.csv", "time,a\n0,1\n1,2\n2,1\n");
  const std::string path = (folder.path() / "wave").string();
  const auto none = write_pyramid(file, 2, {}, path);
  ASSERT_FALSE(none);
  EXPECT_NE(diagnostics_text(none.error()).find("no channel 2"), std::string::npos);
  EXPECT_FALSE(std::filesystem::exists(path));
  EXPECT_FALSE(write_pyramid(file + ".no", 1, {}, path));
  EXPECT_FALSE(write_pyramid(file, 1, {}, (folder.path() / "no" / "wave").string()));
  const auto back = folder.write("back.csv", "time,a\n0,1\n1,2\n2,1\n0.5,1\n3,3\n");
  EXPECT_FALSE(write_pyramid(back, 1, {}, path));

  ASSERT_TRUE(write_pyramid(file, 1, {}, path));
  const auto pyramid = Pyramid::open(path);
  ASSERT_TRUE(pyramid);
  EXPECT_FALSE(pyramid->wave(1, 0, 4));
  EXPECT_FALSE(pyramid->wave(0, kUnknown, 4));
  EXPECT_FALSE(pyramid->wave(-1e308, 1e308, 4));
  EXPECT_FALSE(pyramid->wave(0, 1, 0));
  EXPECT_FALSE(pyramid->wave(0, 1, kMostWaveBins + 1));
}

TEST(Pyramid, MadeTwiceAtOnceItIsWholeBothTimes) {
  const test::TempFolder folder;
  std::string text = "time,a\n";
  for (int i = 0; i < 20000; ++i) text += fmt::format("{},{}\n", i, i % 7919);
  const std::string file = folder.write("r.csv", text);
  const std::string path = (folder.path() / "wave").string();
  std::vector<std::thread> threads;
  for (int i = 0; i < 4; ++i)
    threads.emplace_back([&] { EXPECT_TRUE(write_pyramid(file, 1, {}, path)); });
  for (std::thread& thread : threads) thread.join();
  const auto pyramid = Pyramid::open(path);
  ASSERT_TRUE(pyramid);
  EXPECT_EQ(pyramid->wave(0, 19999, 1)->bins[0].high, 7918);
}

TEST(Pyramid, ADamagedFileIsRefused) {
  const test::TempFolder folder;
  std::string text = "time,a\n";
  for (int i = 0; i < 300; ++i) text += fmt::format("{},{}\n", i, i % 7);
  const std::string path = (folder.path() / "wave").string();
  ASSERT_TRUE(write_pyramid(folder.write("r.csv", text), 1, {}, path));
  std::ifstream in(path, std::ios::binary);
  std::ostringstream whole;
  whole << in.rdbuf();
  const std::string bytes = whole.str();
  for (const std::size_t size :
       {std::size_t{0}, std::size_t{63}, std::size_t{64}, bytes.size() - 1})
    EXPECT_FALSE(Pyramid::open(folder.write("cut", bytes.substr(0, size)))) << size;
  EXPECT_FALSE(Pyramid::open(folder.write("long", bytes + "x")));
  for (std::size_t i = 0; i < 56; ++i) {  // whatever it says, nothing outside it is read
    std::string other = bytes;
    other[i] = static_cast<char>(other[i] ^ 0x80);
    if (const auto opened = Pyramid::open(folder.write("other", other)))
      static_cast<void>(opened->wave(0, 299, 16));
  }
}

class Numpy : public testing::Test {
 protected:
  // Writes what `wave` answers beside the recording and lets numpy check it.
  static void check(const std::filesystem::path& recording, int channels) {
    const test::TempFolder folder;
    const std::string path = (folder.path() / "wave").string();
    int count = 0;
    for (int channel = 1; channel <= channels; ++channel) {
      ASSERT_TRUE(write_pyramid(recording.string(), channel, {}, path)) << recording;
      const auto pyramid = Pyramid::open(path);
      ASSERT_TRUE(pyramid);
      const double first = pyramid->first_time(), length = pyramid->last_time() - first;
      for (const auto& [from, to, bins] : std::initializer_list<std::tuple<double, double, int>>{
               {0, 1, 1}, {0, 1, 100}, {-0.1, 1.2, 333}, {0.37, 0.41, 10}, {0.5, 0.5001, 40}}) {
        const auto wave = pyramid->wave(first + from * length, first + to * length, bins);
        ASSERT_TRUE(wave);
        folder.write(fmt::format("{}-{}.wave", channel, ++count), wave_bytes(*wave));
      }
    }
    const std::string command =
        fmt::format("/usr/bin/python3 '{}/reference/wave_numpy.py' '{}' '{}'", TAUTMARK_TESTS_DIR,
                    recording.string(), folder.path().string());
    EXPECT_EQ(std::system(command.c_str()), 0) << recording;
  }
};

TEST_F(Numpy, SaysTheSameOfAMadeRecording) {
  std::string text = "time,a,b\n";
  const Truth truth = made(9000);
  for (std::size_t i = 0; i < truth.times.size(); ++i)
    text += fmt::format("{:.4f},{:.9g},{}\n", truth.times[i], truth.values[i], i % 13);
  const test::TempFolder folder;
  check(folder.write("r.csv", text), 2);
}

TEST_F(Numpy, SaysTheSameOfRealRecordings) {
  const std::filesystem::path folder =
      std::filesystem::path(TAUTMARK_SOURCE_DIR) / ".." / "shared" / "data" / "recordings";
  if (!std::filesystem::exists(folder)) GTEST_SKIP() << "skipped: no recordings";
  for (const char* name : {"a1", "a2", "a4"}) check(folder / fmt::format("{}.csv", name), 1);
  for (const char* name : {"r01", "r05", "r11", "r18"})
    check(folder / fmt::format("{}.csv", name), 2);
}

TEST(Pyramid, IsLeftWhenItIsWantedNoMore) {
  const test::TempFolder folder;
  const std::string file = folder.write("r.csv", "time,a\n0,1\n1,2\n2,1\n");
  const std::string path = (folder.path() / "wave").string();
  EXPECT_FALSE(write_pyramid(file, 1, {}, path, [] { return false; }));
  EXPECT_FALSE(std::filesystem::exists(path));
  EXPECT_TRUE(write_pyramid(file, 1, {}, path, [] { return true; }));
}

}  // namespace
}  // namespace tautmark
