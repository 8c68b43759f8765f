// SPDX-License-Identifier: Apache-2.0
// Codes are read by zbarimg (zbar-tools), a decoder that shares nothing with the encoder.
#include "serve/scan_code.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdio>
#include <fstream>
#include <vector>

#include "base/text.h"
#include "serve/test_program.h"
#include "support/temp_folder.h"

namespace tautmark {
namespace {

const std::string kAddress = "https://192.168.20.31:8604/pair#K7QM-4TRX";

struct Picture {
  int width = 0, height = 0;
  std::vector<bool> bright;
};

std::string decoded(const Picture& picture) {
  const test::TempFolder folder;
  constexpr int kScale = 6;
  std::string pixels;
  for (int y = 0; y < picture.height * kScale; ++y)
    for (int x = 0; x < picture.width * kScale; ++x)
      pixels += picture.bright[static_cast<std::size_t>((y / kScale) * picture.width + x / kScale)]
                    ? '\xFF'
                    : '\0';
  const std::string file = folder.write(
      "code.pgm",
      fmt::format("P5 {} {} 255\n", picture.width * kScale, picture.height * kScale) + pixels);
  return test::output_of("zbarimg -q --raw --nodbus " + file + " 2>&1");
}

// What an eye sees of the text: the drawn halves are bright on a dark terminal, dark on a light.
Picture seen(const std::string& text, bool drawn_is_bright) {
  Picture picture;
  std::vector<std::vector<bool>> rows;
  for (const std::string& line : split(text, '\n')) {
    if (line.empty()) continue;
    std::vector<bool> upper, lower;
    for (std::size_t i = 0; i < line.size();) {
      if (line[i] == '\x1b') {
        i = line.find('m', i) + 1;
      } else if (line[i] == ' ') {
        upper.push_back(!drawn_is_bright);
        lower.push_back(!drawn_is_bright);
        ++i;
      } else {
        const std::string block = line.substr(i, 3);
        upper.push_back((block != "▄") == drawn_is_bright);
        lower.push_back((block != "▀") == drawn_is_bright);
        i += 3;
      }
    }
    rows.push_back(upper);
    rows.push_back(lower);
  }
  picture.height = static_cast<int>(rows.size());
  picture.width = static_cast<int>(rows.front().size());
  for (const auto& row : rows) {
    EXPECT_EQ(row.size(), rows.front().size());
    picture.bright.insert(picture.bright.end(), row.begin(), row.end());
  }
  return picture;
}

TEST(ScanCode, IsReadFromEveryTerminal) {
  if (!test::has_program("zbarimg")) GTEST_SKIP() << "no zbarimg here";
  const auto code = scan_code(kAddress);
  ASSERT_TRUE(code);
  EXPECT_EQ(decoded(seen(terminal_text(*code, TerminalCode::color), false)), kAddress + "\n");
  EXPECT_EQ(decoded(seen(terminal_text(*code, TerminalCode::dark_terminal), true)),
            kAddress + "\n");
  EXPECT_EQ(decoded(seen(terminal_text(*code, TerminalCode::light_terminal), false)),
            kAddress + "\n");
}

TEST(ScanCode, ABrokenOneIsNotRead) {
  if (!test::has_program("zbarimg")) GTEST_SKIP() << "no zbarimg here";
  auto code = scan_code(kAddress);
  ASSERT_TRUE(code);
  for (std::size_t i = 0; i < code->dark.size() / 2; ++i) code->dark[i] = i % 3 == 0;
  EXPECT_EQ(decoded(seen(terminal_text(*code, TerminalCode::color), false)), "");
}

TEST(ScanCode, KeepsItsQuietZone) {
  const auto code = scan_code(kAddress);
  ASSERT_TRUE(code);
  const Picture picture = seen(terminal_text(*code, TerminalCode::color), false);
  EXPECT_EQ(picture.width, code->width + 2 * kQuietModules);
  for (int y = 0; y < picture.height; ++y)
    for (int x = 0; x < picture.width; ++x) {
      const bool inside = y >= kQuietModules && y < code->width + kQuietModules &&
                          x >= kQuietModules && x < code->width + kQuietModules;
      if (!inside) {
        EXPECT_TRUE(picture.bright[static_cast<std::size_t>(y * picture.width + x)]);
      }
    }
}

// The path drawn by hand: every subpath is a bar of one row.
TEST(ScanCode, SvgDrawsTheSameModules) {
  const auto code = scan_code(kAddress);
  ASSERT_TRUE(code);
  const std::string svg = svg_text(*code, "Scan <me>");
  EXPECT_NE(svg.find("<title>Scan &lt;me&gt;</title>"), std::string::npos);
  ScanCode drawn{code->width, std::vector<bool>(code->dark.size())};
  const auto begin = svg.find(" d=\"") + 4;
  std::string path = svg.substr(begin, svg.find('"', begin) - begin);
  int bars = 0;
  for (const std::string& bar : split(path, 'z')) {
    int x = 0, y = 0, length = 0, back = 0;
    if (bar.empty()) continue;
    ASSERT_EQ(std::sscanf(bar.c_str(), "M%d %dh%dv1H%d", &x, &y, &length, &back), 4) << bar;
    EXPECT_EQ(x, back);
    for (int i = 0; i < length; ++i)
      drawn.dark[static_cast<std::size_t>((y - kQuietModules) * code->width + x + i -
                                          kQuietModules)] = true;
    ++bars;
  }
  EXPECT_GT(bars, 100);
  EXPECT_EQ(drawn.dark, code->dark);
}

TEST(ScanCode, RefusesWhatDoesNotFit) {
  EXPECT_FALSE(scan_code(""));
  EXPECT_TRUE(scan_code(std::string(2331, 'x')));  // ISO/IEC 18004 table 7, version 40-M, bytes
  EXPECT_FALSE(scan_code(std::string(2332, 'x')));
}

TEST(ScanCode, WithoutColorTheGroundDecides) {
  EXPECT_EQ(terminal_code(true, "", "0;15"), TerminalCode::color);
  EXPECT_EQ(terminal_code(true, "1", ""), TerminalCode::dark_terminal);
  EXPECT_EQ(terminal_code(true, "1", "15;0"), TerminalCode::dark_terminal);
  EXPECT_EQ(terminal_code(true, "1", "15;default;8"), TerminalCode::dark_terminal);
  EXPECT_EQ(terminal_code(true, "1", "0;15"), TerminalCode::light_terminal);
  EXPECT_EQ(terminal_code(true, "1", "0;default;7"), TerminalCode::light_terminal);
  EXPECT_EQ(terminal_code(false, "", ""), TerminalCode::light_terminal);
}

}  // namespace
}  // namespace tautmark
