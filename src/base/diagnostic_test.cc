// SPDX-License-Identifier: Apache-2.0
#include "base/diagnostic.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

#include "base/text.h"

namespace tautmark {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;

Diagnostic mistake(std::string message, int line = 1, int column = 1, std::string file = "a.yaml") {
  Diagnostic diagnostic;
  diagnostic.place = {.file = std::move(file), .line = line, .column = column, .line_text = {}};
  diagnostic.message = std::move(message);
  return diagnostic;
}

std::vector<std::string> messages(const Diagnostics& diagnostics) {
  std::vector<std::string> all;
  for (const Diagnostic& diagnostic : diagnostics) all.push_back(diagnostic.message);
  return all;
}

TEST(DiagnosticText, SaysPlaceLineCaretHintAndSecondPlace) {
  Diagnostic diagnostic;
  diagnostic.place = {"a.yaml", 41, 9, 4, "  bore: 84.0"};
  diagnostic.message = "84.0 has no unit";
  diagnostic.hint = "write \"84.0 mm\"";
  diagnostic.second = DiagnosticNote{{"b.yaml", 6, 3, 1, "  bore: 84.0 mm"}, "its base is here"};
  EXPECT_EQ(diagnostic_text(diagnostic),
            "a.yaml:41:9: error: 84.0 has no unit\n"
            "   41 |   bore: 84.0\n"
            "      |         ^~~~\n"
            "  hint: write \"84.0 mm\"\n"
            "  note: b.yaml:6:3: its base is here\n"
            "    6 |   bore: 84.0 mm\n"
            "      |   ^\n");
}

TEST(DiagnosticText, NamesOnlyTheFileWhenNoLineIsMeant) {
  EXPECT_EQ(diagnostic_text(mistake("no such file", 0)), "a.yaml: error: no such file\n");
}

TEST(DiagnosticText, SaysWarningForAWarning) {
  Diagnostic diagnostic = mistake("not checked", 2, 3);
  diagnostic.severity = Severity::warning;
  EXPECT_EQ(diagnostic_text(diagnostic), "a.yaml:2:3: warning: not checked\n");
}

TEST(DiagnosticText, CountsCharactersNotBytesUnderTheCaret) {
  Diagnostic diagnostic;
  diagnostic.place = {"a.yaml", 1, 6, 2, "ø: ± 5 µm"};
  diagnostic.message = "wrong";
  EXPECT_THAT(diagnostic_text(diagnostic), HasSubstr(" | ø: ± 5 µm\n      |      ^~\n"));
}

TEST(DiagnosticText, ShowsAWindowOfALongLineWithTheCaretAtItsPlace) {
  const std::string line = std::string(500, 'a') + "X" + std::string(500, 'b');
  Diagnostic diagnostic;
  diagnostic.place = {"a.json", 1, 501, 1, line};
  diagnostic.message = "wrong";
  const std::string text = diagnostic_text(diagnostic);
  EXPECT_LT(text.size(), 500U);
  std::vector<std::string> lines = split(text, '\n');
  ASSERT_GE(lines.size(), 3U);
  const std::size_t x = lines[1].find('X');
  ASSERT_NE(x, std::string::npos);
  EXPECT_EQ(character_count(lines[1].substr(0, x)), lines[2].find('^'));
  EXPECT_THAT(lines[1], HasSubstr("…"));
}

TEST(DiagnosticText, DrawsNoCaretLineBeyondTheLine) {
  Diagnostic diagnostic;
  diagnostic.place = {"a.yaml", 1, 5, 1000000, "title: a"};
  diagnostic.message = "wrong";
  EXPECT_THAT(diagnostic_text(diagnostic), HasSubstr(" |     ^~~~\n"));
}

// A binary file named by mistake must not reach the terminal as it is.
TEST(DiagnosticText, ShowsBytesThatAreNoTextAsQuestionMarks) {
  Diagnostic diagnostic;
  diagnostic.place = {"a.yaml", 1, 1, 1, "\x1b[31m\xff\xfe\x7f\tred"};
  diagnostic.message = "this is not UTF-8 text";
  const std::string text = diagnostic_text(diagnostic);
  EXPECT_THAT(text, HasSubstr(" | ?[31m??? red\n"));
  EXPECT_FALSE(first_invalid_utf8(text).has_value());
}

TEST(AddDiagnostic, StopsAtABoundAndSaysSo) {
  Diagnostics all;
  for (int i = 0; i < 100000; ++i) add_diagnostic(all, mistake("wrong", i + 1));
  EXPECT_EQ(all.size(), kMostDiagnostics + 1);
  EXPECT_THAT(all.back().message, HasSubstr("more than 200 mistakes"));
  EXPECT_EQ(all.back().place.line, 0);
}

TEST(AddDiagnostic, DropsNoErrorBehindWarnings) {
  Diagnostics all;
  Diagnostic warning = mistake("weak");
  warning.severity = Severity::warning;
  for (int i = 0; i < 1000; ++i) add_diagnostic(all, warning);
  EXPECT_FALSE(has_errors(all));
  add_diagnostic(all, mistake("wrong"));
  EXPECT_TRUE(has_errors(all));
}

TEST(AddDiagnostic, CutsMessagesThatQuoteMegabytes) {
  Diagnostics all;
  add_diagnostic(all, mistake(std::string(699, 'x') + "\u00e4" + std::string(1U << 20U, 'x')));
  EXPECT_EQ(all[0].message, std::string(699, 'x') + "…");
}

TEST(SortByPlace, FollowsTheFileAndKeepsFilesInTheirOrder) {
  Diagnostics all = {mistake("d", 1, 1, "z.yaml"), mistake("c", 9), mistake("b", 2, 7),
                     mistake("a", 2, 3), mistake("whole file", 0)};
  sort_by_place(all);
  EXPECT_THAT(messages(all), ElementsAre("d", "a", "b", "c", "whole file"));
}

TEST(SortByPlace, SaysTheSameThingOnce) {
  Diagnostics all = {mistake("a", 2), mistake("b", 2), mistake("a", 2), mistake("a", 3)};
  sort_by_place(all);
  EXPECT_THAT(messages(all), ElementsAre("a", "b", "a", "a"));
  all = {mistake("a", 2), mistake("a", 2)};
  sort_by_place(all);
  EXPECT_EQ(all.size(), 1U);
}

}  // namespace
}  // namespace tautmark
