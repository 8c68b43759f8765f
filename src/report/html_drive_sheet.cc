// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "draw/drive_svg.h"
#include "draw/figure_of_drive.h"
#include "report/drive_sheet.h"
#include "report/html_parts.h"
#include "report/version.h"

namespace tautmark {
namespace html {
namespace {

std::string row(const std::vector<std::string>& cells, std::string_view element) {
  std::string out;
  for (const std::string& cell : cells) out += said(element, spoken_signs(cell));
  return tag("tr", out) + "\n";
}

std::string table(const SheetPart& part) {
  if (part.rows.empty()) return {};
  std::string head, body;
  for (std::size_t i = 0; i < part.rows.size(); ++i) {
    if (i == 0 && part.has_head)
      head = tag("thead", row(part.rows[i], "th"));
    else
      body += row(part.rows[i], "td");
  }
  return tag("table.data", head + tag("tbody", body));
}

std::string lines(const SheetPart& part) {
  std::string out;
  for (const SheetLine& line : part.lines)
    out += said(line.depth > 0 ? "li.deeper" : "li", spoken_signs(line.text));
  return out.empty() ? out : tag("ul.plain", out);
}

std::string drawings(const Drive& drive) {
  const auto figure = figure_of(drive);
  if (!figure) return {};
  const DrawOptions options{.paper = Paper::print};
  const std::string title = drive.title.value_or(drive.name);
  return picture(drive_svg(*figure, options), title + ", seen from the front") +
         picture(strands_svg(*figure, options), title + ", chains laid straight, with link counts");
}

}  // namespace
}  // namespace html

std::string html_drive_sheet(const LoadedDrive& loaded) {
  using namespace html;
  const DriveSheet sheet = drive_sheet(loaded);
  std::string body;
  if (sheet.is_invented) body += tag("p.invented", "INVENTED ENGINE, NOT FOR REAL WORK");
  std::string head = said("h1", sheet.title);
  for (const std::string& line : sheet.head) head += said("p", line);
  body += tag("header.data-head", head);
  int number = 0;
  if (const std::string drawn = drawings(loaded.drive); !drawn.empty())
    body += section(++number, "The drive", drawn);
  for (const SheetPart& part : sheet.parts)
    body += section(++number, part.title, lines(part) + table(part));
  for (const std::string& line : sheet.foot) body += said("p.note", line);
  body += tag("div.sums",
              said("p", program_version()) +
                  said("p", fmt::format("drive {}, SHA-256 {}", loaded.drive.name, loaded.sha256)));
  const std::string whole =
      tag("table.sheet", tag("tbody", tag("tr", tag("td", tag("main", body)))),
          "role=\"presentation\"");
  return page(sheet.title + ", data sheet", whole);
}

}  // namespace tautmark
