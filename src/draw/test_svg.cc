// SPDX-License-Identifier: Apache-2.0
#include "draw/test_svg.h"

#include <gtest/gtest.h>

#include <boost/property_tree/xml_parser.hpp>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <sstream>

#include "draw/labels.h"
#include "draw/svg.h"

namespace tautmark::draw_test {

ptree parsed(const std::string& svg) {
  std::istringstream in(svg);
  ptree tree;
  boost::property_tree::read_xml(in, tree);
  return tree;
}

void walk(const ptree& tree, const Visit& visit) {
  for (const auto& [name, child] : tree) {
    if (name == "<xmlattr>" || name == "<xmlcomment>") continue;
    visit(name, child);
    walk(child, visit);
  }
}

std::string attribute(const ptree& element, const std::string& name) {
  return element.get("<xmlattr>." + name, "");
}

Transform transform_of(const ptree& element) {
  Transform t;
  const std::string text = attribute(element, "transform");
  if (std::sscanf(text.c_str(), "translate(%lf %lf)rotate(%lf)", &t.x, &t.y, &t.degrees) < 1)
    std::sscanf(text.c_str(), "rotate(%lf)", &t.degrees);
  return t;
}

namespace {

struct Text {
  std::string words;
  draw::Box box;
};
void add_texts(const ptree& tree, const Transform& outer, std::vector<Text>& texts) {
  const auto to_sheet = [](const Transform& t, draw::XY p) {
    const double c = std::cos(t.degrees * draw::kPi / 180),
                 s = std::sin(t.degrees * draw::kPi / 180);
    return draw::XY{t.x + c * p.x - s * p.y, t.y + s * p.x + c * p.y};
  };
  for (const auto& [name, element] : tree) {
    if (name == "<xmlattr>") continue;
    const Transform own = transform_of(element);
    const draw::XY at = to_sheet(outer, {own.x, own.y});
    const Transform t{at.x, at.y, outer.degrees + own.degrees};
    add_texts(element, t, texts);
    if (name != "text" || element.data().empty()) continue;
    const double size = std::stod(attribute(element, "font-size"));
    const bool bold = attribute(element, "class").find(" b") != std::string::npos;
    // The width that placing assumes is generous; most faces are narrower.
    const double width = draw::text_width(element.data(), bold) * size;
    const std::string anchor = attribute(element, "text-anchor");
    const double shift = anchor.empty() ? width / 2 : anchor == "end" ? -width / 2 : 0;
    const draw::XY middle{element.get("<xmlattr>.x", 0.0) + shift,
                          element.get("<xmlattr>.y", 0.0) - 0.36 * size};
    const draw::XY center = to_sheet(t, middle);
    const draw::XY along = to_sheet(t, middle + draw::XY{1, 0}) - center;
    texts.push_back({element.data(), {center, width / 2, 0.45 * size, along}});
  }
}

std::vector<Text> texts_of(const ptree& tree) {
  std::vector<Text> texts;
  add_texts(tree, {}, texts);
  return texts;
}

}  // namespace

std::vector<draw::Box> text_boxes(const std::string& svg) {
  std::vector<draw::Box> boxes;
  for (const Text& text : texts_of(parsed(svg))) boxes.push_back(text.box);
  return boxes;
}

void expect_texts_apart_and_on_the_sheet(const std::string& svg) {
  const ptree tree = parsed(svg);
  double width = 0, height = 0;
  std::sscanf(attribute(tree.get_child("svg"), "viewBox").c_str(), "0 0 %lf %lf", &width, &height);
  ASSERT_GE(height, 100);
  const auto texts = texts_of(tree);
  for (std::size_t i = 0; i < texts.size(); ++i) {
    const draw::Box& box = texts[i].box;
    const double x =
        box.half_width * std::abs(box.along.x) + box.half_height * std::abs(box.along.y);
    const double y =
        box.half_width * std::abs(box.along.y) + box.half_height * std::abs(box.along.x);
    EXPECT_TRUE(box.center.x - x >= 0 && box.center.x + x <= width && box.center.y - y >= 0 &&
                box.center.y + y <= height)
        << texts[i].words << " leaves the sheet";
    for (std::size_t j = 0; j < i; ++j)
      EXPECT_FALSE(draw::overlap(box, texts[j].box)) << texts[i].words << " on " << texts[j].words;
  }
}

void keep(const std::string& name, const std::string& svg) {
  if (const char* folder = std::getenv("TAUTMARK_KEEP_DRAWINGS"))
    std::ofstream(std::string(folder) + "/" + name) << svg;
}

}  // namespace tautmark::draw_test
