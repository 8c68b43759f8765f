// SPDX-License-Identifier: Apache-2.0
// Charts of the oil, read back from the SVG. Margins: oil.md 5.1, against 2.5 N·m.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "draw/authority_curve.h"
#include "draw/pressure_chart.h"
#include "draw/test_svg.h"

namespace tautmark {
namespace {

using draw_test::keep;
using ::testing::HasSubstr;
using ::testing::Not;

AuthorityDrawing worn() {
  return {.title = "Worked <engine>",
          .invented = true,
          .facts = {{"at", "650 1/min, oil at 100 degC"}, {"oil", "5W-30, typical"}},
          .journal = "bank 1 / camshaft / journal 1",
          .points = {{0.060, 2.43, 2.0, 2.9},
                     {0.090, 1.89, 1.5, 2.3},
                     {0.120, 1.25, 0.9, 1.6},
                     {0.180, 0.496, 0.3, 0.7}},
          .measured = 0.120,
          .measured_U = 0.004,
          .most = 0.110};
}

TEST(AuthorityCurveSvg, SaysWhatWasMeasuredAndItsLimit) {
  const std::string svg = authority_curve_svg(worn());
  keep("authority-curve", svg);
  draw_test::expect_texts_apart_and_on_the_sheet(svg);
  EXPECT_THAT(svg, HasSubstr("measured 0.120 mm: 1.2"));
  EXPECT_THAT(svg, HasSubstr("at most 0.110 mm"));
  EXPECT_THAT(svg, HasSubstr("drifts to the stop"));
  EXPECT_THAT(svg, HasSubstr("INVENTED"));
  EXPECT_THAT(svg, HasSubstr("Worked &lt;engine&gt;"));
  EXPECT_THAT(svg, Not(HasSubstr("nan")));
}

TEST(AuthorityCurveSvg, WithoutPointsSaysWhatIsMissing) {
  AuthorityDrawing none = worn();
  none.points.clear();
  const std::string svg = authority_curve_svg(none);
  draw_test::expect_texts_apart_and_on_the_sheet(svg);
  EXPECT_THAT(svg, HasSubstr("not fitted to gauges"));
  EXPECT_THAT(svg, Not(HasSubstr("measured 0.120 mm: ")));
}

PressureDrawing read() {
  PressureDrawing out{.title = "Worked engine",
                      .facts = {{"speed", "650 1/min"}, {"oil", "5W-30"}},
                      .port = "bank 2 / head port"};
  for (int celsius = 60; celsius <= 120; celsius += 5)
    out.limit.push_back({double(celsius), 110 * std::pow(1.022, 90 - celsius), celsius < 75});
  out.points = {{95, 88, 4, "e8", true}, {70, 210, 5, "e4", false}};
  return out;
}

TEST(PressureChartSvg, PointsAndLimit) {
  const std::string svg = pressure_chart_svg(read());
  keep("pressure-chart", svg);
  draw_test::expect_texts_apart_and_on_the_sheet(svg);
  EXPECT_THAT(svg, HasSubstr("e8: 88 kPa"));
  EXPECT_THAT(svg, HasSubstr("e4: 210 kPa"));
  EXPECT_THAT(svg, HasSubstr("\"limit-curve\""));
  EXPECT_THAT(svg, HasSubstr("\"limit-line\""));
  EXPECT_THAT(svg, HasSubstr("proves nothing about a journal"));
}

// What is left out between two points of the limit is not drawn over.
TEST(PressureChartSvg, GapsStayOpen) {
  PressureDrawing gap = read();
  gap.limit = {{90, 110, false}, {110, 70, false}};
  EXPECT_THAT(pressure_chart_svg(gap), Not(HasSubstr("class=\"limit-curve\"")));
  gap.limit.clear();
  gap.points.clear();
  const std::string svg = pressure_chart_svg(gap);
  draw_test::expect_texts_apart_and_on_the_sheet(svg);
  EXPECT_THAT(svg, HasSubstr("No limit that can be moved"));
  EXPECT_THAT(svg, HasSubstr("Nothing read here"));
}

}  // namespace
}  // namespace tautmark
