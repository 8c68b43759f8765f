// SPDX-License-Identifier: Apache-2.0
#include "recording/command_log.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>

#include "recording/synthesise.h"

namespace tautmark {
namespace {

// Columns in any order, decimal comma, units in a row of their own, an empty cell.
TEST(CommandLogFile, WordsDecideTheColumns) {
  const auto log = read_command_log("log.csv",
                                    "vehicle: test\n"
                                    "Engine speed;Intake cam angle actual;Time;Intake cam desired;"
                                    "Desired idle speed (rpm)\n"
                                    "rpm;°;ms;°;rpm\n"
                                    "801,5;0,5;0;0;700\n"
                                    "803,0;0,5;250;;700\n"
                                    "810,0;1,5;500;12,5;700\n");
  ASSERT_TRUE(log) << diagnostics_text(log.error());
  EXPECT_EQ(log->commanded_name, "Intake cam desired");
  ASSERT_EQ(log->time.size(), 3u);
  EXPECT_DOUBLE_EQ(log->time[1], 0.25);
  EXPECT_DOUBLE_EQ(log->commanded[1], 0);  // held
  EXPECT_DOUBLE_EQ(log->commanded[2], 12.5);
  EXPECT_DOUBLE_EQ(log->actual[2], 1.5);
  EXPECT_DOUBLE_EQ(log->per_minute[1], 803);
  EXPECT_DOUBLE_EQ(log_period(*log), 0.25);
}

TEST(CommandLogFile, PreviousValueHold) {
  CommandLog log;
  log.time = {1, 2, 4};
  log.commanded = {5, 7, 9};
  EXPECT_FALSE(commanded_at(log, 0.999));
  EXPECT_EQ(commanded_at(log, 1).value(), 5);
  EXPECT_EQ(commanded_at(log, 1.999).value(), 5);
  EXPECT_EQ(commanded_at(log, 3.5).value(), 7);
  EXPECT_EQ(commanded_at(log, 100).value(), 9);
}

TEST(CommandLogFile, CamDegreesAndRetardPositive) {
  const auto log =
      read_command_log("l", "t (s),target cam\n0,1\n1,2\n2,-3\n",
                       {.cam = "", .is_in_cam_degrees = true, .retard_is_positive = true});
  ASSERT_TRUE(log) << diagnostics_text(log.error());
  EXPECT_DOUBLE_EQ(log->commanded[2], 6);
}

TEST(CommandLogFile, OneOfSeveralCams) {
  const std::string text =
      "time (s),Commanded throttle,Commanded intake cam bank 1,Commanded intake cam bank 2\n"
      "0,1,2,3\n0.1,1,2,3\n0.2,1,2,3\n";
  const auto none = read_command_log("l.csv", text);
  ASSERT_FALSE(none);
  EXPECT_EQ(none.error().front().place.line, 1);
  EXPECT_NE(none.error().front().message.find("say which cam"), std::string::npos);
  const auto two = read_command_log(
      "l.csv", text, {.cam = "Bank 2", .is_in_cam_degrees = false, .retard_is_positive = false});
  ASSERT_TRUE(two) << diagnostics_text(two.error());
  EXPECT_EQ(two->commanded[0], 3);
}

TEST(CommandLogFile, ErrorsHaveAPlace) {
  const auto bad =
      read_command_log("l.csv", "time (s),target cam\n0,1\n1,2\n2,x7\n3,4\n4,4\n5,5\n");
  ASSERT_FALSE(bad);
  EXPECT_EQ(bad.error().front().place.file, "l.csv");
  EXPECT_EQ(bad.error().front().place.line, 4);
  EXPECT_EQ(bad.error().front().place.column, 3);
  const auto back = read_command_log("l.csv", "time (s),target cam\n0,1\n1,2\n\n0.5,3\n3,4\n");
  ASSERT_FALSE(back);
  EXPECT_EQ(back.error().front().place.line, 5);
  EXPECT_NE(back.error().front().message.find("does not increase"), std::string::npos);
  EXPECT_FALSE(read_command_log("l.csv", "time,position\n0,1\n1,2\n"));
  EXPECT_FALSE(read_command_log("l.csv", "target cam,b\n0,1\n1,2\n"));
  EXPECT_FALSE(read_command_log("l.csv", ""));
  EXPECT_FALSE(read_command_log("l.csv", "time (s),target cam\n"));
  EXPECT_FALSE(read_command_log_file("no such file"));
}

TEST(CommandLogFile, RampsAreOneStep) {
  CommandLog log;
  for (int i = 0; i < 12; ++i) log.time.push_back(0.1 * i);
  log.commanded = {0, 0, 4, 8, 10, 10, 10, 10, 10, 3, 0, 0};
  const auto steps = command_steps(log, 4);
  ASSERT_EQ(steps.size(), 2u);
  EXPECT_DOUBLE_EQ(steps[0].time, 0.2);
  EXPECT_DOUBLE_EQ(steps[0].to, 10);
  EXPECT_DOUBLE_EQ(steps[1].from, 10);
  EXPECT_DOUBLE_EQ(steps[1].to, 0);
}

// Reference: scipy 1.10: minimize_scalar over offset of -stats.pearsonr(np.interp(tl + o, t, n),
// log)[0] -> 2.1416154, correlation 0.9996070; optimize.curve_fit of offset, level and scale ->
// standard error of the offset 0.0045518 s. True offset 2.137, log rounded to 25 1/min.
TEST(ClockAlignment, AgreesWithScipy) {
  std::vector<TurnSpeed> speed;
  for (int k = 0; k < 120; ++k) {
    const double t = 0.1 * k;
    speed.push_back({t, 800 + 300 * std::sin(0.9 * t) + 120 * std::sin(2.3 * t + 1)});
  }
  CommandLog log;
  for (int k = 0; k < 30; ++k) log.time.push_back(0.25 * k);
  log.commanded.assign(30, 0);
  log.per_minute = {1050, 1075, 1100, 1075, 1000, 900,  775,  625,  525,  475,
                    450,  475,  525,  600,  650,  650,  650,  650,  650,  675,
                    725,  825,  925,  1050, 1150, 1200, 1200, 1150, 1075, 975};
  const auto clock = align_clocks(log, speed);
  ASSERT_TRUE(clock) << clock.error().why;
  EXPECT_NEAR(clock->offset, 2.1416154, 2e-4);
  EXPECT_NEAR(clock->correlation, 0.9996070, 1e-6);
  EXPECT_NEAR(clock->uncertainty, 0.0045518, 2e-4);
  EXPECT_NEAR(clock->offset, 2.137, 3 * clock->uncertainty);
}

TEST(ClockAlignment, RefusesWhatCannotBeTold) {
  std::vector<TurnSpeed> steady, wave;
  for (int k = 0; k < 200; ++k) {
    steady.push_back({0.1 * k, 800 + 0.5 * ((k * 7) % 11)});
    wave.push_back({0.1 * k, 800 + 200 * std::sin(2 * M_PI * 0.1 * k / 2)});
  }
  CommandLog log;
  for (int k = 0; k < 40; ++k) log.time.push_back(0.25 * k);
  log.commanded.assign(40, 0);
  EXPECT_FALSE(align_clocks(log, steady));  // no speed
  for (int k = 0; k < 40; ++k) log.per_minute.push_back(800 + ((k * 5) % 7));
  EXPECT_FALSE(align_clocks(log, steady));
  for (int k = 0; k < 40; ++k)
    log.per_minute[static_cast<std::size_t>(k)] = 800 + 200 * std::sin(2 * M_PI * 0.25 * k / 2);
  const auto periodic = align_clocks(log, wave);  // a whole period further it fits as well
  ASSERT_FALSE(periodic);
  EXPECT_NE(periodic.error().why.find("two offsets"), std::string::npos);
}

}  // namespace
}  // namespace tautmark
