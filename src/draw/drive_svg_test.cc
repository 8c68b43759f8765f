// SPDX-License-Identifier: Apache-2.0
// The drawings are read back with an XML parser that is not ours (Boost.PropertyTree).
#include "draw/drive_svg.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <limits>
#include <set>

#include "draw/test_figures.h"
#include "draw/test_svg.h"

namespace tautmark {
namespace {

using draw_test::attribute;
using draw_test::expect_texts_apart_and_on_the_sheet;
using draw_test::parsed;
using draw_test::ptree;
using draw_test::Transform;
using draw_test::transform_of;
using draw_test::walk;
using testing::HasSubstr;
using testing::Not;

std::map<std::string, Figure> all_figures() {
  return {{"v", draw_test::v_engine()},
          {"inline", draw_test::inline_engine()},
          {"schematic", draw_test::schematic()},
          {"belt", draw_test::belt_engine()}};
}

std::vector<DrawOptions> all_options() {
  std::vector<DrawOptions> all;
  for (const Paper paper : {Paper::screen, Paper::dark, Paper::print})
    for (const bool mirrored : {false, true})
      all.push_back({.paper = paper, .mirrored = mirrored, .link_numbers = mirrored});
  return all;
}

void for_all(const std::function<void(const std::string& svg, const Figure& figure)>& check) {
  for (const auto& [name, figure] : all_figures())
    for (const DrawOptions& options : all_options()) {
      SCOPED_TRACE(name + (options.mirrored ? ", mirrored" : "") + ", paper " +
                   std::to_string(static_cast<int>(options.paper)));
      check(drive_svg(figure, options), figure);
      check(strands_svg(figure, options), figure);
    }
}

TEST(Drawing, IsWellFormedSmallAndReadable) {
  for_all([](const std::string& svg, const Figure& figure) {
    const ptree tree = parsed(svg);
    const ptree& root = tree.get_child("svg");
    EXPECT_EQ(attribute(root, "role"), "img");
    EXPECT_THAT(root.get<std::string>("title"), HasSubstr(figure.title));
    EXPECT_GT(root.get<std::string>("desc").size(), 40U);
    EXPECT_LT(svg.size(), 100'000U);  // the limit is 250 kB for a V engine
  });
}

TEST(Drawing, TextsStandApartAndOnTheSheet) {
  for_all([](const std::string& svg, const Figure&) { expect_texts_apart_and_on_the_sheet(svg); });
}

TEST(Drawing, ShowsEveryLinkOnce) {
  for_all([](const std::string& svg, const Figure& figure) {
    std::map<std::string, std::multiset<std::size_t>> links;
    walk(parsed(svg), [&](const std::string&, const ptree& element) {
      const std::string chain = attribute(element, "data-chain");
      if (chain.empty()) return;
      walk(element, [&](const std::string& name, const ptree& use) {
        if (name == "use") links[chain].insert(std::stoul(attribute(use, "data-link")));
      });
    });
    // A marked tooth of a belt laid straight is drawn, and drawn over.
    for (const FigureChain& chain : figure.chains) {
      const std::set<std::size_t> once(links[chain.name].begin(), links[chain.name].end());
      EXPECT_EQ(once.size(), chain.pins.size()) << chain.name;
      EXPECT_EQ(*once.rbegin(), chain.pins.size() - 1);
      if (!chain.belt) {
        EXPECT_EQ(links[chain.name].size(), chain.pins.size()) << chain.name;
      }
    }
  });
}

// Every link stands where its pins stand: checked against the figure with the scale and origin
// that the drawing states for whoever turns it.
TEST(Drawing, PlacesLinksByStatedScaleAndOriginMirroredToo) {
  for (const bool mirrored : {false, true}) {
    const Figure figure = draw_test::v_engine();
    const ptree tree = parsed(drive_svg(figure, {.mirrored = mirrored}));
    const ptree& root = tree.get_child("svg");
    const double scale = std::stod(attribute(root, "data-units-per-mm"));
    const double x0 = std::stod(attribute(root, "data-origin-x"));
    const double y0 = std::stod(attribute(root, "data-origin-y"));
    EXPECT_EQ(attribute(root, "data-mirrored"), mirrored ? "true" : "false");
    int seen = 0;
    walk(tree, [&](const std::string&, const ptree& group) {
      if (attribute(group, "data-chain") != "bank 2 chain") return;
      walk(group, [&](const std::string&, const ptree& use) {
        const Point pin = figure.chains[1].pins[std::stoul(attribute(use, "data-link"))];
        const Transform t = transform_of(use);
        EXPECT_NEAR(t.x, x0 + (mirrored ? -1 : 1) * in_mm(pin.x) * scale, 2.0);
        EXPECT_NEAR(t.y, y0 - in_mm(pin.y) * scale, 2.0);
        ++seen;
      });
    });
    EXPECT_EQ(seen, 124);
  }
}

TEST(Drawing, MirrorsPositionsAndTurnsButNoWords) {
  const Figure figure = draw_test::v_engine();
  const auto wheels = [&](bool mirrored) {
    std::map<std::string, std::pair<Transform, Transform>> found;
    walk(parsed(drive_svg(figure, {.mirrored = mirrored})),
         [&](const std::string& name, const ptree& element) {
           if (name != "g" || attribute(element, "class") != "wheel") return;
           found[attribute(element, "data-wheel")] = {transform_of(element),
                                                      transform_of(element.get_child("g"))};
         });
    return found;
  };
  const auto front = wheels(false), back = wheels(true);
  ASSERT_EQ(front.size(), 3U);
  const double middle = front.at("crankshaft").first.x + back.at("crankshaft").first.x;
  for (const auto& [name, at] : front) {
    EXPECT_NEAR(at.first.x + back.at(name).first.x, middle, 0.02) << name;
    EXPECT_NEAR(at.first.y, back.at(name).first.y, 0.02) << name;
    EXPECT_NEAR(at.second.degrees, -back.at(name).second.degrees, 0.02) << name;
  }
  // Bank 1 leans left seen from the front.
  EXPECT_LT(front.at("bank 1 / camshaft").first.x, front.at("crankshaft").first.x);
  EXPECT_GT(back.at("bank 1 / camshaft").first.x, back.at("crankshaft").first.x);
  const std::string mirrored = drive_svg(figure, {.mirrored = true});
  EXPECT_THAT(mirrored, HasSubstr("seen from the flywheel end"));
  EXPECT_THAT(mirrored, HasSubstr("data-clockwise=\"false\""));
  EXPECT_THAT(mirrored, Not(HasSubstr("scale(")));
  EXPECT_THAT(drive_svg(figure), HasSubstr("data-clockwise=\"true\""));
}

TEST(Drawing, SaysWhatMustBeSaid) {
  const std::string v = drive_svg(draw_test::v_engine());
  for (const char* words :
       {"INVENTED ENGINE, NOT FOR REAL WORK", "seen from the front", "crank 35° after the marks",
        "6.4 of 15 mm", "9.5 of 15 mm", "groove 0.6 mm", "copper link", "blue link", "slack strand",
        "tight strand", "running direction", "100 mm"})
    EXPECT_THAT(v, HasSubstr(words));
  EXPECT_THAT(v, Not(HasSubstr("strand, 62 links")));  // true at the marks only
  Figure at_marks = draw_test::v_engine();
  at_marks.crank = {};
  EXPECT_THAT(drive_svg(at_marks), HasSubstr("slack strand, 62 links"));
  EXPECT_THAT(drive_svg(at_marks), HasSubstr("crank at the marks"));
  const std::string s = drive_svg(draw_test::schematic());
  EXPECT_THAT(s, HasSubstr("schematic, not to scale"));
  EXPECT_THAT(s, HasSubstr("crank 12.5° before the marks"));
  EXPECT_THAT(s, Not(HasSubstr("INVENTED")));
  EXPECT_THAT(drive_svg(draw_test::belt_engine()), HasSubstr("108 teeth, pitch 9.525 mm"));
}

TEST(Drawing, DrawsTheErrorFromWhereTheMarkShouldBeAndOnlyThen) {
  Figure figure = draw_test::v_engine();
  EXPECT_THAT(drive_svg(figure), HasSubstr("class=\"error-dimension\""));
  for (FigureWheel& wheel : figure.wheels) wheel.error.reset();
  EXPECT_THAT(drive_svg(figure), Not(HasSubstr("class=\"error")));
}

TEST(Drawing, OfAnErrorDoesNotDependOnWholeTurns) {
  Figure figure = draw_test::v_engine();
  const std::string once = drive_svg(figure);
  figure.wheels[2].mark_should_be = *figure.wheels[2].mark_should_be + deg(360);
  EXPECT_EQ(drive_svg(figure), once);
}

TEST(Drawing, IsTheSameEveryTime) {
  EXPECT_EQ(drive_svg(draw_test::v_engine()), drive_svg(draw_test::v_engine()));
  EXPECT_EQ(strands_svg(draw_test::v_engine()), strands_svg(draw_test::v_engine()));
}

TEST(Drawing, EscapesEveryName) {
  Figure figure = draw_test::inline_engine();
  const std::string bad = "<b a=\"1\">&'\x01\xff</b>";
  figure.title = figure.chains[0].name = figure.arcs[0].name = figure.tensioners[0].name = bad;
  figure.chains[0].marked[0].color = bad;
  figure.chains[0].strands[0].name = figure.chains[0].strands[0].from = bad;
  for (FigureWheel& wheel : figure.wheels) wheel.name = wheel.label = bad;
  figure.notes = {bad};
  figure.banks = {{1, bad}};
  figure.wheels[1].error = bad;
  figure.wheels[1].mark->sign = "<";
  for (const std::string& svg : {drive_svg(figure), strands_svg(figure)}) {
    EXPECT_NO_THROW(parsed(svg));
    EXPECT_THAT(svg, Not(HasSubstr("<b")));
    EXPECT_THAT(svg, Not(HasSubstr("\x01")));
    EXPECT_THAT(svg, HasSubstr("&lt;b"));
  }
}

TEST(Drawing, LongNamesStayApartAndOnTheSheet) {
  Figure figure = draw_test::v_engine();
  const std::string some = " of the second cylinder head on the side of the exhaust manifold";
  figure.title += some + some + some;
  for (FigureWheel& wheel : figure.wheels) wheel.label += some;
  for (FigureArc& arc : figure.arcs) arc.name += some;
  for (FigureTensioner& tensioner : figure.tensioners) tensioner.name += some;
  for (FigureChain& chain : figure.chains) {
    chain.name += some + some;
    for (FigureStrand& strand : chain.strands) strand.from += some + some;
    for (FigureLinkMark& mark : chain.marked) mark.color += some;
  }
  for (auto& [number, words] : figure.banks) words += some;
  figure.notes.push_back(std::string(400, 'W'));
  figure.wheels[2].error = *figure.wheels[2].error + some;
  for (const DrawOptions& options : all_options()) {
    expect_texts_apart_and_on_the_sheet(drive_svg(figure, options));
    expect_texts_apart_and_on_the_sheet(strands_svg(figure, options));
  }
}

TEST(Drawing, LeavesOutWhatHasNoPlaceAndSaysSo) {
  constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
  constexpr double kInfinity = std::numeric_limits<double>::infinity();
  for (const double bad : {kNan, kInfinity, -kInfinity}) {
    Figure figure = draw_test::v_engine();
    figure.wheels[1].center.x = mm(bad);
    figure.arcs[0].radius = mm(bad);
    figure.tensioners[0].extension = mm(bad);
    figure.chains[0].pins[7].y = mm(bad);
    figure.crank = crank_deg(bad);
    for (const std::string& svg : {drive_svg(figure), strands_svg(figure)}) {
      EXPECT_NO_THROW(parsed(svg));
      EXPECT_THAT(svg, Not(testing::ContainsRegex("[ \"(-](nan|inf)")));
      EXPECT_THAT(svg, HasSubstr("not drawn, its place or size is not known: bank 1 / camshaft"));
      EXPECT_THAT(svg, HasSubstr("crank angle not known"));
      EXPECT_THAT(svg, Not(HasSubstr("crank at the marks")));
    }
  }
}

TEST(Drawing, OfNothingIsASheetWithATitle) {
  const Figure figure{.title = "nothing yet"};
  for (const std::string& svg : {drive_svg(figure), strands_svg(figure)}) {
    EXPECT_NO_THROW(parsed(svg));
    EXPECT_THAT(svg, HasSubstr("nothing yet"));
  }
}

TEST(Strands, CountFromEachMarkAndSumUp) {
  const std::string v = strands_svg(draw_test::v_engine());
  EXPECT_THAT(v, HasSubstr("62 + 62 = 124 links, the whole chain"));
  Figure miscounted = draw_test::v_engine();
  miscounted.chains[0].strands[0].count = 60;
  const std::string wrong = strands_svg(miscounted);
  EXPECT_THAT(wrong, HasSubstr("60 + 62 = 122, but the chain has 124 links"));
  EXPECT_THAT(wrong, HasSubstr("60 links, drawn 62"));
}

// Of two neighboring marked links counts go to the one that leads: the number under it is the
// count.
TEST(Strands, NumberTheNextMarkWithTheCount) {
  Figure figure = draw_test::v_engine();
  figure.chains.resize(1);
  std::map<std::size_t, double> link_x;
  std::map<std::string, std::set<double>> bold_x;  // of numbers
  const ptree tree = parsed(strands_svg(figure));
  walk(tree, [&](const std::string& name, const ptree& element) {
    if (name == "use")
      link_x[std::stoul(attribute(element, "data-link"))] = transform_of(element).x;
    if (name == "text" && attribute(element, "class") == "t b")
      bold_x[element.data()].insert(element.get("<xmlattr>.x", 0.0));
  });
  const std::size_t leading_cam = figure.chains[0].marked[2].link;
  const std::size_t crank = figure.chains[0].marked[0].link;
  const auto is_under = [&](std::size_t link, const std::string& count) {
    const double half_link = (link_x.at(1) - link_x.at(0)) / 2;
    return std::any_of(bold_x[count].begin(), bold_x[count].end(),
                       [&](double x) { return std::abs(x - link_x.at(link) - half_link) < 0.05; });
  };
  EXPECT_TRUE(is_under(leading_cam, std::to_string(*figure.chains[0].strands[0].count)));
  EXPECT_TRUE(is_under(crank, std::to_string(*figure.chains[0].strands[1].count)));
}

TEST(Strands, OfAChainTurnedOnCountOnlyFromMarkToMark) {
  Figure figure = draw_test::inline_engine();
  for (FigureLinkMark& mark : figure.chains[0].marked) mark.link += 30;
  const std::string svg = strands_svg(figure);
  EXPECT_THAT(svg, HasSubstr("from mark to mark"));
  EXPECT_THAT(svg, HasSubstr("the whole chain"));
  figure.chains[0].marked.clear();
  EXPECT_THAT(strands_svg(figure), HasSubstr("57 between the marks, free "));
}

}  // namespace
}  // namespace tautmark
