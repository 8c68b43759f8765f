// SPDX-License-Identifier: Apache-2.0
// The pieces that the printed job sheet is put together from. The sheet is HTML that is also valid
// XML: every element is closed, every text is escaped, no entity beyond the five of XML.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/finding.h"
#include "base/markup.h"

namespace tautmark::html {

// tag("td.limit wide", html): one element with its classes after the first dot; `html` is markup
// already. said(...) escapes its text.
std::string tag(std::string_view name_and_class, std::string_view html,
                std::string_view attributes = {});
std::string said(std::string_view name_and_class, std::string_view text,
                 std::string_view attributes = {});

// "journal-clearance" -> "journal clearance"; "<= 0.110 mm" -> "≤ 0.110 mm", "a..b" -> "a to b".
std::string spoken_check(std::string_view check);
std::string spoken_signs(std::string_view text);
std::string spoken_limit(std::string_view shown);

// The verdict as a chain link and its word: closed link, broken link, open link.
std::string verdict_drawing(Verdict verdict);
std::string verdict_symbols();  // what verdict_drawing refers to; once per sheet

std::string tick_box(bool ticked = false);
std::string tick_boxes(int count);  // numbered, one per bolt
// The three answers: as judged, or left to tick by hand where nothing was measured yet.
std::string verdict_ticks(const Finding* finding);

// A numbered section with its heading.
std::string section(int number, std::string_view title, std::string_view html);

struct Column {
  std::string_view heading;  // markup
  std::string_view classes;
};
std::string table_head(std::span<const Column> columns);

// A cell of the title block; width: sixth, quarter, third, half; "hand": to be filled in by hand.
std::string cell(std::string_view label, std::string_view text, std::string_view width);
// A heading with its lines; nothing without lines.
std::string list(std::string_view title, const std::vector<std::string>& lines);

std::string_view sheet_style();  // CSS

// A drawing as a picture of its own, so that its styles and the sheet's leave each other alone.
std::string picture(const std::string& svg, const std::string& words);

// The whole file around a body: head, style, and a policy under which nothing is fetched.
std::string page(std::string_view title, std::string_view body);

}  // namespace tautmark::html
