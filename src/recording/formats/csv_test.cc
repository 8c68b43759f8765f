// SPDX-License-Identifier: Apache-2.0
// The same few changes written in every way in which such files are written.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "recording/formats/csv_number.h"
#include "recording/read.h"

namespace tautmark {
namespace {

Parsed<SignalTrains> read(const std::string& text, const RecordingOptions& options = {}) {
  return read_recording_bytes("file.csv", text, options);
}
std::string error_of(const std::string& text, const RecordingOptions& options = {}) {
  const auto trains = read(text, options);
  return trains ? "no error" : diagnostics_text(trains.error());
}
std::string replaced(std::string text, char from, const std::string& to) {
  std::string out;
  for (const char c : text) out += c == from ? to : std::string(1, c);
  return out;
}
std::string utf16(const std::string& text, bool is_big, bool with_mark) {
  std::string out = with_mark ? (is_big ? "\xFE\xFF" : "\xFF\xFE") : "";
  for (const char c : text) out += is_big ? std::string{'\0', c} : std::string{c, '\0'};
  return out;
}

// Crank changes at 1 ms, 2 ms, ...; cam at 2 ms and 4 ms.
const std::string kRows = "0.000,0,1\n0.001,1,1\n0.002,0,0\n0.003,1,0\n0.004,0,1\n0.005,1,1\n";

void expect_changes(const std::string& text, const std::string& what) {
  const auto trains = read(text);
  ASSERT_TRUE(trains) << what << diagnostics_text(trains.error());
  ASSERT_EQ(trains->channels.size(), 2U) << what;
  EXPECT_EQ(trains->samples, 6) << what;
  EXPECT_EQ(trains->format, "CSV, one row per change") << what;
  const auto& crank = trains->channels[0].edges;
  const auto& cam = trains->channels[1].edges;
  ASSERT_EQ(crank.size(), 5U) << what;
  for (std::size_t i = 0; i < crank.size(); ++i) {
    EXPECT_NEAR(crank[i].time, 1e-3 * static_cast<double>(i + 1), 1e-15) << what;
    EXPECT_EQ(crank[i].polarity, i % 2 == 0 ? 1 : -1) << what;
  }
  ASSERT_EQ(cam.size(), 2U) << what;
  EXPECT_NEAR(cam[0].time, 2e-3, 1e-15) << what;
  EXPECT_EQ(cam[0].polarity, -1) << what;
  EXPECT_EQ(cam[1].polarity, 1) << what;
}

TEST(Csv, EveryWayOfWritingTheSameRows) {
  const std::string header = "Time [s],crank,cam\n";
  const std::string comma = replaced(replaced(header + kRows, ',', ";"), '.', ",");
  expect_changes(kRows, "bare");
  expect_changes(header + kRows, "header");
  expect_changes(kRows.substr(0, kRows.size() - 1), "no last line end");
  expect_changes(replaced(header + kRows, '\n', "\r\n"), "CR LF");
  expect_changes(replaced(header + kRows, ',', ", "), "blanks after commas");
  expect_changes(replaced(header + kRows, '\n', ",\n"), "trailing comma");
  expect_changes(header + replaced(kRows, '\n', ",\n"), "trailing comma in the rows only");
  expect_changes(replaced(header + kRows, ',', ";"), "semicolon");
  expect_changes(comma, "decimal comma");
  expect_changes(replaced(replaced(kRows, ',', "\t"), '.', ","), "tab, decimal comma");
  expect_changes(replaced(header + kRows, ',', "\t"), "tab");
  expect_changes(replaced(kRows, ',', "  "), "blanks");
  expect_changes("\xEF\xBB\xBF" + header + kRows, "byte order mark");
  expect_changes(utf16(header + kRows, false, true), "UTF-16 little");
  expect_changes(utf16(header + kRows, true, true), "UTF-16 big");
  expect_changes(utf16(header + kRows, false, false), "UTF-16 without a mark");
  expect_changes("# recorder 7\n% more\n\n" + header + kRows, "comments");
  expect_changes(header + "# between\n" + kRows + "\n\n", "comments and empty lines");
  expect_changes("\"Time [s]\",\"crank\",\"cam\"\n" + kRows, "quoted names");
  std::string quoted;
  for (int i = 0; i < 6; ++i)
    quoted += fmt::format("\"0,00{}\",\"{},0\",{}\n", i, i % 2, i < 2 || i > 3 ? 1 : 0);
  expect_changes(quoted, "decimal commas in quotes");
}

// Found by the fuzz target: the name over the empty last column claims to be the time.
TEST(Csv, ATimeThatIsNoColumn) {
  EXPECT_NE(
      error_of("a,b,time [s]\n" + replaced("1,0\n1,1\n0,0\n", '\n', ",\n")).find("state the rate"),
      std::string::npos);
}

TEST(Csv, FilesThatAreNotThere) {
  const auto trains = read_recording("/nowhere/at all.csv");
  ASSERT_FALSE(trains);
  EXPECT_TRUE(diagnostics_text(trains.error())
                  .starts_with("/nowhere/at all.csv: error: No such file or directory"));
  EXPECT_FALSE(read_recording("/"));
}

TEST(Csv, UnitsOfTime) {
  const auto scaled = [](const std::string& header, const std::string& from,
                         const std::string& to) {
    std::string rows;
    for (int i = 0; i < 6; ++i)
      rows += fmt::format("{}{}{},{},{}\n", from, i, to, i % 2, i < 2 || i > 3 ? 1 : 0);
    return header + rows;
  };
  expect_changes(scaled("Time (ms),crank,cam\n", "", ""), "name with unit");
  expect_changes(scaled("time_us,crank,cam\n", "", "000"), "name ends in unit");
  expect_changes(scaled("t / ms,crank,cam\n", "", ""), "name / unit");
  expect_changes(scaled("Time,Channel A,Channel B\n(ms),(V),(V)\n\n", "", ""), "units row");
  expect_changes(scaled("Time,A,B\n[ns],[V],[V]\n", "", "000000"), "units row in brackets");
  expect_changes(scaled("Time [\xC2\xB5s],A,B\n", "", "000"), "micro sign");
  expect_changes(scaled("Time [s],A,B\n", "", "E-3"), "exponents");
  const auto trains = read("0.5,1\n0.6,0\n0.8,1\n");
  ASSERT_TRUE(trains);
  ASSERT_EQ(trains->notes.size(), 1U);
  EXPECT_EQ(trains->notes[0], "the file states no unit of time: seconds");
}

// A square of 100 Hz, 50 rows a period.
std::string square_rows(int rows, const std::string& extra = "") {
  std::string text;
  for (int i = 0; i < rows; ++i) text += fmt::format("{}{}\n", i / 25 % 2, extra);
  return text;
}

TEST(Csv, WithoutTimeTheRateIsGivenOrStated) {
  EXPECT_NE(error_of(square_rows(1000)).find("state the rate"), std::string::npos);
  const auto check = [](const Parsed<SignalTrains>& trains) {
    ASSERT_TRUE(trains) << diagnostics_text(trains.error());
    ASSERT_EQ(trains->samples, 1000);
    ASSERT_EQ(trains->channels[0].edges.size(), 39U);
    // The new state is first seen at row 25: half a sample before, at 24.5 / 5000.
    EXPECT_NEAR(trains->channels[0].edges[0].time, 24.5 / 5000, 1e-12);
    EXPECT_NEAR(trains->channels[0].time_uncertainty, 1 / 5000.0 / std::sqrt(12.0), 1e-12);
  };
  RecordingOptions options;
  options.sample_rate = 5000;
  check(read(square_rows(1000), options));
  check(read("crank\n" + square_rows(1000), options));
  check(read("; Samplerate: 5 kHz\nlogic\n" + square_rows(1000)));
  std::string counted = "sample,crank\n";
  for (int i = 0; i < 1000; ++i) counted += fmt::format("{},{}\n", i, i / 25 % 2);
  check(read(counted, options));
  options.sample_rate = 0;
  EXPECT_NE(error_of(square_rows(1000), options).find("above zero"), std::string::npos);
}

TEST(Csv, OverRangeMarksAreUnknownSamples) {
  std::string text = "Time,A\n(ms),(V)\n";
  for (int i = 0; i < 2000; ++i) {
    const double wave = 2 * std::sin(0.1 * i);
    text += fmt::format("{},{}\n", i, wave > 1.99 ? "\xE2\x88\x9E" : fmt::format("{:.4f}", wave));
  }
  const auto trains = read(text);
  ASSERT_TRUE(trains) << diagnostics_text(trains.error());
  EXPECT_EQ(trains->channels[0].kind, SignalKind::inductive);
  EXPECT_GT(trains->channels[0].unknown_samples, 50);
  EXPECT_NEAR(static_cast<double>(trains->channels[0].edges.size()), 200 / 3.14159, 2);
  for (const char* mark : {"-inf", "NaN", "OL", "---", "***", ""}) {
    const auto one = read(fmt::format("Time [s],A,B\n0,0,1\n1,{},2\n2,1,1\n3,0,3\n", mark));
    ASSERT_TRUE(one) << mark << diagnostics_text(one.error());
    EXPECT_EQ(one->channels[0].unknown_samples, 1) << mark;
  }
}

TEST(Csv, SameNamesAreKept) {
  const auto trains = read("Time[s], coil, coil\n0, 0, 1\n1, 1, 0\n");
  ASSERT_TRUE(trains);
  EXPECT_EQ(trains->channels[0].name, "coil");
  EXPECT_EQ(trains->channels[1].name, "coil");
  EXPECT_EQ(trains->channels[1].channel, 2);
}

TEST(Csv, ErrorsNameTheLine) {
  const std::string header = "Time [s],crank,cam\n";
  EXPECT_TRUE(error_of(header + kRows + "0.006,one,1\n0.007,0,1\n")
                  .starts_with("file.csv:8:7: error: a number was expected"));
  EXPECT_TRUE(error_of(header + kRows + "0.006,0\n0.007,0,1\n")
                  .starts_with("file.csv:8:1: error: 2 fields where the rows before have 3"));
  EXPECT_TRUE(error_of(header + kRows + "nan,0,1\n0.007,0,1\n")
                  .starts_with("file.csv:8:1: error: the time is no number"));
  EXPECT_TRUE(error_of(header + kRows + "# comment\n0.004,0,1\n")
                  .starts_with("file.csv:9:1: error: time runs backwards by 0.001 s"));
  EXPECT_TRUE(error_of("no recording\nat all\n").starts_with("file.csv:1:1: error: no rows"));
  EXPECT_TRUE(error_of("").starts_with("file.csv: error: the file is empty"));
  EXPECT_TRUE(error_of(header).starts_with("file.csv:1:1: error: no rows"));
  EXPECT_TRUE(error_of("Time [s]\n1\n2\n3\n").starts_with("file.csv:2:1: error: no channel"));
}

TEST(Csv, Caps) {
  const auto wide = [](int channels) {
    std::string text;
    for (int row = 0; row < 3; ++row) {
      text += fmt::format("{}.5", row);
      for (int c = 0; c < channels; ++c) text += fmt::format(",{}", row % 2);
      text += '\n';
    }
    return text;
  };
  EXPECT_EQ(read(wide(64))->channels.size(), 64U);
  EXPECT_NE(error_of(wide(65)).find("65 channels; at most 64"), std::string::npos);
  const std::string long_line = kRows + "0.006,0," + std::string(70000, ' ') + "x\n";
  EXPECT_NE(error_of(long_line).find("file.csv:7:1: error: a line above 64 KiB"),
            std::string::npos);
}

TEST(Csv, OddButReadable) {
  for (const char* last : {"0.006,0", "0.006,0\n", "2.1,1\r\n\n", "0.006,0,1e"}) {
    const auto cut = read(kRows + last);
    ASSERT_TRUE(cut) << last;
    EXPECT_EQ(cut->samples, 6) << last;
    ASSERT_EQ(cut->notes.size(), 2U) << last;
    EXPECT_TRUE(cut->notes[1].starts_with("line ")) << cut->notes[1];
    EXPECT_TRUE(cut->notes[1].ends_with(" is cut off: the file is truncated")) << cut->notes[1];
  }
  EXPECT_FALSE(read(kRows + "0.006,0,1e\n"));
  EXPECT_FALSE(read(kRows + "0.006,0\n0.007,0,1\n"));
  const auto one = read("Time [s],crank\n1,0\n");
  ASSERT_TRUE(one) << diagnostics_text(one.error());
  EXPECT_EQ(one->channels[0].kind, SignalKind::dead);
  ASSERT_EQ(one->notes.size(), 1U);
  EXPECT_EQ(one->notes[0], "one sample only");
  EXPECT_TRUE(read(kRows + "0.005,1,1\n"));  // the last row again
}

// A gap in evenly sampled rows, and rows that are swapped by one step.
TEST(Csv, GapsAndSmallStepsBack) {
  std::string text = "Time [ms],A\n";
  for (int i = 0; i < 1000; ++i) text += fmt::format("{},{}\n", i < 500 ? i : i + 300, i / 25 % 2);
  auto trains = read(text);
  ASSERT_TRUE(trains);
  ASSERT_EQ(trains->notes.size(), 1U);
  EXPECT_EQ(trains->notes[0],
            "a gap in time, the longest of 0.301 s, the first before 0.8 s (line 502): no edge is "
            "taken there");
  // 39 changes of state, the one at row 500 falls into the gap.
  EXPECT_EQ(trains->channels[0].edges.size(), 38U);
  text = "Time [ms],A\n";
  for (int i = 0; i < 1000; ++i)
    text += fmt::format("{},{}\n", i == 500 ? 501 : i == 501 ? 500 : i, i / 25 % 2);
  trains = read(text);
  ASSERT_TRUE(trains) << diagnostics_text(trains.error());
  EXPECT_EQ(trains->notes.back(), "time runs backwards by up to one step, 1 times");
}

// Above 4 MiB only pieces are looked at first, and several threads parse: the same edges. The
// engine turns only where no piece was looked at.
TEST(Csv, LargeFilesAtAnyThreadCount) {
  std::string text = "Time [s],A,B\n";
  constexpr int kRowCount = 400000;
  for (int i = 0; i < kRowCount; ++i) {
    const bool turns = i > 3000 && i < 6000;
    text +=
        fmt::format("{:.5f},{:.3f},{}\n", i * 1e-5, turns ? std::sin(0.1 * i) : 0.0, i / 1000 % 2);
  }
  ASSERT_GT(text.size(), std::size_t{4} << 20);
  RecordingOptions one, many;
  one.threads = 1;
  many.threads = 5;
  const auto a = read(text, one), b = read(text, many);
  ASSERT_TRUE(a && b);
  EXPECT_EQ(a->channels[1].edges.size(), 399U);
  EXPECT_EQ(a->channels[0].kind, SignalKind::inductive);
  EXPECT_NEAR(static_cast<double>(a->channels[0].edges.size()), 3000 * 0.1 / 3.14159, 2);
  for (std::size_t c = 0; c < 2; ++c) {
    ASSERT_EQ(a->channels[c].edges.size(), b->channels[c].edges.size());
    for (std::size_t i = 0; i < a->channels[c].edges.size(); ++i)
      ASSERT_EQ(a->channels[c].edges[i].time, b->channels[c].edges[i].time);
  }
}

// Against std::from_chars, which is correctly rounded: every double, bit by bit.
TEST(Csv, NumbersAgreeWithFromChars) {
  std::mt19937_64 random(7);
  std::uniform_int_distribution<int> digits(0, 20), power(-330, 330);
  for (int i = 0; i < 200000; ++i) {
    std::string text = i % 3 == 0 ? "-" : "";
    for (int d = digits(random); d >= 0; --d) text += static_cast<char>('0' + random() % 10);
    if (i % 2 == 0) {
      text += '.';
      for (int d = digits(random); d > 0; --d) text += static_cast<char>('0' + random() % 10);
    }
    if (i % 5 == 0) text += fmt::format("e{}", i % 10 == 0 ? power(random) : power(random) / 20);
    double expected = 0, value = 0;
    const char* const end = text.data() + text.size();
    const auto [stop, error] = std::from_chars(text.data(), end, expected);
    if (error != std::errc()) continue;
    ASSERT_EQ(read_decimal(text.data(), end, '.', value), stop) << text;
    ASSERT_EQ(value, expected) << text;
  }
}

}  // namespace
}  // namespace tautmark
