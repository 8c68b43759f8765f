// SPDX-License-Identifier: Apache-2.0
#include "report/html_parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <span>

#include "base/markup.h"
#include "base/text.h"

namespace tautmark::html {
namespace {

// A link plate seen from the side, 44 by 18, pins 20 apart. Contour lines are thick, what is not
// there is dashed as a hidden line.
constexpr std::string_view kSymbols =
    R"svg(<svg class="defs" width="0" height="0" aria-hidden="true">
<symbol id="link-pass" viewBox="0 0 44 20">
<path class="contour" d="M15.5 2.8A8 8 0 1 0 15.5 17.2Q22 14 28.5 17.2A8 8 0 1 0 28.5 2.8Q22 6 15.5 2.8Z"/>
<circle class="pin" cx="12" cy="10" r="3"/><circle class="pin" cx="32" cy="10" r="3"/>
</symbol>
<symbol id="link-fail" viewBox="0 0 44 20">
<g transform="rotate(7 10 10)"><path class="contour" d="M13.5 2.8A8 8 0 1 0 13.5 17.2Q16 16 18.2 15.8L16 12.6L19 10.2L16.2 7.6L18.2 4.3Q16 4 13.5 2.8Z"/>
<circle class="pin" cx="10" cy="10" r="3"/></g>
<g transform="rotate(-7 34 10)"><path class="contour" d="M30.5 2.8A8 8 0 1 1 30.5 17.2Q28 16 25.8 15.8L23.6 12.6L26.6 10.2L23.8 7.6L25.8 4.3Q28 4 30.5 2.8Z"/>
<circle class="pin" cx="34" cy="10" r="3"/></g>
</symbol>
<symbol id="link-open" viewBox="0 0 44 20">
<path class="contour" d="M20 4.4Q17 4.2 15.5 2.8A8 8 0 1 0 15.5 17.2Q17 15.8 20 15.6"/>
<circle class="pin" cx="12" cy="10" r="3"/>
<path class="hidden" d="M23 4.5Q26 4.2 28.5 2.8A8 8 0 1 1 28.5 17.2Q26 15.8 23 15.5"/>
<path class="center" d="M27.5 10H36.5M32 5.5V14.5"/>
</symbol>
</svg>
)svg";

std::string one_tick(std::string_view word, bool ticked) {
  return tag("span.tick", tick_box(ticked) + std::string(word));
}

std::string data_uri(std::string_view svg) {
  std::string uri = "data:image/svg+xml;charset=utf-8,";
  for (const char c : svg) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte < 0x20 || byte > 0x7e ||
        std::string_view("#%<>\"'&").find(c) != std::string_view::npos)
      uri += fmt::format("%{:02X}", byte);
    else
      uri += c;
  }
  return uri;
}

}  // namespace

std::string tag(std::string_view name_and_class, std::string_view html,
                std::string_view attributes) {
  const std::size_t dot = name_and_class.find('.');
  const std::string_view name = name_and_class.substr(0, dot);
  std::string out = fmt::format("<{}", name);
  if (dot != std::string_view::npos)
    out += fmt::format(" class=\"{}\"", name_and_class.substr(dot + 1));
  if (!attributes.empty()) out += fmt::format(" {}", attributes);
  return out + fmt::format(">{}</{}>", html, name);
}

std::string said(std::string_view name_and_class, std::string_view text,
                 std::string_view attributes) {
  return tag(name_and_class, escaped(text), attributes);
}

std::string spoken_check(std::string_view check) {
  std::string words(check);
  std::replace(words.begin(), words.end(), '-', ' ');
  return words;
}

std::string spoken_signs(std::string_view text) {
  return replaced(replaced(text, "<= ", "≤ "), ">= ", "≥ ");
}

std::string spoken_limit(std::string_view shown) {
  return replaced(spoken_signs(shown), "..", " to ");
}

std::string verdict_symbols() { return std::string(kSymbols); }

std::string verdict_drawing(Verdict verdict) {
  const std::string_view word = verdict_word(verdict);
  return fmt::format(
             R"(<svg class="link" viewBox="0 0 44 20" aria-hidden="true"><use href="#link-{}"/></svg>)",
             word) +
         said("b.verdict-word", word);
}

std::string tick_box(bool ticked) { return tag("i.box", ticked ? "×" : ""); }

std::string tick_boxes(int count) {
  constexpr int kMost = 48;  // one block of boxes that still fits a page
  std::string out;
  for (int i = 1; i <= std::min(count, kMost); ++i)
    out += tag("span.bolt", tag("small", std::to_string(i)) + tick_box());
  if (count > kMost) out += fmt::format(" and {} more", count - kMost);
  return tag("div.bolts", out);
}

std::string verdict_ticks(const Finding* finding) {
  const auto is = [&](Verdict verdict) {
    return finding != nullptr && finding->verdict == verdict &&
           finding->open_because != OpenBecause::not_measured;
  };
  return tag("div.answers", one_tick("pass", is(Verdict::pass)) +
                                one_tick("fail", is(Verdict::fail)) +
                                one_tick("cannot say", is(Verdict::open)));
}

std::string cell(std::string_view label, std::string_view text, std::string_view width) {
  return tag(fmt::format("div.cell {}", width), said("small", label) + said("b", text));
}

std::string list(std::string_view title, const std::vector<std::string>& lines) {
  if (lines.empty()) return {};
  std::string items;
  for (const std::string& line : lines) items += said("li", line);
  return said("h3", title) + tag("ul.plain", items);
}

std::string section(int number, std::string_view title, std::string_view html) {
  const std::string heading =
      tag("span.balloon", std::to_string(number)) + said("span.heading", title);
  return tag("section", tag("h2", heading) + "\n" + std::string(html)) + "\n";
}

std::string table_head(std::span<const Column> columns) {
  std::string cells;
  for (const Column& column : columns)
    cells += tag(column.classes.empty() ? "th" : fmt::format("th.{}", column.classes),
                 column.heading, "scope=\"col\"");
  return tag("thead", tag("tr", cells)) + "\n";
}

std::string picture(const std::string& svg, const std::string& words) {
  return tag("figure.drawing",
             fmt::format("<img alt=\"{}\" src=\"{}\"/>", escaped(words), data_uri(svg)));
}

std::string page(std::string_view title, std::string_view body) {
  const std::string head =
      "<meta charset=\"utf-8\"/>\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
      "'unsafe-inline'; img-src data:\"/>\n" +
      said("title", title) + "\n" + tag("style", sheet_style()) + "\n";
  return "<!DOCTYPE html>\n" +
         tag("html", "\n" + tag("head", "\n" + head) + "\n" + tag("body", body) + "\n",
             R"(xmlns="http://www.w3.org/1999/xhtml" lang="en")") +
         "\n";
}

}  // namespace tautmark::html
