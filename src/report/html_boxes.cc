// SPDX-License-Identifier: Apache-2.0
#include "report/html_boxes.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "report/html_parts.h"

namespace tautmark::html {
namespace {

constexpr std::size_t kBoxes = 3;

bool has_digit(std::string_view word) {
  return std::any_of(word.begin(), word.end(), [](char c) { return c >= '0' && c <= '9'; });
}

std::string without_separator(std::string word) {
  while (!word.empty() && (word.back() == ',' || word.back() == ';')) word.pop_back();
  return word;
}

// What is computed has neither direction nor boxes.
std::string line_cells(const BoxLine& line) {
  if (!line.wide.empty() && line.direction.empty() && line.entry.empty())
    return said("td.reading wide", line.wide, "colspan=\"4\"");
  std::string small = line.unit;
  if (!line.entry.empty()) small += (small.empty() ? "" : ", ") + line.entry;
  std::string words = escaped(line.direction);
  if (!small.empty()) words += " " + said("small", small);
  std::string cells = tag("td.direction", words);
  if (!line.wide.empty()) return cells + said("td.reading wide", line.wide, "colspan=\"3\"");
  for (std::size_t i = 0; i < kBoxes; ++i)
    cells += said("td.reading", i < line.boxes.size() ? line.boxes[i] : "");
  return cells;
}

// "27.968 ± 0.003 mm" may break before its unit only.
std::string unbroken_number(std::string_view shown) {
  constexpr std::string_view kAround = " ± ", kUnbroken = "\u00A0±\u00A0";
  std::string words(shown);
  if (const std::size_t at = words.find(kAround); at != std::string::npos)
    words.replace(at, kAround.size(), kUnbroken);
  return words;
}

std::string answer_cells(const Answer& answer, std::size_t lines) {
  const std::string span = fmt::format("rowspan=\"{}\"", lines);
  if (!answer.instead.empty()) return said("td.instead", answer.instead, span + " colspan=\"2\"");
  const bool has_value = answer.finding != nullptr && answer.finding->value;
  const std::string value =
      has_value ? unbroken_number(spoken_limit(answer.finding->value->shown)) : "";
  return said("td.result", value, span) + tag("td.ticks", verdict_ticks(answer.finding), span);
}

}  // namespace

void set_typed(BoxLine& line, const WrittenList& values, const Unit* limit_unit) {
  const std::vector<std::string> words = split(std::string(trimmed(values.text)), ' ');
  const std::size_t count = values.value.values.size();
  const auto unit = std::find_if_not(words.begin(), words.end(), has_digit);
  const bool are_plain = static_cast<std::size_t>(unit - words.begin()) == count &&
                         std::none_of(unit, words.end(), has_digit);
  if (count > kBoxes || !are_plain) {
    line.wide = values.text;
    return;
  }
  for (auto word = words.begin(); word != unit; ++word)
    line.boxes.push_back(without_separator(*word));
  if (values.value.values.front().unit == limit_unit) return;
  for (auto word = unit; word != words.end(); ++word)
    line.unit += (line.unit.empty() ? "" : " ") + *word;
}

std::string box_table_head(std::string_view first, std::string_view second) {
  const Column columns[] = {{first, "place"},   {second, "direction"}, {"1", "reading"},
                            {"2", "reading"},   {"3", "reading"},      {"result", "result"},
                            {"answer", "ticks"}};
  return table_head(columns);
}

std::string box_rows(const std::string& place, const std::vector<BoxLine>& lines,
                     const Answer& answer) {
  std::string rows;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    std::string cells;
    if (i == 0)
      cells += tag("th.place", place, fmt::format(R"(scope="row" rowspan="{}")", lines.size()));
    cells += line_cells(lines[i]);
    if (i == 0) cells += answer_cells(answer, lines.size());
    rows += tag("tr", cells) + "\n";
  }
  return rows;
}

std::string free_box_table() {
  constexpr int kRows = 12;
  std::string rows;
  for (int i = 0; i < kRows; ++i) rows += tag("tbody", box_rows("", {BoxLine{}}, {}));
  return tag("table.boxes free",
             box_table_head("place, quantity", "limit, where from, instrument") + rows);
}

}  // namespace tautmark::html
