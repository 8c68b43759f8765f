// SPDX-License-Identifier: Apache-2.0
// A limit of 50 kPa at 100 °C, moved with the viscosities of oil.md 1.5, read back from the SVG.
#include "draw/pressure_chart.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>
#include <sstream>

#include "draw/test_svg.h"

namespace tautmark {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

PressureDrawing head() {
  PressureDrawing drawing{.title = "Worked engine: head of bank 2",
                          .invented = true,
                          .facts = {{"entries", "e7 to e12"}},
                          .port = "bank 2 head gallery",
                          .speed = "650 1/min",
                          .oil = "5W-30"};
  // 52.745 mPa·s at 40 °C, 8.627 at 100 °C, to the power of 0.9; constant from 100 °C on.
  for (int t = 40; t <= 130; ++t) {
    const double kpa = 50 * std::exp(0.9 * std::log(52.745 / 8.627) * std::max(0, 100 - t) / 60);
    drawing.limit.push_back({t * 1.0, kpa, t < 78});
  }
  drawing.points = {{98, 44, 6, "e12", true},
                    {84, 63, 6, "e9", true},
                    {62, 142, 8, "e7", true},
                    {99, 92, 6, "e10", false}};
  return drawing;
}

struct Read {
  std::vector<std::string> solid, dashed;  // paths of the limit
  int filled = 0, hollow = 0;
};
Read read(const std::string& svg) {
  Read found;
  const auto tree = draw_test::parsed(svg);
  draw_test::walk(tree.get_child("svg"),
                  [&](const std::string& name, const draw_test::ptree& element) {
                    const std::string classes = draw_test::attribute(element, "class");
                    if (name == "circle" && classes == "ink-fill") ++found.filled;
                    if (name == "circle" && classes == "spot") ++found.hollow;
                    if (classes == "limit-curve")
                      (draw_test::attribute(element, "style").empty() ? found.solid : found.dashed)
                          .push_back(draw_test::attribute(element, "d"));
                  });
  return found;
}

TEST(PressureDrawing, TellsReadingsAndLimit) {
  for (const auto& [paper, name] :
       {std::pair{Paper::screen, "pressure.svg"}, std::pair{Paper::dark, "pressure-dark.svg"},
        std::pair{Paper::print, "pressure-print.svg"}}) {
    const std::string svg = pressure_chart_svg(head(), {.paper = paper});
    draw_test::keep(name, svg);
    draw_test::expect_texts_apart_and_on_the_sheet(svg);
    for (const char* words :
         {">e12: 44 kPa<", ">e9: 63 kPa<", ">e7: 142 kPa<", ">e10: 92 kPa<",
          ">limit 50 kPa at 130 °C<", "What lies below the curve is below the limit",
          "proves nothing", "bank 2 head gallery, 650 1/min, 5W-30", "INVENTED ENGINE"})
      EXPECT_THAT(svg, HasSubstr(words)) << name;
    EXPECT_EQ(svg, pressure_chart_svg(head(), {.paper = paper}));
  }
  // With one more of each in the key.
  const Read found = read(pressure_chart_svg(head()));
  EXPECT_EQ(found.filled, 4);
  EXPECT_EQ(found.hollow, 2);
  EXPECT_EQ(found.solid.size(), 2U);
  EXPECT_EQ(found.dashed.size(), 2U);
}

TEST(PressureDrawing, InterruptsTheLimitWherePartsAreLeftOut) {
  PressureDrawing drawing = head();
  std::erase_if(drawing.limit, [](auto& one) { return one.celsius > 85 && one.celsius < 95; });
  const std::string svg = pressure_chart_svg(drawing);
  draw_test::keep("pressure-split.svg", svg);
  EXPECT_EQ(read(svg).solid.size(), 3U);
  EXPECT_THAT(svg, HasSubstr("is interrupted"));
  EXPECT_THAT(pressure_chart_svg(head()), Not(HasSubstr("is interrupted")));
  // From 85 to 95 °C no line: 74 to 778 units are 40 to 130 °C.
  const double from = 74 + 704 * 45.0 / 90, to = 74 + 704 * 55.0 / 90;
  for (const std::string& d : read(svg).solid) {
    std::istringstream in(d);
    char command = 0;
    double x = 0, y = 0;
    while (in >> command >> x >> y) EXPECT_FALSE(x > from + 0.1 && x < to - 0.1) << d;
  }
}

TEST(PressureDrawing, LabelsStayApart) {
  std::mt19937_64 random(9);
  const auto pick = [&](double from, double to) {
    return std::uniform_real_distribution<double>(from, to)(random);
  };
  for (int round = 0; round < 20; ++round) {
    PressureDrawing drawing = head();
    drawing.points.clear();
    for (int i = 0; i < 2 * round; ++i)
      drawing.points.push_back(
          {pick(88, 102), pick(30, 120), pick(0, 12), "e" + std::to_string(i), i % 3 != 0});
    SCOPED_TRACE(round);
    const std::string svg = pressure_chart_svg(drawing);
    if (round == 5) draw_test::keep("pressure-many.svg", svg);
    draw_test::expect_texts_apart_and_on_the_sheet(svg);
    for (int i = 0; i < 2 * round; ++i)
      EXPECT_THAT(svg, HasSubstr(">e" + std::to_string(i) + ": "));
  }
}

TEST(PressureDrawing, SaysWhatIsMissing) {
  const std::string empty = pressure_chart_svg({});
  draw_test::keep("pressure-empty.svg", empty);
  draw_test::expect_texts_apart_and_on_the_sheet(empty);
  EXPECT_THAT(empty, HasSubstr("neither a limit nor a reading"));
  EXPECT_THAT(empty, HasSubstr(">120<"));
  PressureDrawing drawing = head();
  drawing.points.clear();
  EXPECT_THAT(pressure_chart_svg(drawing), HasSubstr("No pressure has been read"));
  drawing = head();
  drawing.limit.clear();
  EXPECT_THAT(pressure_chart_svg(drawing), HasSubstr("No limit to compare with"));
}

TEST(PressureDrawing, EscapesNamesAndLeavesOutWhatIsNoNumber) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  PressureDrawing drawing = head();
  drawing.title = "<&\"'>";
  drawing.port = "<script>";
  drawing.points[0].label = "<b> & an extremely long name of a reading, without any end at all";
  drawing.points[1].U_kpa = nan;
  drawing.points[2].kpa = nan;
  drawing.limit[3].kpa = HUGE_VAL;
  const std::string svg = pressure_chart_svg(drawing);
  EXPECT_THAT(svg, Not(HasSubstr("<script")));
  EXPECT_THAT(svg, Not(HasSubstr("nan")));
  EXPECT_THAT(svg, HasSubstr("not a number: 2 points"));
  draw_test::expect_texts_apart_and_on_the_sheet(svg);
}

}  // namespace
}  // namespace tautmark
