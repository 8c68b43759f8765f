// SPDX-License-Identifier: Apache-2.0
// Value change dumps as IEEE 1364-2005 clause 18 has them, with and without what general-purpose
// programs leave out.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>

#include "recording/read.h"

namespace tautmark {
namespace {

Parsed<SignalTrains> read(const std::string& text) { return read_recording_bytes("a.vcd", text); }
std::string error_of(const std::string& text) {
  const auto trains = read(text);
  return trains ? "no error" : diagnostics_text(trains.error());
}

const std::string kHeader =
    "$date today $end\n$timescale 10 us $end\n$scope module m $end\n"
    "$var wire 1 ! crank $end\n$var reg 3 \"a cam [2:0] $end\n$upscope $end\n"
    "$enddefinitions $end\n";

TEST(Vcd, WiresVectorsAndUnknown) {
  const auto trains = read(kHeader +
                           "$dumpvars x! b0 \"a $end\n#0 0!\n#100 1! b101 \"a\n#150 x!\n#160 1!\n"
                           "$comment 0! $end #200 0! bx1 \"a\n#300\n");
  ASSERT_TRUE(trains) << diagnostics_text(trains.error());
  ASSERT_EQ(trains->channels.size(), 4U);
  EXPECT_EQ(trains->channels[0].name, "crank");
  EXPECT_EQ(trains->channels[1].name, "cam[2:0] bit 2");
  EXPECT_EQ(trains->channels[3].name, "cam[2:0] bit 0");
  const auto& crank = trains->channels[0];
  ASSERT_EQ(crank.edges.size(), 2U);  // x keeps the state
  EXPECT_NEAR(crank.edges[0].time, 1e-3, 1e-15);
  EXPECT_EQ(crank.edges[0].polarity, 1);
  EXPECT_NEAR(crank.edges[1].time, 2e-3, 1e-15);
  EXPECT_EQ(crank.unknown_samples, 2);
  EXPECT_NEAR(crank.time_uncertainty, 1e-5 / std::sqrt(12.0), 1e-15);
  EXPECT_EQ(trains->channels[1].edges.size(), 1U);
  EXPECT_EQ(trains->channels[2].edges.size(), 0U);
  EXPECT_EQ(trains->channels[2].kind, SignalKind::dead);
  EXPECT_EQ(trains->channels[3].edges.size(), 1U);
  EXPECT_NEAR(trains->last_time, 3e-3, 1e-15);  // the bare time mark ends the recording
  EXPECT_TRUE(trains->notes.empty());
}

TEST(Vcd, RealVariables) {
  std::string text = "$timescale 1 us $end $var real 64 v volts $end $enddefinitions $end\n";
  for (int i = 0; i < 20000; ++i)
    text += fmt::format("#{} r{:.6g} v\n", i * 100, 1.5 * std::sin(2 * 3.14159265358979 * i / 100));
  const auto trains = read(text);
  ASSERT_TRUE(trains) << diagnostics_text(trains.error());
  ASSERT_EQ(trains->channels.size(), 1U);
  EXPECT_EQ(trains->channels[0].kind, SignalKind::inductive);
  EXPECT_EQ(trains->channels[0].edges.size(), 399U);
}

TEST(Vcd, ErrorsNameTheLine) {
  EXPECT_TRUE(error_of(kHeader + "#0 0!\n#5\n1?\n").starts_with("a.vcd:10:1: error: no wire"));
  EXPECT_TRUE(error_of(kHeader + "#9\n#5\n").starts_with("a.vcd:9:1: error: time runs backwards"));
  EXPECT_TRUE(error_of(kHeader + "#0\nb12 \"a\n").starts_with("a.vcd:9:1: error: a vector"));
  EXPECT_TRUE(error_of(kHeader + "hello\n").starts_with("a.vcd:8:1: error: a change of value"));
  EXPECT_TRUE(error_of(kHeader).starts_with("a.vcd: error: no time marks"));
  EXPECT_NE(error_of("$timescale 1 ns $end\n$var wire 65 ! x $end\n").find("more than 64"),
            std::string::npos);
  EXPECT_NE(error_of("$var port 1 <0 x $end\n").find("extended dump"), std::string::npos);
  EXPECT_NE(error_of("$timescale 2 ns $end\n").find("such as 1 ns"), std::string::npos);
}

TEST(Vcd, CutOffAnywhere) {
  const std::string text = kHeader + "$dumpvars x! b0 \"a $end\n#0 0!\n#100 1! b101 \"a\n";
  for (std::size_t size = 1; size < text.size(); ++size) {
    const auto trains = read(text.substr(0, size));
    if (!trains) {
      EXPECT_NE(diagnostics_text(trains.error()), "");
    }
  }
  EXPECT_EQ(read(text.substr(0, text.size() - 1))->notes.size(), 1U);
}

}  // namespace
}  // namespace tautmark
