// SPDX-License-Identifier: Apache-2.0
// What a case says: findings, brief, sheet, drawing.
#include "draw/drive_svg.h"
#include "draw/figure_of_case.h"
#include "report/report.h"
#include "serve/case_reading.h"
#include "serve/handlers.h"

namespace tautmark {
namespace {

Response findings(Shop& shop, Request& request) {
  const auto judged = judged_case(shop, request.parts["case"]);
  return judged ? json_response(json_report(*judged->judgement)) : judged.error();
}

Response brief(Shop& shop, Request& request) {
  const auto judged = judged_case(shop, request.parts["case"]);
  return judged ? text_response("text/plain; charset=utf-8", brief_report(*judged->judgement))
                : judged.error();
}

Response sheet(Shop& shop, Request& request) {
  const auto judged = judged_case(shop, request.parts["case"]);
  if (!judged) return judged.error();
  const auto with_files = case_in_hand(shop, judged->read);
  return with_files ? text_response("text/html; charset=utf-8",
                                    html_sheet(*judged->judgement, with_files->loaded))
                    : with_files.error();
}

Response drawing(Shop& shop, Request& request) {
  const auto read = read_case(shop, request.parts["case"]);
  if (!read) return read.error();
  if (read->loaded.drives.empty())
    return problem(404, "Nothing to draw", "the case names no drive");
  const auto with_files = case_in_hand(shop, *read);
  if (!with_files) return with_files.error();
  const LoadedCase& loaded = with_files->loaded;
  const LoadedDrive& drive = loaded.drives.front();
  const auto figure = figure_of(drive.drive, figure_state_of(check_input(loaded, &drive)));
  if (!figure) return problem(404, "Nothing to draw", figure.error().why);
  return text_response("image/svg+xml",
                       said_true(request, "strands") ? strands_svg(*figure) : drive_svg(*figure));
}

}  // namespace

std::span<const Handler> finding_handlers() {
  static constexpr Handler kHandlers[] = {
      {"findings", &findings},
      {"brief", &brief},
      {"sheet", &sheet},
      {"caseDrawing", &drawing},
  };
  return kHandlers;
}

}  // namespace tautmark
