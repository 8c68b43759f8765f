// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <limits>
#include <string>
#include <vector>

#include "report/html_boxes.h"
#include "report/html_parts.h"
#include "report/report.h"
#include "report/value_bar.h"
#include "support/temp_folder.h"

namespace tautmark {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

std::filesystem::path root() { return TAUTMARK_SOURCE_DIR; }

std::string sheet_of(const std::string& case_name) {
  const auto loaded = load_case(case_name, {{root() / "drives"}});
  if (!loaded) return "not readable";
  const auto judgement = judge(*loaded);
  return judgement ? html_sheet(*judgement, *loaded) : "not judged";
}

class HtmlSheet : public ::testing::Test {
 protected:
  std::string sheet_of_text(const std::string& text) {
    return sheet_of(folder_.write("case.yaml", text));
  }

 private:
  test::TempFolder folder_;
};

// Empty when every element is closed by its own name and no '<' or '&' stands bare; else the fault.
std::string fault_in(std::string_view html) {
  std::vector<std::string> open;
  constexpr std::string_view kDoctype = "<!DOCTYPE html>\n";
  if (!html.starts_with(kDoctype)) return "no doctype";
  html.remove_prefix(kDoctype.size());
  while (!html.empty()) {
    const std::size_t next = html.find_first_of("<&");
    if (next == std::string_view::npos) break;
    html.remove_prefix(next);
    const std::size_t end = html.find(html.front() == '&' ? ';' : '>');
    if (end == std::string_view::npos || (end > 2000 && !html.starts_with("<img")))
      return std::string(html.substr(0, 60));
    const std::string_view inside = html.substr(1, end - 1);
    if (html.front() == '&') {
      if (inside != "amp" && inside != "lt" && inside != "gt" && inside != "quot" &&
          inside != "#39")
        return "entity " + std::string(inside);
    } else if (inside.starts_with('/')) {
      if (open.empty() || open.back() != inside.substr(1)) return "end of " + std::string(inside);
      open.pop_back();
    } else if (!inside.ends_with('/')) {
      open.emplace_back(inside.substr(0, inside.find_first_of(" \n")));
    }
    html.remove_prefix(end + 1);
  }
  return open.empty() ? "" : "not closed: " + open.back();
}

constexpr std::string_view kEmptyCase = "tautmark: case/1\nname: empty\nentries: []\n";

TEST_F(HtmlSheet, ClosesEveryElementOfTheDemos) {
  for (const char* name : {"demo/vessgarth", "demo/quellmere"}) {
    const std::string html = sheet_of((root() / name).string());
    ASSERT_THAT(html, HasSubstr("</html>")) << name;
    EXPECT_EQ(fault_in(html), "") << name;
  }
}

TEST_F(HtmlSheet, SaysEveryVerdictOfTheDemoByWordAndLink) {
  const std::string html = sheet_of((root() / "demo/vessgarth").string());
  for (const char* word : {"pass", "fail", "open"}) {
    EXPECT_THAT(html, HasSubstr(std::string("<use href=\"#link-") + word +
                                "\"/></svg>"
                                "<b class=\"verdict-word\">" +
                                word + "</b>"));
  }
  EXPECT_THAT(html, HasSubstr("DO NOT TURN"));
  EXPECT_THAT(html, HasSubstr("0.142 ± 0.005 mm"));
}

TEST_F(HtmlSheet, IsTheSameBytesEachTime) {
  const std::string name = (root() / "demo/vessgarth").string();
  EXPECT_EQ(sheet_of(name), sheet_of(name));
}

TEST_F(HtmlSheet, NeedsNothingFromOutside) {
  const std::string html = sheet_of((root() / "demo/vessgarth").string());
  for (const char* outside : {"<script", "<link", "@import", "url("})
    EXPECT_THAT(html, Not(HasSubstr(outside)));
  // Drawings travel inside the file.
  for (std::size_t at = html.find("src="); at != std::string::npos; at = html.find("src=", at + 1))
    EXPECT_EQ(html.compare(at, 26, "src=\"data:image/svg+xml;ch"), 0) << html.substr(at, 40);
  EXPECT_THAT(html, HasSubstr("src=\"data:"));
}

TEST_F(HtmlSheet, MarksInventedEnginesOnly) {
  const char* banner = "INVENTED ENGINE, NOT FOR REAL WORK";
  EXPECT_THAT(sheet_of((root() / "demo/vessgarth").string()), HasSubstr(banner));
  EXPECT_THAT(sheet_of_text(std::string(kEmptyCase)), Not(HasSubstr(banner)));
  EXPECT_THAT(sheet_of_text(std::string(kEmptyCase) + "invented: true\n"), HasSubstr(banner));
}

TEST_F(HtmlSheet, IsWholeForAnEmptyCase) {
  const std::string html = sheet_of_text(std::string(kEmptyCase));
  EXPECT_EQ(fault_in(html), "");
  EXPECT_THAT(html, HasSubstr("DO NOT TURN"));
  EXPECT_THAT(html, HasSubstr("No finding yet"));
  EXPECT_THAT(html, HasSubstr("no engine definition"));
}

TEST_F(HtmlSheet, ShowsMarkupInAComplaintAsText) {
  const std::string html = sheet_of_text(
      "tautmark: case/1\nname: c\nentries:\n  - kind: complaint\n    id: e1\n"
      "    words: \"<script>alert('x')</script> & \\\"more\\\"\"\n");
  EXPECT_EQ(fault_in(html), "");
  EXPECT_THAT(html, Not(HasSubstr("<script>")));
  EXPECT_THAT(html, HasSubstr("&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt; &amp; &quot;more"));
}

TEST_F(HtmlSheet, PrintsReadingsAsTypedWithoutADrive) {
  const std::string html = sheet_of_text(
      "tautmark: case/1\nname: c\nentries:\n  - kind: reading\n    id: e1\n"
      "    quantity: end play\n    place: camshaft\n    values: 0.110 0.12 0.11 mm\n"
      "    instrument: dial indicator\n    limit: at most 0.20 mm\n"
      "    limit_source: {origin: maker, document: manual}\n");
  EXPECT_EQ(fault_in(html), "");
  EXPECT_THAT(html, HasSubstr("<td class=\"reading\">0.110</td><td class=\"reading\">0.12</td>"));
  EXPECT_THAT(html, HasSubstr("≤ 0.20 mm"));
}

TEST(HtmlParts, EscapesWhatXmlCannotHold) {
  EXPECT_EQ(escaped("a\x01"
                    "b\xFFz"),
            "a\uFFFDb\uFFFDz");
  EXPECT_EQ(escaped("<&>\"'"), "&lt;&amp;&gt;&quot;&#39;");
}

TEST(HtmlParts, WritesOneElementWithItsClasses) {
  EXPECT_EQ(html::tag("td.limit wide", "<b>x</b>", "colspan=\"2\""),
            "<td class=\"limit wide\" colspan=\"2\"><b>x</b></td>");
  EXPECT_EQ(html::spoken_limit("0.05..0.20 mm"), "0.05 to 0.20 mm");
}

TEST(HtmlBoxes, KeepReadingsAsTypedAndPutLongListsInOneText) {
  html::BoxLine line, longer, mixed;
  const auto typed = [](const char* text) {
    return WrittenList{*read_list(text, Kind::length), text};
  };
  html::set_typed(line, typed("27.950, 27.96 mm"), nullptr);
  EXPECT_THAT(line.boxes, ::testing::ElementsAre("27.950", "27.96"));
  EXPECT_EQ(line.unit, "mm");
  html::set_typed(longer, typed("1.0 1.1 1.2 1.3 mm"), nullptr);
  EXPECT_EQ(longer.wide, "1.0 1.1 1.2 1.3 mm");
  html::set_typed(mixed, typed("27.95 mm; 1.1007 in"), nullptr);
  EXPECT_EQ(mixed.wide, "27.95 mm; 1.1007 in");
}

Finding clearance(double value, double U) {
  Finding finding;
  finding.value = FindingValue{value, "m", U, 2, "0.142 ± 0.005 mm"};
  finding.limit = FindingLimit{};
  finding.limit->upper = 1.1e-4;
  finding.limit->unit = "m";
  finding.limit->shown = "<= 0.110 mm";
  return finding;
}

TEST(ValueBar, HoldsEveryValueAndLimitOnOneScale) {
  const Finding worn = clearance(1.42e-4, 5e-6), good = clearance(6.8e-5, 5e-6);
  const Finding* const both[] = {&worn, &good};
  const auto scale = html::bar_scale(both);
  ASSERT_TRUE(scale);
  EXPECT_LT(scale->from, 0.063);
  EXPECT_GT(scale->to, 0.147);
  EXPECT_GE(scale->from, 0.0);  // a clearance below zero would mislead
  const std::string bar = html::value_bar(worn, *scale);
  EXPECT_THAT(bar, HasSubstr(">0.110</text>"));
  EXPECT_THAT(bar, HasSubstr("class=\"hatch\""));
  EXPECT_THAT(bar, HasSubstr(">mm</text>"));
}

TEST(ValueBar, IsLeftOutWhereThereIsNothingToDraw) {
  Finding nothing = clearance(1.42e-4, 5e-6);
  nothing.value.reset();
  Finding broken = clearance(std::numeric_limits<double>::quiet_NaN(), 5e-6);
  Finding huge = clearance(1e300, 1);
  Finding cold = clearance(1.42e-4, 5e-6);
  cold.open_because = OpenBecause::outside_model;
  for (const Finding* finding : {&nothing, &broken, &huge, &cold})
    EXPECT_FALSE(html::bar_scale({{finding}}));
}

}  // namespace
}  // namespace tautmark
