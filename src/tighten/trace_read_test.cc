// SPDX-License-Identifier: Apache-2.0
#include "tighten/trace_read.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace tautmark::tighten {
namespace {

using testing::HasSubstr;

// Exact by definition (NIST SP 811): pound-force foot and inch.
constexpr double kLbfFoot = 1.3558179483314004, kLbfInch = 0.1129848290276167;

Trace good(std::string_view text) {
  Parsed<Trace> trace = read_trace("t.csv", text);
  EXPECT_TRUE(trace) << text << "\n" << (trace ? "" : diagnostics_text(trace.error()));
  return trace.value_or(Trace{});
}
std::string bad(std::string_view text) {
  const Parsed<Trace> trace = read_trace("t.csv", text);
  EXPECT_FALSE(trace) << text;
  return trace ? "" : diagnostics_text(trace.error());
}

TEST(TraceRead, WaysToWriteIt) {
  struct Row {
    std::string_view text;
    double degrees, newton_metres;
  };
  const Row rows[] = {
      {"angle [deg],Torque (N·m)\n1.5,2.25\n", 1.5, 2.25},
      {"Torque [lbf·ft];Angle [°]\r\n2,25;1,5\r\n", 1.5, 2.25 * kLbfFoot},
      {"\xEF\xBB\xBFWinkel / rad\tDrehmoment / in-lbs\n0.5\t10\n", 0.5 / kRadiansPerDegree,
       10 * kLbfInch},
      {"Angle;Torque\ndeg;Nm\n3;4\n", 3, 4},
      {"Angle;Torque\n[deg];[Nm]\n3;4\n", 3, 4},
      {"sep=;\nTorque Nm;Angle deg\n4;3", 3, 4},
      {"Angle [\xB0];Torque [N\xB7m]\n3;4\n", 3, 4},
      {"\"Angle [deg]\",\"Torque [ft-lbs]\"\n\"3\",\"-1e-1\"\n", 3, -0.1 * kLbfFoot},
      {"# cap 3\n\nmark,deg,Nm\nx,+3,4\n", 3, 4},
  };
  for (const Row& row : rows) {
    const Trace trace = good(row.text);
    ASSERT_EQ(trace.points.size(), 1U) << row.text;
    EXPECT_NEAR(in_deg(trace.points[0].angle), row.degrees, 1e-12) << row.text;
    EXPECT_NEAR(trace.points[0].torque.si(), row.newton_metres, 1e-12) << row.text;
  }
}

TEST(TraceRead, NothingIsLost) {
  const Trace trace = good(
      "# bank 1, cap 3\nTime [ms],Angle [deg],Torque [Nm],Temperature [degC]\n"
      "10,0,1,20\n# let go\n20,1,2,20\n");
  ASSERT_EQ(trace.points.size(), 2U);
  ASSERT_EQ(trace.times.size(), 2U);
  EXPECT_NEAR(trace.times[1].si(), 0.02, 1e-15);
  EXPECT_THAT(trace.notes,
              testing::ElementsAre("bank 1, cap 3", HasSubstr("Temperature [degC]"), "let go"));
}

TEST(TraceRead, AsksForUnits) {
  EXPECT_THAT(bad("Angle [deg],Torque\n1,2\n"), HasSubstr("N·m, lbf·ft or lbf·in?"));
  EXPECT_THAT(bad("Angle [deg],Torque\n1,2\n"), HasSubstr("t.csv:1:13"));
  EXPECT_THAT(bad("Angle [deg],Torque [lb]\n1,2\n"), HasSubstr("factor of 12"));
  EXPECT_THAT(bad("Angle,Torque [Nm]\n1,2\n"), HasSubstr("deg or rad?"));
  EXPECT_THAT(bad("1,2\n3,4\n"), HasSubstr("which is torque"));
}

TEST(TraceRead, SaysWhere) {
  const std::string header = "Angle [deg];Torque [Nm]\n";
  EXPECT_THAT(bad(header + "1;2\n2;ab\n"), HasSubstr("t.csv:3:3"));
  EXPECT_THAT(bad(header + "1;2\n2;ab\n"), HasSubstr("\"ab\" is no number"));
  EXPECT_THAT(bad(header + "1\n"), HasSubstr("the line ends before"));
  EXPECT_THAT(bad(header + "1;\n"), HasSubstr("nothing in the column"));
  EXPECT_THAT(bad(header + "1,5;2\n1.5;2\n"), HasSubstr("decimal sign ., where"));
  EXPECT_THAT(bad("Angle [deg],Torque [Nm]\n\"1,5\",2\n"), HasSubstr("parted by commas"));
  EXPECT_THAT(bad(header + "nan;2\n"), HasSubstr("no number"));
  EXPECT_THAT(bad(header + "1e300;2\n"), HasSubstr("as large as this"));
  EXPECT_THAT(bad(header + "1e999;2\n"), HasSubstr("no number"));
  EXPECT_THAT(bad(header), HasSubstr("no points"));
  EXPECT_THAT(bad(""), HasSubstr("empty"));
  EXPECT_THAT(bad("Angle [deg];Speed\n1;2\n"), HasSubstr("no column of torque"));
  EXPECT_THAT(bad("Angle [deg];Torque [Nm];Target torque [Nm]\n1;2;3\n"), HasSubstr("two columns"));
  EXPECT_THAT(bad(std::string("\xFF\xFE") + "A"), HasSubstr("UTF-16"));
}

TEST(TraceRead, BoundsThePoints) {
  std::string text = "deg;Nm\n";
  for (std::size_t i = 0; i <= kMostTracePoints; ++i) text += "1;2\n";
  EXPECT_THAT(bad(text), HasSubstr("2 000 000"));
}

}  // namespace
}  // namespace tautmark::tighten
