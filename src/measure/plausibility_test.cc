// SPDX-License-Identifier: Apache-2.0
#include "measure/plausibility.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "measure/random.h"

namespace tautmark {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

int count(const std::vector<PlausibilityNote>& notes, PlausibilityCode code) {
  return static_cast<int>(std::count_if(notes.begin(), notes.end(),
                                        [&](const auto& note) { return note.code == code; }));
}

ReadingSet journals() {
  return {.kind = Kind::length,
          .positions = {{24.972e-3, 24.973e-3, 24.971e-3}, {24.970e-3, 24.970e-3, 24.971e-3}},
          .resolution = 1e-6,
          .repeatability_sd = 1.5e-6,
          .expected = {.lower = 24.9e-3, .upper = 25.0e-3}};
}

TEST(PlausibilityNotes, AreEmptyForOrdinaryReadings) {
  EXPECT_TRUE(plausibility_notes(journals()).empty());
  EXPECT_TRUE(plausibility_notes({}).empty());
}

TEST(PlausibilityNotes, NoticeReadingsThatWereCopied) {
  ReadingSet set = journals();
  set.positions = {{24.972e-3, 24.972e-3, 24.972e-3}, {24.972e-3, 24.972e-3, 24.972e-3}};
  const auto notes = plausibility_notes(set);
  ASSERT_EQ(notes.size(), 1u);
  EXPECT_EQ(notes[0].code, PlausibilityCode::identical_readings);
  EXPECT_NE(notes[0].sentence.find("2 positions"), std::string::npos);

  // A coarse gauge shows no scatter, and that is honest.
  set.resolution = 10e-6;
  EXPECT_TRUE(plausibility_notes(set).empty());
  set.resolution = 0;
  EXPECT_TRUE(plausibility_notes(set).empty());
  // One position, or two repeats, may be equal by chance.
  set.resolution = 1e-6;
  set.positions = {{24.972e-3, 24.972e-3, 24.972e-3}, {24.972e-3, 24.972e-3}};
  EXPECT_TRUE(plausibility_notes(set).empty());
}

TEST(PlausibilityNotes, NoticeAUnitSlip) {
  struct Row {
    Kind kind;
    double lower, upper, value;
    const char* words;
  };
  for (const Row& row : {
           Row{Kind::length, 24.9e-3, 25.0e-3, 24.97e-3 / 25.4, "inch and millimeter"},
           Row{Kind::length, 24.9e-3, 25.0e-3, 24.97e-3 * 25.4, "inch and millimeter"},
           Row{Kind::length, 24.9e-3, 25.0e-3, 0.2497, "one decimal place"},
           Row{Kind::length, 25e-6, 66e-6, 55e-3, "three decimal places"},
           Row{Kind::pressure, 170e3, 220e3, 27.6e3, "psi and kPa"},
           Row{Kind::torque, 11, 13, 106, "lbf·in and N·m"},
           Row{Kind::crank_angle, 0.29, 0.31, 0.15, "crank and cam degrees"},
       }) {
    const ReadingSet set{.kind = row.kind,
                         .positions = {{row.value}},
                         .expected = {.lower = row.lower, .upper = row.upper}};
    const auto notes = plausibility_notes(set);
    ASSERT_EQ(notes.size(), 1u) << row.words;
    EXPECT_EQ(notes[0].code, PlausibilityCode::unit_slip);
    EXPECT_NE(notes[0].sentence.find(row.words), std::string::npos) << notes[0].sentence;
    EXPECT_EQ(notes[0].position, 1);
  }
}

TEST(PlausibilityNotes, DoNotTakeWearForASlip) {
  ReadingSet set = journals();
  set.positions = {{0.120e-3}};  // far beyond a clearance of 25 to 66 µm, by no known factor
  set.expected = {.lower = 25e-6, .upper = 66e-6};
  EXPECT_TRUE(plausibility_notes(set).empty());
  set.positions = {{0.08e-3}};
  EXPECT_TRUE(plausibility_notes(set).empty());
  set.expected = {.lower = std::nullopt, .upper = 66e-6};
  set.positions = {{0.55e-3}};
  EXPECT_TRUE(plausibility_notes(set).empty());
}

TEST(PlausibilityNotes, NoticeWhatCannotBe) {
  const auto noticed = [](Kind kind, double value) {
    return count(plausibility_notes({.kind = kind, .positions = {{value}}, .expected = {}}),
                 PlausibilityCode::not_physical) == 1;
  };
  EXPECT_TRUE(noticed(Kind::length, 25));
  EXPECT_TRUE(noticed(Kind::length, kNan));
  EXPECT_TRUE(noticed(Kind::temperature, 95));  // degrees Celsius taken as kelvin
  EXPECT_TRUE(noticed(Kind::pressure, -200e3));
  EXPECT_TRUE(noticed(Kind::time, -1));
  EXPECT_TRUE(noticed(Kind::rotational_speed, std::numeric_limits<double>::infinity()));
  EXPECT_FALSE(noticed(Kind::temperature, 368));
  EXPECT_FALSE(noticed(Kind::length, -0.01e-3));
}

TEST(PlausibilityNotes, NoticeDriftInALongSeries) {
  ReadingSet set;
  set.positions = {{}};
  for (int i = 0; i < 20; ++i) set.positions[0].push_back(0.025 + 1e-6 * i);
  EXPECT_EQ(count(plausibility_notes(set), PlausibilityCode::drift), 1);
  set.positions[0].resize(19);
  EXPECT_EQ(count(plausibility_notes(set), PlausibilityCode::drift), 0);
}

// 1 % by design; the share over 2000 series of pure scatter stays near it.
TEST(PlausibilityNotes, SeldomTakeScatterForDrift) {
  RandomGenerator random(5);
  int noticed = 0;
  for (int series = 0; series < 2000; ++series) {
    ReadingSet set;
    set.positions = {{}};
    for (int i = 0; i < 40; ++i) set.positions[0].push_back(0.3 + 0.01 * random.normal());
    noticed += count(plausibility_notes(set), PlausibilityCode::drift);
  }
  EXPECT_LT(noticed, 40);
}

TEST(PlausibilityNotes, ShowAnOutlierAndKeepIt) {
  ReadingSet set = journals();
  set.positions[1] = {24.970e-3, 24.971e-3, 24.907e-3, 24.970e-3};
  const auto notes = plausibility_notes(set);
  ASSERT_EQ(notes.size(), 1u);
  EXPECT_EQ(notes[0].code, PlausibilityCode::outlier);
  EXPECT_EQ(notes[0].position, 2);
  EXPECT_EQ(notes[0].reading, 3);
  // Without any scatter known, equal readings leave only the last bit: a real step still shows.
  const ReadingSet bare{.positions = {{1, 1, 1, 1.001}}, .expected = {}};
  EXPECT_EQ(count(plausibility_notes(bare), PlausibilityCode::outlier), 1);
  const ReadingSet spread{.positions = {{1, 2, 3}}, .expected = {}};
  EXPECT_TRUE(plausibility_notes(spread).empty());
}

TEST(SwappedBoreAndJournal, NoticesTheSwap) {
  const Limits bore{.lower = 25.020e-3, .upper = 25.060e-3};
  const Limits journal{.lower = 24.960e-3, .upper = 25.000e-3};
  const auto swapped = swapped_bore_and_journal(24.985e-3, 25.040e-3, bore, journal);
  ASSERT_TRUE(swapped);
  EXPECT_EQ(swapped->code, PlausibilityCode::swapped);
  EXPECT_TRUE(swapped_bore_and_journal(24.985e-3, 25.040e-3));
  EXPECT_FALSE(swapped_bore_and_journal(25.040e-3, 24.985e-3, bore, journal));
  EXPECT_FALSE(swapped_bore_and_journal(25.040e-3, 24.985e-3));
  EXPECT_FALSE(swapped_bore_and_journal(kNan, 24.985e-3));
}

}  // namespace
}  // namespace tautmark
