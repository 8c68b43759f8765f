// SPDX-License-Identifier: Apache-2.0
// Writing SVG: numbers with two decimals, never an exponent, never NaN; every text escaped.
#pragma once

#include <string>
#include <string_view>

#include "base/markup.h"
#include "draw/plane.h"

namespace tautmark::draw {

// "12.5", "-0.25", "3"; what is not finite is written as 0 (figures are sifted before: sift.h).
void append_number(std::string& out, double number);
std::string number(double number);

class Path {
 public:
  Path& move(XY to) { return point('M', to); }
  Path& line(XY to) { return point('L', to); }
  Path& quad(XY control, XY to) { return point('Q', control).point(' ', to); }
  Path& cubic(XY a, XY b, XY to) { return point('C', a).point(' ', b).point(' ', to); }
  Path& arc(double radius, bool large, bool clockwise, XY to);
  Path& close();
  Path& circle(XY center, double radius);
  [[nodiscard]] const std::string& d() const { return d_; }

 private:
  Path& point(char command, XY to);
  std::string d_;
};

enum class Anchor { start, middle, end };

class Svg {
 public:
  Svg& raw(std::string_view markup) {
    out_ += markup;
    return *this;
  }
  // ` name="value"`, to stand in `attributes` below.
  static std::string attribute(std::string_view name, std::string_view value);
  static std::string attribute(std::string_view name, double value);

  void open(std::string_view element, std::string_view classes, std::string_view attributes = {});
  void close(std::string_view element);
  void path(std::string_view classes, const Path& path, std::string_view attributes = {});
  void line(std::string_view classes, XY from, XY to);
  void circle(std::string_view classes, XY center, double radius);
  void rect(std::string_view classes, XY corner, double width, double height);
  // `at` is the middle of the text's height; turned clockwise by `degrees` about it.
  void text(std::string_view classes, XY at, double size, Anchor anchor, std::string_view words,
            double degrees = 0);
  void use(std::string_view id, XY at, double degrees, std::string_view attributes);
  [[nodiscard]] const std::string& markup() const { return out_; }

 private:
  std::string out_;
};

// Width of a text in units of its size, on the wide side for the faces that style.cc asks for.
double text_width(std::string_view text, bool bold = false);

}  // namespace tautmark::draw
