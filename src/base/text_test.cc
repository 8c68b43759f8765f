// SPDX-License-Identifier: Apache-2.0
#include "base/text.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cstdio>
#include <string>
#include <vector>

#include "base/case_fold.h"

namespace tautmark {
namespace {

TEST(Text, TrimmedDropsBlanksAtBothEndsOnly) {
  EXPECT_EQ(trimmed(" \t a b\r\n"), "a b");
  EXPECT_EQ(trimmed(" \n "), "");
  EXPECT_EQ(trimmed(""), "");
}

TEST(Text, FoldedIsHowNamesAreCompared) {
  EXPECT_EQ(folded("  Exhaust \t CAM\n"), "exhaust cam");
  EXPECT_EQ(folded(""), "");
}

// Every letter of the blocks that case_fold.cc names, against Python's str.casefold
// (tests/reference/case_folding.py). Without Python the test fails; it is not skipped.
TEST(Text, CaseFoldingIsThatOfUnicode) {
  const std::string command = "/usr/bin/python3 '" TAUTMARK_TESTS_DIR "/reference/case_folding.py'";
  std::FILE* pipe = popen(command.c_str(), "r");
  ASSERT_NE(pipe, nullptr);
  int letters = 0, changed = 0;
  char line[64];
  while (std::fgets(line, sizeof line, pipe) != nullptr) {
    const auto words = split(trimmed(line), ' ');
    ASSERT_EQ(words.size(), 2U) << line;
    EXPECT_EQ(case_folded(words[0]), words[1]);
    EXPECT_EQ(case_folded(words[1]), words[1]) << "folded twice";
    ++letters;
    changed += words[0] != words[1] ? 1 : 0;
  }
  EXPECT_EQ(pclose(pipe), 0);
  EXPECT_GT(letters, 1200);
  EXPECT_GT(changed, 550);
}

TEST(Text, CaseFoldingKeepsOtherTextAndInvalidBytes) {
  EXPECT_EQ(case_folded("Große STRASSE 7, Ölstand"), "grosse strasse 7, ölstand");
  EXPECT_EQ(case_folded("日本 × ÷ 😀"), "日本 × ÷ 😀");
  EXPECT_EQ(case_folded("A\xC3"), "a\xC3");
  EXPECT_EQ(case_folded("\xC3Q\xFF\xE1\x80Z"), "\xC3q\xFF\xE1\x80z");
}

TEST(Text, SplitKeepsEmptyParts) {
  EXPECT_EQ(split("a,,b,", ','), (std::vector<std::string>{"a", "", "b", ""}));
  EXPECT_EQ(split("", ','), (std::vector<std::string>{""}));
}

RC_GTEST_PROP(TextProperty, JoinedUndoesSplit, (const std::string& text)) {
  RC_ASSERT(joined(split(text, 'a'), "a") == text);
}

RC_GTEST_PROP(TextProperty, FoldedIsStable, (const std::string& text)) {
  RC_ASSERT(folded(folded(text)) == folded(text));
}

// Source: RFC 3629, section 4 (the syntax of UTF-8 byte sequences).
TEST(Utf8, FirstInvalidFindsWhatRfc3629Forbids) {
  EXPECT_EQ(first_invalid_utf8("27.98 µm – °C 𝄞"), std::nullopt);
  EXPECT_EQ(first_invalid_utf8("ab\xC0\x80"), 2U);        // overlong
  EXPECT_EQ(first_invalid_utf8("\xE0\x80\x80"), 0U);      // overlong
  EXPECT_EQ(first_invalid_utf8("\xED\xA0\x80"), 0U);      // surrogate
  EXPECT_EQ(first_invalid_utf8("\xF4\x90\x80\x80"), 0U);  // above U+10FFFF
  EXPECT_EQ(first_invalid_utf8("a\x80"), 1U);             // continuation without a lead
  EXPECT_EQ(first_invalid_utf8("a\xE2\x82"), 1U);         // cut off
  EXPECT_EQ(first_invalid_utf8(std::string_view("a\0b", 3)), std::nullopt);
}

TEST(Utf8, CharactersAreCodePointsAndInvalidBytesCountOneEach) {
  EXPECT_EQ(character_count("N·m"), 3U);
  EXPECT_EQ(character_count(""), 0U);
  EXPECT_EQ(character_count("a\xFF\xFE"
                            "b"),
            4U);
  EXPECT_EQ(character_count("\xE2\x82"), 2U);
}

RC_GTEST_PROP(TextProperty, CharacterCountNeverExceedsBytes, (const std::string& bytes)) {
  const std::size_t count = character_count(bytes);
  RC_ASSERT(count <= bytes.size());
  RC_ASSERT(4 * count >= bytes.size());
}

TEST(HalvesText, SaysHalvesAsPeopleDo) {
  EXPECT_EQ(halves_text(1, "tooth", "teeth"), "half a tooth");
  EXPECT_EQ(halves_text(2, "tooth", "teeth"), "1 tooth");
  EXPECT_EQ(halves_text(3, "tooth", "teeth"), "1.5 teeth");
  EXPECT_EQ(halves_text(4, "tooth", "teeth"), "2 teeth");
  EXPECT_EQ(halves_text(0, "tooth", "teeth"), "0 teeth");
}

TEST(Nearest, FindsSlipsOfTheKeyboard) {
  const std::vector<std::string> known = {"tensioner", "idler", "exhaust_cam", "mm"};
  EXPECT_EQ(nearest("tensoner", known), "tensioner");
  EXPECT_EQ(nearest("ilder", known), "idler");  // swapped letters
  EXPECT_EQ(nearest("Exhaust_Cam", known), "exhaust_cam");
  EXPECT_EQ(nearest("nm", known), "mm");
}

TEST(Nearest, SaysNothingWhenNothingIsNear) {
  const std::vector<std::string> known = {"tensioner", "idler", "mm"};
  EXPECT_EQ(nearest("sprocket", known), std::nullopt);
  EXPECT_EQ(nearest("xy", known), std::nullopt);
  EXPECT_EQ(nearest("", known), std::nullopt);
  EXPECT_EQ(nearest(std::string(1000, 'm'), known), std::nullopt);
  EXPECT_EQ(nearest("mm", std::vector<std::string>{}), std::nullopt);
}

RC_GTEST_PROP(TextProperty, NearestFindsAKnownWordItself, (const std::string& word)) {
  const std::string name = "part " + word.substr(0, 20);
  RC_ASSERT(nearest(name, std::vector<std::string>{"something else", name}) == name);
}

}  // namespace
}  // namespace tautmark
