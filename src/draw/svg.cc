// SPDX-License-Identifier: Apache-2.0
#include "draw/svg.h"

#include <array>
#include <charconv>

namespace tautmark::draw {
namespace {

constexpr double kLargest = 1e9;        // beyond it nothing is a drawing
constexpr double kBaselineDrop = 0.36;  // half the height of a capital, in text sizes
}  // namespace

void append_number(std::string& out, double number) {
  if (!(std::abs(number) < kLargest)) number = 0;
  long long hundredths = std::llround(number * 100);
  if (hundredths < 0) {
    out += '-';
    hundredths = -hundredths;
  }
  std::array<char, 24> digits{};
  const auto end = std::to_chars(digits.begin(), digits.end(), hundredths / 100).ptr;
  out.append(digits.data(), end);
  const auto rest = static_cast<int>(hundredths % 100);
  if (rest == 0) return;
  out += '.';
  out += static_cast<char>('0' + rest / 10);
  if (rest % 10 != 0) out += static_cast<char>('0' + rest % 10);
}

std::string number(double number) {
  std::string out;
  append_number(out, number);
  return out;
}

Path& Path::point(char command, XY to) {
  d_ += command;
  append_number(d_, to.x);
  d_ += ' ';
  append_number(d_, to.y);
  return *this;
}

Path& Path::arc(double radius, bool large, bool clockwise, XY to) {
  d_ += 'A';
  append_number(d_, radius);
  d_ += ' ';
  append_number(d_, radius);
  d_ += large ? " 0 1 " : " 0 0 ";
  d_ += clockwise ? '1' : '0';
  return point(' ', to);
}

Path& Path::close() {
  d_ += 'Z';
  return *this;
}

Path& Path::circle(XY center, double radius) {
  const XY left = center - XY{radius, 0};
  return move(left).arc(radius, true, true, center + XY{radius, 0}).arc(radius, true, true, left);
}

std::string Svg::attribute(std::string_view name, std::string_view value) {
  return " " + std::string(name) + "=\"" + escaped(value) + "\"";
}
std::string Svg::attribute(std::string_view name, double value) {
  return attribute(name, number(value));
}

void Svg::open(std::string_view element, std::string_view classes, std::string_view attributes) {
  out_ += '<';
  out_ += element;
  if (!classes.empty()) out_ += attribute("class", classes);
  out_ += attributes;
  out_ += '>';
}

void Svg::close(std::string_view element) {
  out_ += "</";
  out_ += element;
  out_ += ">\n";
}

void Svg::path(std::string_view classes, const Path& path, std::string_view attributes) {
  out_ += "<path class=\"";
  out_ += classes;
  out_ += '"';
  out_ += attributes;
  out_ += " d=\"";
  out_ += path.d();
  out_ += "\"/>\n";
}

void Svg::line(std::string_view classes, XY from, XY to) {
  path(classes, Path().move(from).line(to));
}

void Svg::circle(std::string_view classes, XY center, double radius) {
  open("circle", classes,
       attribute("cx", center.x) + attribute("cy", center.y) + attribute("r", radius));
  out_.back() = '/';
  out_ += ">\n";
}

void Svg::rect(std::string_view classes, XY corner, double width, double height) {
  open("rect", classes,
       attribute("x", corner.x) + attribute("y", corner.y) + attribute("width", width) +
           attribute("height", height));
  out_.back() = '/';
  out_ += ">\n";
}

void Svg::text(std::string_view classes, XY at, double size, Anchor anchor, std::string_view words,
               double degrees) {
  std::string attributes = attribute("font-size", size);
  if (anchor != Anchor::start)
    attributes += attribute("text-anchor", anchor == Anchor::middle ? "middle" : "end");
  if (degrees == 0) {
    attributes += attribute("x", at.x) + attribute("y", at.y + kBaselineDrop * size);
  } else {
    attributes += attribute("y", kBaselineDrop * size);
    attributes += attribute("transform", "translate(" + number(at.x) + " " + number(at.y) +
                                             ")rotate(" + number(degrees) + ")");
  }
  open("text", classes, attributes);
  out_ += escaped(words);
  close("text");
}

void Svg::use(std::string_view id, XY at, double degrees, std::string_view attributes) {
  out_ += "<use href=\"#";
  out_ += id;
  out_ += '"';
  out_ += attributes;
  out_ += " transform=\"translate(";
  append_number(out_, at.x);
  out_ += ' ';
  append_number(out_, at.y);
  out_ += ")rotate(";
  append_number(out_, degrees);
  out_ += ")\"/>\n";
}

// Rounded up from the advance widths of a condensed sans-serif face at its widest.
double text_width(std::string_view text, bool bold) {
  constexpr double kNarrow = 0.34, kLower = 0.56, kWide = 0.88, kCapital = 0.68, kOther = 0.75;
  double width = 0;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if ((byte & 0xC0U) == 0x80U) continue;  // the rest of a longer character
    if (byte >= 0x80)
      width += byte >= 0xE0 ? 1 : kOther;
    else if (std::string_view(" iljtfrI.,:;'!|()[]-/\"").find(c) != std::string_view::npos)
      width += kNarrow;
    else if (std::string_view("mwMW@%&").find(c) != std::string_view::npos)
      width += kWide;
    else
      width += c >= 'A' && c <= 'Z' ? kCapital : kLower;
  }
  return bold ? 1.1 * width : width;
}

}  // namespace tautmark::draw
