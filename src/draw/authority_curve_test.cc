// SPDX-License-Identifier: Apache-2.0
// Margins by hand, read back from the SVG.
#include "draw/authority_curve.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "draw/test_svg.h"

namespace tautmark {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

// Falls with the cube of the clearance, as a leak grows.
AuthorityDrawing worn() {
  AuthorityDrawing drawing{.title = "Worked engine: phaser of bank 2",
                           .invented = true,
                           .facts = {{"oil", "5W-30, 100 °C"}, {"speed", "650 1/min"}},
                           .journal = "bank 2 / camshaft / journal 1",
                           .measured_mm = 0.142,
                           .measured_U_mm = 0.006,
                           .most_mm = 0.110};
  for (int i = 1; i <= 40; ++i) {
    const double c = 0.284 * i / 40, margin = 4.4 / (1 + std::pow(c / 0.1, 3));
    drawing.points.push_back({c, margin, 0.82 * margin, 1.19 * margin});
  }
  return drawing;
}

// The middle of the mark of this engine's reading, from margin 0 upward, in units of the sheet.
draw::XY spot(const std::string& svg) {
  draw::XY at{};
  double zero = 0;
  const auto tree = draw_test::parsed(svg);
  draw_test::walk(tree, [&](const std::string& name, const draw_test::ptree& element) {
    const auto number = [&](const char* key) {
      return std::stod(draw_test::attribute(element, key));
    };
    const std::string classes = draw_test::attribute(element, "class");
    if (name == "rect" && classes == "zone0") zero = number("y") + number("height");
    if (name == "circle" && classes == "spot" && at.x == 0) at = {number("cx"), number("cy")};
  });
  return {at.x, zero - at.y};
}

TEST(AuthorityDrawing, TellsTheReadingItsLimitAndTheBands) {
  for (const auto& [paper, name] :
       {std::pair{Paper::screen, "authority.svg"}, std::pair{Paper::dark, "authority-dark.svg"},
        std::pair{Paper::print, "authority-print.svg"}}) {
    const std::string svg = authority_curve_svg(worn(), {.paper = paper});
    draw_test::keep(name, svg);
    draw_test::expect_texts_apart_and_on_the_sheet(svg);
    // 4.4 / (1 + 1.42³) = 1.139; 0.82 and 1.19 of it
    for (const char* words :
         {"bank 2 / camshaft / journal 1:", "0.142 mm ± 0.006 mm", ">at most 0.110 mm<",
          "the margin is 1.14 (95 %: 0.93 to 1.36), anything from &quot;drifts to the stop&quot; "
          "to ",
          ">drifts to the stop<", ">holds only<", ">slow that way<", ">comfortable<", ">1.3<",
          "INVENTED ENGINE"})
      EXPECT_THAT(svg, HasSubstr(words)) << name;
    EXPECT_EQ(svg, authority_curve_svg(worn(), {.paper = paper}));
  }
}

TEST(AuthorityDrawing, TheMarkStandsWhereTheNumbersSay) {
  AuthorityDrawing drawing = worn();
  const draw::XY wide = spot(authority_curve_svg(drawing));
  drawing.measured_mm = 0.071;
  const draw::XY tight = spot(authority_curve_svg(drawing));
  // 0.284 mm wide from 74 to 628; the height of 410 is 5.
  EXPECT_NEAR(wide.x, 74 + 554 * 0.142 / 0.284, 0.1);
  EXPECT_NEAR(tight.x, 74 + 554 * 0.071 / 0.284, 0.1);
  EXPECT_NEAR(wide.y, 1.139 / 5 * 410, 0.2);
  EXPECT_NEAR(tight.y, 3.240 / 5 * 410, 0.2);
}

TEST(AuthorityDrawing, TextsStayApartWhereverTheReadingLies) {
  for (const double measured : {0.001, 0.03, 0.09, 0.109, 0.111, 0.2, 0.28, 0.4})
    for (const double factor : {0.1, 1.0, 8.0}) {
      AuthorityDrawing drawing = worn();
      drawing.measured_mm = measured;
      for (AuthorityPoint& p : drawing.points)
        p.margin *= factor, p.low *= factor, p.high *= factor;
      SCOPED_TRACE(measured * factor);
      draw_test::expect_texts_apart_and_on_the_sheet(authority_curve_svg(drawing));
    }
}

TEST(AuthorityDrawing, SaysWhatIsMissing) {
  const std::string empty = authority_curve_svg({});
  draw_test::keep("authority-empty.svg", empty);
  draw_test::expect_texts_apart_and_on_the_sheet(empty);
  EXPECT_THAT(empty, HasSubstr("No curve: the margin is not known"));
  EXPECT_THAT(empty, HasSubstr(">comfortable<"));
  EXPECT_THAT(empty, HasSubstr("No limit of this clearance is known"));
  AuthorityDrawing drawing = worn();
  drawing.measured_mm = 0.4;
  EXPECT_THAT(authority_curve_svg(drawing), HasSubstr("outside of the curve"));
  drawing.measured_mm.reset();
  const std::string unread = authority_curve_svg(drawing);
  EXPECT_THAT(unread, HasSubstr("is not measured"));
  EXPECT_THAT(unread, Not(HasSubstr("class=\"spot\"")));
}

TEST(AuthorityDrawing, EscapesNamesAndLeavesOutWhatIsNoNumber) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  AuthorityDrawing drawing = worn();
  drawing.title = "<&\"'>";
  drawing.journal = "<script> of an extremely long name without an end at all, and more of it";
  drawing.points[3].low = nan;
  drawing.points[5].clearance_mm = HUGE_VAL;
  std::string svg = authority_curve_svg(drawing);
  EXPECT_THAT(svg, HasSubstr("not a number: 2 points"));
  EXPECT_THAT(svg, Not(HasSubstr("<script")));
  draw_test::expect_texts_apart_and_on_the_sheet(svg);
  drawing.measured_mm = nan;
  drawing.most_mm = nan;
  drawing.measured_U_mm = nan;
  svg = authority_curve_svg(drawing);
  EXPECT_THAT(svg, Not(HasSubstr("nan")));
  EXPECT_THAT(svg, HasSubstr("is not measured"));
}

}  // namespace
}  // namespace tautmark
