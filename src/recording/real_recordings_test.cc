// SPDX-License-Identifier: Apache-2.0
// Recordings published with an open-source engine-control firmware, see shared/data/recordings.
// Lines, glitches of the crank channel and wheels as in the table of this project's notes on
// sensor signals, "real recordings".
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>

#include "recording/read.h"

namespace tautmark {
namespace {

const std::filesystem::path kFolder =
    std::filesystem::path(TAUTMARK_SOURCE_DIR) / ".." / "shared" / "data" / "recordings";

class RealRecordings : public testing::Test {
 protected:
  void SetUp() override {
    if (!std::filesystem::exists(kFolder)) GTEST_SKIP() << "skipped: no recordings";
  }
  static SignalTrains read(const std::string& name) {
    const auto trains = read_recording((kFolder / (name + ".csv")).string());
    EXPECT_TRUE(trains) << diagnostics_text(trains ? Diagnostics() : trains.error());
    return trains.value_or(SignalTrains());
  }
};

TEST_F(RealRecordings, RowsChannelsAndGlitchesOfTheCrank) {
  struct Row {
    const char* name;
    std::int64_t rows;  // lines of the file without its header
    std::size_t channels;
    std::int64_t glitches;
  };
  for (const Row& row : std::initializer_list<Row>{{"r01", 2047, 2, 0},
                                                   {"r02", 2049, 2, 1},
                                                   {"r05", 698, 3, 0},
                                                   {"r06", 812, 3, 0},
                                                   {"r11", 977, 2, 0},
                                                   {"r13", 217, 4, 0},
                                                   {"r15", 130, 4, 5},
                                                   {"r16", 118, 4, 2},
                                                   {"r18", 266, 4, 4}}) {
    const SignalTrains trains = read(row.name);
    EXPECT_EQ(trains.samples, row.rows) << row.name;
    ASSERT_EQ(trains.channels.size(), row.channels) << row.name;
    EXPECT_EQ(trains.format, "CSV, one row per change") << row.name;
    EXPECT_EQ(trains.channels[0].glitches, row.glitches) << row.name;
    EXPECT_TRUE(trains.notes.empty()) << row.name;
    for (const SignalTrain& train : trains.channels)
      EXPECT_EQ(train.kind, SignalKind::logic) << row.name;
  }
}

// r02 is r01 with one double edge added by hand.
TEST_F(RealRecordings, AnAddedDoubleEdgeIsDropped) {
  const SignalTrains clean = read("r01"), added = read("r02");
  ASSERT_EQ(clean.channels.size(), added.channels.size());
  for (std::size_t c = 0; c < clean.channels.size(); ++c) {
    const auto& a = clean.channels[c].edges;
    const auto& b = added.channels[c].edges;
    ASSERT_EQ(a.size(), b.size());
    for (std::size_t i = 0; i < a.size(); ++i) {
      EXPECT_EQ(a[i].time, b[i].time);
      EXPECT_EQ(a[i].polarity, b[i].polarity);
    }
  }
}

TEST_F(RealRecordings, WithoutHeader) {
  const SignalTrains trains = read("n1");
  EXPECT_EQ(trains.samples, 538);
  ASSERT_EQ(trains.channels.size(), 1U);
  EXPECT_EQ(trains.channels[0].edges.size(), 537U);
  ASSERT_EQ(trains.notes.size(), 1U);
  EXPECT_EQ(trains.notes[0], "the file states no unit of time: seconds");
}

// Edges from one gap to the next, for every whole turn.
std::vector<int> edges_per_turn(const SignalTrain& train, int polarity) {
  std::vector<double> times;
  for (const SignalEdge& edge : train.edges)
    if (edge.polarity == polarity) times.push_back(edge.time);
  std::vector<int> turns;
  int count = 0;
  bool in_turn = false;
  for (std::size_t i = 2; i + 1 < times.size(); ++i) {
    ++count;
    const double before = times[i - 1] - times[i - 2], after = times[i + 1] - times[i];
    if (times[i] - times[i - 1] < 1.6 * std::min(before, after)) continue;
    if (in_turn) turns.push_back(count);
    in_turn = true;
    count = 0;
  }
  return turns;
}

// A 60-2 wheel: 58 teeth a turn on the flank through the tooth. On the other flank the gap is an
// odd pair of intervals, 56 edges and one, and so one edge fewer.
TEST_F(RealRecordings, InductiveWheelOf58Teeth) {
  const SignalTrains trains = read("a1");
  EXPECT_EQ(trains.samples, 60000);
  EXPECT_EQ(trains.format, "CSV, sampled");
  ASSERT_EQ(trains.channels.size(), 1U);
  EXPECT_EQ(trains.channels[0].kind, SignalKind::inductive);
  EXPECT_EQ(trains.channels[0].name, "crank");
  const std::vector<int> falling = edges_per_turn(trains.channels[0], -1);
  ASSERT_GE(falling.size(), 15U);
  for (const int count : falling) EXPECT_EQ(count, 58);
  const std::vector<int> rising = edges_per_turn(trains.channels[0], 1);
  ASSERT_GE(rising.size(), 30U);
  for (std::size_t i = 0; i + 1 < rising.size(); i += 2)
    EXPECT_EQ(rising[i] + rising[i + 1], 57) << i;
}

TEST_F(RealRecordings, InductiveDuringAStart) {
  for (const char* name : {"a2", "a4"}) {
    const SignalTrains trains = read(name);
    ASSERT_EQ(trains.channels.size(), 1U);
    EXPECT_EQ(trains.channels[0].kind, SignalKind::inductive);
    const std::vector<int> turns = edges_per_turn(trains.channels[0], -1);
    ASSERT_GE(turns.size(), 8U);
    for (std::size_t i = 0; i < 8; ++i) EXPECT_EQ(turns[i], 58) << name << i;
  }
}

}  // namespace
}  // namespace tautmark
