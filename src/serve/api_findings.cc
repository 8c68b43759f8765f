// SPDX-License-Identifier: Apache-2.0
// What a case says: findings, brief, sheet, drawing.
#include "draw/drive_svg.h"
#include "draw/figure_of_case.h"
#include "report/report.h"
#include "serve/api_types_motion.h"
#include "serve/case_reading.h"
#include "serve/handlers.h"

namespace tautmark {
namespace {

Response findings(Shop& shop, Request& request) {
  const auto judged = judged_case(shop, request.parts["case"]);
  return judged
             ? json_response(json_report(*judged->judgement, judged->read.kept->summary.head_seq))
             : judged.error();
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

// The drive of a case as its entries say it stands.
struct CaseDrawn {
  CaseInHand in_hand;
  Figure figure;
};
Answered<CaseDrawn> drawn_case(Shop& shop, const std::string& name) {
  const auto read = read_case(shop, name);
  if (!read) return answer_with(read.error());
  if (read->loaded.drives.empty())
    return answer_with(problem(404, "Nothing to draw", "the case names no drive"));
  auto with_files = case_in_hand(shop, *read);
  if (!with_files) return answer_with(with_files.error());
  const LoadedCase& loaded = with_files->loaded;
  const LoadedDrive& drive = loaded.drives.front();
  auto figure = figure_of(drive.drive, figure_state_of(check_input(loaded, &drive)));
  if (!figure) return answer_with(problem(404, "Nothing to draw", figure.error().why));
  return CaseDrawn{std::move(*with_files), std::move(*figure)};
}

Response drawing(Shop& shop, Request& request) {
  const auto drawn = drawn_case(shop, request.parts["case"]);
  if (!drawn) return drawn.error();
  return text_response("image/svg+xml", said_true(request, "strands") ? strands_svg(drawn->figure)
                                                                      : drive_svg(drawn->figure));
}

Response motion(Shop& shop, Request& request) {
  const auto drawn = drawn_case(shop, request.parts["case"]);
  if (!drawn) return drawn.error();
  return answer(motion_of(drawn->in_hand.loaded.drives.front().drive, drawn->figure));
}

}  // namespace

std::span<const Handler> finding_handlers() {
  static constexpr Handler kHandlers[] = {
      {"findings", &findings},   {"brief", &brief},       {"sheet", &sheet},
      {"caseDrawing", &drawing}, {"caseMotion", &motion},
  };
  return kHandlers;
}

}  // namespace tautmark
