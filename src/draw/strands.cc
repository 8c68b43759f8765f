// SPDX-License-Identifier: Apache-2.0
// The chain laid straight: what to count. One block per strand, numbers in running direction
// beginning with 1 at the strand's first link, rows of forty so that the tens stand below each
// other, what lies on a sprocket shaded, and the sum at the end.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "draw/parts.h"
#include "draw/segments.h"

namespace tautmark {
namespace draw {
namespace {

constexpr std::size_t kRow = 40;
constexpr double kLength =
    (kSheetWidth - 2 * kInside) / (kRow + 1.8);  // of a link; the mark before fits
constexpr double kTagRoom = 22, kNumberBelow = 18.5, kNameBelow = 30.5, kRowHeight = kTagRoom + 46;
constexpr double kShadeHalf = 12;

struct Strip {  // one chain of the sheet
  Sheet& sheet;
  const FigureChain& chain;
  const std::string& number;  // in its tags
  std::vector<std::size_t> on, colors;
  double y = 0;

  [[nodiscard]] std::size_t size() const { return chain.pins.size(); }
  static double x(std::size_t place) {
    return kInside + (static_cast<double>(place) + 1.4) * kLength;  // the mark stands before
  }
  void row(const Segment& segment, std::size_t from, std::size_t to);
  void shades(const Segment& segment, std::size_t from, std::size_t to, double middle);
  void links(const Segment& segment, std::size_t from, std::size_t to, double middle);
  void tags(const Segment& segment, std::size_t from, std::size_t to, double middle);
  void ghost(const Segment& segment, double middle);
  void segment(const Segment& segment);
  void sum(std::span<const Segment> segments);
};

void Strip::shades(const Segment& segment, std::size_t from, std::size_t to, double middle) {
  const auto wheel_at = [&](std::size_t i) { return on[(segment.first + i) % size()]; };
  for (std::size_t i = from; i < to;) {
    const std::size_t wheel = wheel_at(i);
    std::size_t end = i + 1;
    while (end < to && wheel_at(end) == wheel) ++end;
    if (wheel < sheet.figure.wheels.size()) {
      // A tooth of a belt stands on its pin, a link between two.
      const double shift = chain.belt ? kLength / 2 : 0;
      const double left = x(i - from) - shift, right = x(end - from) - shift;
      sheet.svg.rect("shade", {left, middle - kShadeHalf}, right - left, 2 * kShadeHalf);
      const FigureWheel& on_wheel = sheet.figure.wheels[wheel];
      const Label label{
          .lines = {"on " + (on_wheel.label.empty() ? on_wheel.name : on_wheel.label)},
          .size = 10.5,
          .classes = "soft"};
      const double half = half_size(label).x;
      const double center =
          std::clamp((left + right) / 2, kInside + half, kSheetWidth - kInside - half);
      const std::array places{Place{{center, middle + kNameBelow}}};
      // What finds no room is said by the shade of the row before or after.
      sheet.labels.place(sheet.words, label, places);
    }
    i = end;
  }
}

void Strip::links(const Segment& segment, std::size_t from, std::size_t to, double middle) {
  const Paper paper = sheet.options.paper;
  const auto use = [&](std::size_t i, std::string_view shape) {
    const std::size_t link = (segment.first + i) % size();
    std::string data = fmt::format(" data-link=\"{}\"", link);
    if (colors[link] < sheet.colors.size())
      data += fmt::format(" class=\"marked c{}\"", colors[link]);
    sheet.svg.use(link_id(shape, kLength, paper), {x(i - from), middle}, 0, data);
  };
  const auto is_marked = [&](std::size_t i) {
    return colors[(segment.first + i) % size()] < sheet.colors.size();
  };
  if (chain.belt) {
    const double left = x(0) - 0.3 * kLength, right = x(to - from) - 0.3 * kLength;
    for (std::size_t i = from; i < to; ++i) use(i, "tooth");
    sheet.svg.rect("medium paper", {left, middle - 0.16 * kLength}, right - left, 0.26 * kLength);
    for (std::size_t i = from; i < to; ++i)
      if (is_marked(i)) use(i, "line");
    return;
  }
  for (const bool is_outer : {false, true})
    for (std::size_t i = from; i < to; ++i)
      if (!is_marked(i) && ((segment.first + i) % size() % 2 == 0) == is_outer)
        use(i, is_outer ? "outer" : "inner");
  for (std::size_t i = from; i < to; ++i)
    if (is_marked(i)) use(i, "outer");
}

// The marked link that counting begins at: it is the last of the strand before.
void Strip::ghost(const Segment& segment, double middle) {
  const std::size_t link = (segment.first + size() - 1) % size();
  const XY center{x(0) - (chain.belt ? 1 : 0.5) * kLength, middle};
  const double half = kLength / 2, up = (chain.belt ? 0.16 : 0.36) * kLength;
  const double down = (chain.belt ? 0.1 : 0.36) * kLength;
  Path outline;
  outline.move(center + XY{half, -up}).line(center + XY{-half, -up});
  if (chain.belt)
    outline.move(center + XY{-half, down});
  else
    outline.arc(up, false, false, center + XY{-half, down});
  sheet.svg.path("hidden", outline.line(center + XY{half, down}));
  sheet.words.text("t soft", center + XY{0, kNumberBelow}, 10, Anchor::middle, "0");
  if (colors[link] >= sheet.colors.size()) return;
  sheet.words.open("g", "tag");
  write_tag(sheet.words, sheet.colors, colors[link], center - XY{0, kTagRoom - 3}, number);
  sheet.words.close("g");
}

void Strip::tags(const Segment& segment, std::size_t from, std::size_t to, double middle) {
  const double shift = chain.belt ? 0 : kLength / 2;
  for (std::size_t i = from; i < to; ++i) {
    const XY at{x(i - from) + shift, middle};
    const std::size_t link = (segment.first + i) % size(), count = i + 1;
    // Three digits are wider than a link.
    if (count < 100 || count % 2 == 0)
      sheet.words.text(count % 10 == 0 || count == segment.length ? "t b" : "t",
                       at + XY{0, kNumberBelow}, 10, Anchor::middle, std::to_string(count));
    if (colors[link] >= sheet.colors.size()) continue;
    const XY tag = at - XY{0, kTagRoom - 3};
    sheet.words.open("g", "tag");
    sheet.words.line("thin", at, tag);
    write_tag(sheet.words, sheet.colors, colors[link], tag, number);
    sheet.words.close("g");
  }
}

void Strip::row(const Segment& segment, std::size_t from, std::size_t to) {
  const double middle = y + kTagRoom + 8;
  shades(segment, from, to, middle);
  links(segment, from, to, middle);
  tags(segment, from, to, middle);
  if (from == 0 && segment.from_mark) ghost(segment, middle);
  y += kRowHeight;
}

void Strip::segment(const Segment& s) {
  const std::string unit = chain.belt ? " teeth" : " links";
  std::string count = std::to_string(s.length) + unit;
  if (s.count && s.from_mark && *s.count != static_cast<int>(s.length))
    count = std::to_string(*s.count) + unit + ", drawn " + std::to_string(s.length);
  if (s.count && !s.from_mark)
    count = std::to_string(*s.count) + " between the marks, free " + std::to_string(s.length);
  const double room = (kSheetWidth - 2 * kInside) / 12.5 - text_width(count, true) - 2;
  y += 4;
  Svg& svg = sheet.words;
  svg.line("thin", {kInside, y}, {kSheetWidth - kInside, y});
  const auto lines = wrapped(s.name, room);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    svg.text("t", {kInside, y + 11}, 12.5, Anchor::start, lines[i]);
    if (i == 0) svg.text("t b", {kSheetWidth - kInside, y + 11}, 12.5, Anchor::end, count);
    y += 15;
  }
  y += 5;
  for (std::size_t from = 0; from < s.length; from += kRow)
    row(s, from, std::min(s.length, from + kRow));
}

void Strip::sum(std::span<const Segment> segments) {
  const std::string unit = chain.belt ? " teeth" : " links";
  std::string words;
  long long total = 0;
  for (const Segment& s : segments) {
    // Only what is counted from mark to mark; free strands leave out what lies on the sprockets.
    const int count =
        s.from_mark ? s.count.value_or(static_cast<int>(s.length)) : static_cast<int>(s.length);
    words += (words.empty() ? "" : " + ") + std::to_string(count);
    total += count;
  }
  words += " = " + std::to_string(total);
  const bool fits = total == static_cast<long long>(size());
  words += fits ? unit + ", the whole " + (chain.belt ? "belt" : "chain")
                : ", but the " + std::string(chain.belt ? "belt" : "chain") + " has " +
                      std::to_string(size()) + unit;
  for (const std::string& line : wrapped(words, (kSheetWidth - 2 * kInside) / 13, true)) {
    sheet.words.text(fits ? "t b" : "t b error", {kSheetWidth - kInside, y + 8}, 13, Anchor::end,
                     line);
    y += 18;
  }
}

void write_strip(Sheet& sheet, std::size_t index, double& y) {
  const FigureChain& chain = sheet.figure.chains[index];
  Strip strip{sheet, chain, sheet.numbers.of_chain[index], wheels_under(sheet.figure, chain),
              {},    y + 16};
  strip.colors.assign(chain.pins.size(), sheet.colors.size());
  for (const FigureLinkMark& mark : chain.marked)
    strip.colors[mark.link % chain.pins.size()] = color_index(sheet.colors, mark.color);
  sheet.svg.open("g", "chain plates", Svg::attribute("data-chain", chain.name));
  for (const std::string& line :
       wrapped(chain_words(chain), (kSheetWidth - 2 * kInside - 170) / 15, true)) {
    sheet.words.text("t b", {kInside, strip.y}, 15, Anchor::start, line);
    strip.y += 18;
  }
  // The way that the links run, over the end of the first strand.
  const XY tip{kSheetWidth - kInside, y + 16};
  sheet.words.text("t", tip - XY{44, 0}, 12, Anchor::end, "running direction");
  sheet.words.line("medium", tip - XY{36, 0}, tip - XY{6, 0});
  sheet.words.path("medium ink",
                   Path().move(tip).line(tip - XY{9, 3}).line(tip - XY{9, -3}).close());
  strip.y -= 4;
  const auto segments = segments_of(chain, strip.on, sheet.figure.wheels.size());
  for (const Segment& segment : segments) strip.segment(segment);
  strip.sum(segments);
  sheet.svg.close("g");
  y = strip.y;
}

}  // namespace
}  // namespace draw

std::string strands_svg(const Figure& figure, const DrawOptions& options) {
  using namespace draw;
  const Figure sane = sifted(figure);
  Sheet sheet{.figure = sane, .options = options};
  sheet.colors = link_colors(sane);
  sheet.numbers = chain_numbers(sane);
  sheet.labels = Labels({kInside - 2, 0}, {kSheetWidth - kInside + 2, HUGE_VAL});
  double y = kFrame + 8 + (sane.invented ? kBannerHeight : 0);
  sheet.svg.raw(link_shapes(kLength, options.paper));
  for (std::size_t i = 0; i < sane.chains.size(); ++i) write_strip(sheet, i, y);
  FrameTexts texts = frame_texts(sheet);
  texts.rows.front().second = "chains laid straight, left to right";
  texts.scale_words = "not to scale";
  texts.scale_bar = false;
  texts.notes.insert(
      texts.notes.begin(),
      "numbers count in running direction from the mark (0, dashed) to the next; shaded: on a "
      "sprocket");
  const double height = write_frame(sheet, texts, y);
  const std::string title = sane.title + ", strands laid straight";
  return document_head(sheet, height, title, described(sheet), "strands") + sheet.svg.markup() +
         sheet.words.markup() + "</svg>\n";
}

}  // namespace tautmark
