// SPDX-License-Identifier: Apache-2.0
// Drawings read back with an XML parser that is not ours (Boost.PropertyTree).
#pragma once

#include <boost/property_tree/ptree.hpp>
#include <functional>
#include <string>
#include <vector>

#include "draw/labels.h"

namespace tautmark::draw_test {

using boost::property_tree::ptree;
using Visit = std::function<void(const std::string& name, const ptree& element)>;
ptree parsed(const std::string& svg);
void walk(const ptree& tree, const Visit& visit);
std::string attribute(const ptree& element, const std::string& name);

struct Transform {
  double x = 0, y = 0, degrees = 0;
};
Transform transform_of(const ptree& element);

// Into the folder TAUTMARK_KEEP_DRAWINGS, where one is named, to be looked at.
void keep(const std::string& name, const std::string& svg);

// Where its texts stand, by the widths that placing assumes.
std::vector<draw::Box> text_boxes(const std::string& svg);

// No text covers another or leaves the sheet, by the widths that placing assumes.
void expect_texts_apart_and_on_the_sheet(const std::string& svg);

}  // namespace tautmark::draw_test
