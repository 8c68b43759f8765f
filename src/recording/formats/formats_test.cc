// SPDX-License-Identifier: Apache-2.0
// Files written by general-purpose tools (scipy, h5py, the capture program of Debian), read back.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <numbers>

#include "recording/pyramid.h"
#include "recording/read.h"
#include "support/temp_folder.h"

namespace tautmark {
namespace {

class Formats : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder_ = new test::TempFolder;
    const std::string script = TAUTMARK_SOURCE_DIR "/src/recording/formats/peer_files.py";
    const std::string command =
        "/usr/bin/python3 '" + script + "' '" + folder_->path().string() + "'";
    ASSERT_EQ(std::system(command.c_str()), 0);
  }
  static void TearDownTestSuite() { delete folder_; }
  static Parsed<SignalTrains> read(const std::string& name, const RecordingOptions& options = {}) {
    return read_recording((folder_->path() / name).string(), options);
  }
  static std::string error_of(const std::string& name) {
    const auto trains = read(name);
    return trains ? "" : diagnostics_text(trains.error());
  }
  static Result<Pyramid> samples(const std::string& name, int channel) {
    const std::string pyramid = (folder_->path() / "samples").string();
    const auto written = write_pyramid((folder_->path() / name).string(), channel, {}, pyramid);
    EXPECT_TRUE(written) << diagnostics_text(written ? Diagnostics() : written.error());
    return Pyramid::open(pyramid);
  }
  static test::TempFolder* folder_;
};
test::TempFolder* Formats::folder_ = nullptr;

// A first-order high-pass of 0.5 Hz leads a sine of 50 Hz by atan(0.5 / 50).
const double kLead = std::atan(0.01) / (2 * std::numbers::pi * 50);

void expect_sine(const SignalTrain& train, double tolerance) {
  EXPECT_EQ(train.kind, SignalKind::inductive);
  EXPECT_EQ(train.glitches, 0);
  // Zero crossings at k / 100 s, rising for even k. The first is before anything is armed. The
  // high-pass settles within 2 / (2 pi 0.5) s to 2 % of its lead.
  ASSERT_GE(train.edges.size(), 197U);
  for (std::size_t i = 0; i < train.edges.size(); ++i) {
    const SignalEdge& edge = train.edges[i];
    const double k = std::round(edge.time * 100);
    ASSERT_NEAR(edge.time, k / 100 - kLead, edge.time > 1.5 ? tolerance : 1.1 * kLead) << i;
    ASSERT_EQ(edge.polarity, std::fmod(k, 2) == 0 ? 1 : -1) << i;
  }
}

void expect_square(const SignalTrain& train) {
  EXPECT_TRUE(train.kind == SignalKind::logic || train.kind == SignalKind::hall);
  // 40 flanks a second: the sample at k / 40 s has still the old state, the next has the new one.
  ASSERT_EQ(train.edges.size(), 80U);  // the square begins low for one sample
  for (std::size_t i = 0; i < train.edges.size(); ++i) {
    ASSERT_NEAR(train.edges[i].time, static_cast<double>(i) / 40 + 25e-6, 1e-9) << i;
    ASSERT_EQ(train.edges[i].polarity, i % 2 == 0 ? 1 : -1) << i;
  }
}

void expect_signals(const Parsed<SignalTrains>& trains, std::size_t sine, std::size_t square) {
  ASSERT_TRUE(trains) << diagnostics_text(trains.error());
  ASSERT_EQ(trains->channels.size(), 2U);
  EXPECT_EQ(trains->samples, 40000);
  EXPECT_NEAR(trains->first_time, 0, 1e-12);
  EXPECT_NEAR(trains->last_time, 39999 / 20000.0, 1e-9);
  EXPECT_TRUE(trains->notes.empty()) << trains->notes.front();
  expect_sine(trains->channels[sine], 1e-6);
  expect_square(trains->channels[square]);
}

// Not by their edges but by their samples, a hundredth of a period at a time.
TEST_F(Formats, SamplesOfEveryFormat) {
  struct Row {
    const char* name;
    int sine, square;
    double unit;
  };
  for (const Row& row : std::initializer_list<Row>{{"float.wav", 1, 2, 1},
                                                   {"plain.mat", 1, 2, 1},
                                                   {"packed.mat", 1, 2, 1},
                                                   {"tall.mat", 1, 2, 1},
                                                   {"rate.h5", 1, 2, 1},
                                                   {"time.h5", 2, 1, 1000}}) {
    const auto sine = samples(row.name, row.sine);
    ASSERT_TRUE(sine) << row.name;
    EXPECT_EQ(sine->samples(), 40000) << row.name;
    const auto few = sine->wave(0.1 - 1e-6, 0.12 - 1e-6, 400);  // 400 samples: each by itself
    ASSERT_TRUE(few && few->has_samples) << row.name;
    ASSERT_EQ(few->values.size(), 400U) << row.name;
    for (std::size_t i = 0; i < few->values.size(); ++i)
      ASSERT_NEAR(few->values[i],
                  0.3 + 0.5 * std::sin(2 * std::numbers::pi * static_cast<double>(i) / 400), 1e-6);
    const auto all = sine->wave(0, 2, 100);  // a period in each
    ASSERT_TRUE(all && !all->has_samples);
    for (const WaveBin& bin : all->bins) {
      EXPECT_NEAR(bin.low, -0.2, 1e-6) << row.name;
      EXPECT_NEAR(bin.high, 0.8, 1e-6) << row.name;
    }
    const auto square = samples(row.name, row.square);
    ASSERT_TRUE(square) << row.name;
    const auto halves = square->wave(0.0251, 1.9751, 78);  // whole half periods
    ASSERT_TRUE(halves) << row.name;
    for (std::size_t i = 1; i + 1 < halves->bins.size(); ++i) {
      const WaveBin& bin = halves->bins[i];
      EXPECT_NEAR(bin.low / row.unit, 0.2, 1e-6) << row.name << i;
      EXPECT_NEAR(bin.high / row.unit, 0.8, 1e-6) << row.name << i;
    }
  }
  const auto pieces = samples("pieces.sr", 1);
  ASSERT_TRUE(pieces && pieces->holds());
  EXPECT_EQ(pieces->samples(), 81);  // the first and 80 flanks
  EXPECT_DOUBLE_EQ(pieces->last_time(), 39999 / 20000.0);
}

TEST_F(Formats, SoundOf16BitsAndOfFloats) {
  expect_signals(read("int16.wav"), 0, 1);
  expect_signals(read("float.wav"), 0, 1);
  expect_signals(read("long.rf64"), 0, 1);
  expect_signals(read("long.w64"), 0, 1);
  EXPECT_EQ(read("float.wav")->format, "sound file");
}

TEST_F(Formats, MatlabWithTimesWithRateAndWithInterval) {
  expect_signals(read("plain.mat"), 0, 1);
  EXPECT_EQ(read("plain.mat")->channels[1].name, "cam");
  expect_signals(read("packed.mat"), 0, 1);
  expect_signals(read("tall.mat"), 0, 1);
  expect_signals(read("scaled.mat"), 0, 1);
  EXPECT_EQ(read("scaled.mat")->channels[1].name, "signals 2");
}

TEST_F(Formats, RateFromTheCaller) {
  EXPECT_NE(error_of("no_rate.mat").find("state the rate"), std::string::npos);
  RecordingOptions options;
  options.sample_rate = 20000;
  expect_signals(read("no_rate.mat", options), 0, 1);
}

TEST_F(Formats, Hdf5WithRateAndWithTimesAfterAUserBlock) {
  expect_signals(read("rate.h5"), 0, 1);
  expect_signals(read("time.h5"), 1, 0);  // in the order of names
  EXPECT_EQ(read("time.h5")->channels[1].name, "crank");
}

TEST_F(Formats, Hdf5RefusesOtherFilesAndTooManyChannels) {
  EXPECT_NE(error_of("elsewhere.h5").find("is stored in another file"), std::string::npos);
  EXPECT_NE(error_of("wide.h5").find("no array of samples"), std::string::npos);
}

// A file over which the library itself falls, found by the fuzz target.
TEST_F(Formats, DamagedHdf5EndsInAMessage) {
  const auto trains =
      read_recording(TAUTMARK_SOURCE_DIR "/fuzz/corpus/recording_hdf5/damaged_heap");
  ASSERT_FALSE(trains);
  EXPECT_NE(diagnostics_text(trains.error()).find("an HDF5 file that is damaged"),
            std::string::npos);
}

// Every reader of binary files, cut off at many places: an answer or an error, never a crash.
TEST_F(Formats, CutOffAnywhere) {
  for (const char* name :
       {"int16.wav", "float.wav", "plain.mat", "packed.mat", "rate.h5", "pieces.sr"}) {
    std::ifstream in(folder_->path() / name, std::ios::binary);
    const std::string bytes(std::istreambuf_iterator<char>(in), {});
    for (std::size_t size = 1; size < bytes.size(); size = size * 5 / 4 + 3) {
      const auto trains = read_recording_bytes(name, std::string_view(bytes).substr(0, size));
      if (!trains)
        EXPECT_NE(diagnostics_text(trains.error()), "");
      else
        EXPECT_LE(trains->samples, 40000);
    }
    const auto same = read_recording_bytes(name, bytes);
    ASSERT_TRUE(same) << name;
    EXPECT_EQ(same->channels[0].edges.size(), read(name)->channels[0].edges.size());
  }
}

TEST_F(Formats, TruncatedMatlabIsSaid) {
  for (const char* name : {"plain.mat", "packed.mat"}) {
    std::ifstream in(folder_->path() / name, std::ios::binary);
    const std::string bytes(std::istreambuf_iterator<char>(in), {});
    const auto trains =
        read_recording_bytes(name, std::string_view(bytes).substr(0, bytes.size() - 9));
    ASSERT_FALSE(trains);
    EXPECT_NE(diagnostics_text(trains.error()).find("cut off"), std::string::npos);
  }
}

TEST_F(Formats, TruncatedSoundIsSaid) {
  std::ifstream in(folder_->path() / "int16.wav", std::ios::binary);
  const std::string bytes(std::istreambuf_iterator<char>(in), {});
  const auto trains = read_recording_bytes("x", std::string_view(bytes).substr(0, 80044));
  ASSERT_TRUE(trains);
  EXPECT_EQ(trains->samples, 20000);
  ASSERT_EQ(trains->notes.size(), 1U);
  EXPECT_EQ(trains->notes[0], "the file is truncated");
}

// The same capture as session, dump, text and bare bytes; the edges are counted in the bytes.
TEST_F(Formats, LogicSessionOfTheCaptureProgram) {
  if (std::system("command -v sigrok-cli > /dev/null") != 0) GTEST_SKIP() << "no sigrok-cli";
  const std::string base = (folder_->path() / "count").string();
  const auto run = [](const std::string& arguments) {
    return std::system(("sigrok-cli " + arguments).c_str());
  };
  ASSERT_EQ(
      run("-d demo --channels D0,D1,D2,D3,D4,D5,D6,D7 -c samplerate=1M --samples 100000 -o '" +
          base + ".sr'"),
      0);
  for (const char* format : {"vcd", "csv", "binary"})
    ASSERT_EQ(run("-i '" + base + ".sr' -O " + format + " -o '" + base + "." + format + "'"), 0);
  std::ifstream in(base + ".binary", std::ios::binary);
  const std::string bytes(std::istreambuf_iterator<char>(in), {});
  ASSERT_EQ(bytes.size(), 100000U);
  for (const char* name : {"count.sr", "count.vcd", "count.csv"}) {
    const auto trains = read(name);
    ASSERT_TRUE(trains) << diagnostics_text(trains.error());
    ASSERT_EQ(trains->channels.size(), 8U) << name;
    const bool is_dump = std::string_view(name) == "count.vcd";
    for (std::size_t c = 0; c < 8; ++c) {
      const SignalTrain& train = trains->channels[c];
      std::size_t found = 0;
      for (std::size_t i = 1; i < bytes.size(); ++i) {
        const int before = bytes[i - 1] >> c & 1, now = bytes[i] >> c & 1;
        if (before == now) continue;
        ASSERT_LT(found, train.edges.size()) << name << c;
        const double expected = (static_cast<double>(i) - (is_dump ? 0 : 0.5)) * 1e-6;
        ASSERT_NEAR(train.edges[found].time, expected, 1e-10) << name << c;
        ASSERT_EQ(train.edges[found++].polarity, now - before);
      }
      EXPECT_EQ(train.edges.size(), found) << name << c;
      EXPECT_EQ(train.kind, found == 0 ? SignalKind::dead : SignalKind::logic) << name;
    }
    EXPECT_EQ(trains->channels[3].name, std::string_view(name) == "count.csv" ? "logic" : "D3");
  }
}

TEST_F(Formats, PackedSamplesByTheCallersWord) {
  std::string bytes;
  for (int i = 0; i < 40000; ++i)
    bytes += {static_cast<char>(0x10), static_cast<char>((i + 500 - 1) / 500 % 2 << 1)};
  RecordingOptions options;
  options.packed_logic_channels = 10;
  EXPECT_FALSE(read_recording_bytes("x", bytes, options));  // no rate
  options.sample_rate = 20000;
  const auto trains = read_recording_bytes("x", bytes + "x", options);
  ASSERT_TRUE(trains) << diagnostics_text(trains.error());
  EXPECT_EQ(trains->samples, 40000);
  ASSERT_EQ(trains->channels.size(), 10U);
  expect_square(trains->channels[9]);
  EXPECT_EQ(trains->channels[4].kind, SignalKind::dead);
  EXPECT_EQ(trains->notes.at(0), "the file ends within a sample");
  options.packed_logic_channels = 65;
  EXPECT_FALSE(read_recording_bytes("x", bytes, options));
}

TEST_F(Formats, SessionsInPiecesAndHostileOnes) {
  const auto trains = read("pieces.sr");  // ten pieces: their numbers sort as numbers
  ASSERT_TRUE(trains) << diagnostics_text(trains.error());
  EXPECT_EQ(trains->samples, 40000);
  ASSERT_EQ(trains->channels.size(), 2U);
  EXPECT_EQ(trains->channels[0].name, "crank");
  expect_square(trains->channels[0]);
  EXPECT_EQ(trains->channels[1].kind, SignalKind::dead);
  EXPECT_NE(error_of("missing.sr").find("piece 2 of the logic samples is missing"),
            std::string::npos);
  EXPECT_NE(error_of("bomb.sr").find("more than 1000 times as large"), std::string::npos);
  EXPECT_NE(error_of("bare.sr").find("without \"metadata\""), std::string::npos);
  EXPECT_NE(error_of("wide.sr").find("65 channels; at most 64"), std::string::npos);
}

TEST_F(Formats, AnalogChannelsOfASession) {
  if (std::system("command -v sigrok-cli > /dev/null") != 0) GTEST_SKIP() << "no sigrok-cli";
  const std::string file = (folder_->path() / "analog.sr").string();
  ASSERT_EQ(std::system(("sigrok-cli -d demo --channels D0,A1 -c samplerate=100k --samples 100000 "
                         "-o '" +
                         file + "' 2>/dev/null")
                            .c_str()),
            0);
  const auto trains = read_recording(file);
  ASSERT_TRUE(trains) << diagnostics_text(trains.error());
  ASSERT_EQ(trains->channels.size(), 2U);
  EXPECT_EQ(trains->samples, 100000);
  EXPECT_EQ(trains->channels[1].name, "A1");
  EXPECT_EQ(trains->channels[1].kind, SignalKind::inductive);  // a sine
  EXPECT_TRUE(samples("analog.sr", 1)->holds());
  const auto sine = samples("analog.sr", 2);
  ASSERT_TRUE(sine && !sine->holds());
  EXPECT_EQ(sine->samples(), 100000);
  const WaveBin all = sine->wave(0, 1, 1)->bins.at(0);
  EXPECT_NEAR(all.low, -all.high, 1e-3 * all.high);
}

}  // namespace
}  // namespace tautmark
