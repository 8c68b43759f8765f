// SPDX-License-Identifier: Apache-2.0
// Sections measured back from the drawing.
#include "draw/clearance_section.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <sstream>

#include "draw/plot_of_clearance.h"
#include "draw/test_svg.h"

namespace tautmark {
namespace {

using draw_test::keep;
using ::testing::HasSubstr;
using ::testing::Not;

const LoadedDrive& quellmere() {
  static const LoadedDrive drive =
      load_drive("quellmere-i4-16", {{std::string(TAUTMARK_SOURCE_DIR) + "/drives"}}).value();
  return drive;
}

struct Line {
  double x1 = 0, y1 = 0, x2 = 0, y2 = 0;
  [[nodiscard]] double degrees() const { return std::atan2(y1 - y2, x2 - x1) * 180 / 3.14159265; }
};

Line line_of(const std::string& svg, const std::string& name, const std::string& value) {
  Line line;
  const auto tree = draw_test::parsed(svg);
  draw_test::walk(tree, [&](const std::string&, const draw_test::ptree& element) {
    if (draw_test::attribute(element, name) == value)
      std::sscanf(draw_test::attribute(element, "d").c_str(), "M%lf %lfL%lf %lf", &line.x1,
                  &line.y1, &line.x2, &line.y2);
  });
  return line;
}

// How far the second lies below the first, across it; negative above.
double apart(const Line& over, const Line& under) {
  const double length = std::hypot(over.x2 - over.x1, over.y2 - over.y1);
  const double sense = over.x2 > over.x1 ? 1 : -1;
  return sense *
         ((over.x2 - over.x1) * (under.y1 - over.y1) - (over.y2 - over.y1) * (under.x1 - over.x1)) /
         length;
}

double scale_of(const std::string& svg, const std::string& name) {
  return std::stod(draw_test::attribute(draw_test::parsed(svg).get_child("svg"), name));
}

// trade.md 6.B, by what is drawn: the gap as a length, and the valve at its 18 deg.
TEST(ClearanceSection, DrawsTheGapsOfTheTradeToScale) {
  struct Asked {
    const char* camshaft;
    const char* valve;
    int teeth;
    const char* phaser;
    double gap, lean;
  };
  for (const Asked& asked : {Asked{"intake", "intake", 2, "phaser locked", 2.41, -18},
                             {"intake", "intake", 0, "phaser locked", 5.02, -18},
                             {"intake", "intake", 1, "full advance", -0.64, -18},
                             {"exhaust", "exhaust", -2, "phaser locked", 0.73, 18}}) {
    const std::string svg = *clearance_section_svg(
        quellmere(),
        {"bank 1 / " + std::string(asked.camshaft) + " camshaft", asked.teeth, asked.phaser});
    keep(std::string("section-") + asked.valve + std::to_string(asked.teeth) + ".svg", svg);
    const std::string valve = asked.valve;
    const Line face = line_of(svg, "data-part", "face-" + valve);
    const Line floor = line_of(svg, "data-part", "floor-" + valve);
    EXPECT_NEAR(apart(face, floor) / scale_of(svg, "data-units-per-mm"), asked.gap, 0.015);
    EXPECT_NEAR(apart(line_of(svg, "data-detail", "face-" + valve),
                      line_of(svg, "data-detail", "floor-" + valve)) /
                    scale_of(svg, "data-detail-scale"),
                asked.gap, 0.0105);
    EXPECT_NEAR(std::remainder(face.degrees(), 180), -asked.lean, 0.1);
    EXPECT_NEAR(std::remainder(floor.degrees() - face.degrees(), 180), 0, 0.1);
    draw_test::expect_texts_apart_and_on_the_sheet(svg);
    EXPECT_THAT(svg, HasSubstr(asked.gap < 0 ? "contact by 0.64 mm" : "gap "));
    EXPECT_THAT(svg, HasSubstr("DO NOT TURN"));
    EXPECT_THAT(svg, HasSubstr("Pocket without walls"));
    EXPECT_THAT(svg, Not(::testing::ContainsRegex("[Ss]afe|TURN ONLY|nan")));
  }
}

TEST(ClearanceSection, OnEveryPaper) {
  const auto section =
      section_of_gaps(quellmere(), valves_of(quellmere()), {"bank 1 / intake camshaft", 2});
  ASSERT_TRUE(section);
  EXPECT_TRUE(section->other);
  EXPECT_THAT(section->crank_words, HasSubstr("gas exchange"));
  for (const auto& [paper, name] : {std::pair{Paper::screen, "section-screen.svg"},
                                    {Paper::dark, "section-dark.svg"},
                                    {Paper::print, "section-print.svg"}}) {
    const std::string svg = clearance_section_svg(*section, {.paper = paper});
    keep(name, svg);
    EXPECT_EQ(svg, clearance_section_svg(*section, {.paper = paper}));
  }
}

// geometry.md 7.1: g0 = 1.0, 20 deg, s = 0.848543, L = 1.975030 -> -0.007378 along the axis. The
// crown then lies g0 + s below where the rim was while the valve was shut.
TEST(ClearanceSection, FlatCrownLiesUnderTheLowestRim) {
  ClearanceSection section{.title = "flat crown"};
  section.valve = {.name = "intake",
                   .lean = 20,
                   .across = 18,
                   .above = 9,
                   .head_diameter = 33,
                   .lift = 1.975030,
                   .gap = -0.007378,
                   .flat_crown = true};
  section.bore = 86;
  section.is_placed = true;
  section.gap_words = "contact by 0.01 mm";
  section.is_contact = true;
  const std::string svg = clearance_section_svg(section);
  keep("section-flat.svg", svg);
  const Line crown = line_of(svg, "data-part", "crown-intake");
  const Line face = line_of(svg, "data-part", "face-intake");
  const double scale = scale_of(svg, "data-units-per-mm");
  const double rim =
      std::max(face.y1, face.y2) - 1.975030 * std::cos(20 * 3.14159265 / 180) * scale;
  EXPECT_NEAR(crown.y1, crown.y2, 0.011);
  EXPECT_NEAR((crown.y1 - rim) / scale, 1.848543, 0.006);
}

// A pocket with its wall, whose middle has slid beside the head; geometry.md 7.2 at 20 deg after:
// 16.5, 18.3, 0.4 and s = 3.353016 leave 1.053201 sideways.
TEST(ClearanceSection, PocketWallsStandWhereTheyAre) {
  ClearanceSection section{.title = "pocket"};
  section.valve = {.name = "intake",
                   .lean = 20,
                   .across = 18,
                   .above = 9,
                   .head_diameter = 33,
                   .lift = 3.117014,
                   .gap = 4.233790};
  section.valve.pocket_diameter = 36.6;
  section.valve.wall_height = 3;
  section.valve.pocket_beside = 3.353016 * std::sin(20 * 3.14159265 / 180) - 0.4;
  section.bore = 86;
  section.is_placed = true;
  section.gap_words = "gap 4.23 mm";
  const std::string svg = clearance_section_svg(section);
  keep("section-pocket.svg", svg);
  const Line floor = line_of(svg, "data-detail", "floor-intake");
  const Line face = line_of(svg, "data-detail", "face-intake");
  const double scale = scale_of(svg, "data-detail-scale");
  // Along the face, from its inner end to that of the floor.
  const double length = std::hypot(face.x2 - face.x1, face.y2 - face.y1);
  const double inner =
      ((floor.x1 - face.x1) * (face.x2 - face.x1) + (floor.y1 - face.y1) * (face.y2 - face.y1)) /
      length / scale;
  EXPECT_NEAR(-inner, 1.053201, 0.006);
  EXPECT_THAT(svg, Not(HasSubstr("nan")));
}

TEST(ClearanceSection, WithoutFiguresThereIsNoDrawing) {
  LoadedDrive less = quellmere();
  less.drive.banks[0].camshafts[0].valves[0].angle.reset();
  const auto none = section_of_gaps(less, valves_of(less), {"bank 1 / intake camshaft", 1});
  ASSERT_FALSE(none);
  EXPECT_THAT(none.error().why, HasSubstr("NOT KNOWN without: inclination of the valve"));
  EXPECT_FALSE(section_of_gaps(quellmere(), valves_of(quellmere()), {"bank 3 / camshaft", 0}));
}

// Places and widths that are not there are said in words, not made up.
TEST(ClearanceSection, LeavesOutWhatIsNotInTheDefinition) {
  LoadedDrive less = quellmere();
  Valves& valves = less.drive.banks[0].camshafts[0].valves[0];
  valves.head_diameter.reset();
  valves.from_axis.reset();
  valves.pocket_depth.reset();
  const auto svg = clearance_section_svg(less, {"bank 1 / intake camshaft", 1});
  ASSERT_TRUE(svg);
  keep("section-less.svg", *svg);
  for (const char* words :
       {"NOT KNOWN without", "so no bore is drawn", "the head is drawn dashed", "only its"})
    EXPECT_THAT(*svg, HasSubstr(words));
  draw_test::expect_texts_apart_and_on_the_sheet(*svg);
}

}  // namespace
}  // namespace tautmark
