// SPDX-License-Identifier: Apache-2.0
// The drive of this engine, drawn with what the case found: wheels that stand off, worn chains.
#include <fmt/format.h>

#include "draw/drive_svg.h"
#include "draw/figure_of_case.h"
#include "report/html_parts.h"
#include "report/html_sections.h"

namespace tautmark::html {
namespace {

std::string drawings_of(const CheckInput& input) {
  const Drive& drive = input.drive->drive;
  FigureState state = figure_state_of(input);
  const auto figure = figure_of(drive, state);
  state.teeth_early.clear();  // what to count by: the chain as it belongs
  const auto right = figure_of(drive, state);
  // Wear that the path cannot take up is a finding, no reason to print no drawing.
  const auto plain = figure ? figure : figure_of(drive);
  if (!plain)
    return said("p.note", fmt::format("{} cannot be drawn: {}", drive.name, plain.error().why));
  DrawOptions options;
  options.paper = Paper::print;
  const std::string title = drive.title.value_or(drive.name);
  return picture(drive_svg(*plain, options), title + ", seen from the front") +
         picture(strands_svg(right ? *right : *plain, options),
                 title + ", chains laid straight, with link counts");
}

}  // namespace

std::string drawing_section(int number, const Judgement& judgement, const LoadedCase& loaded) {
  std::string body;
  for (const CheckInput& input : inputs_in_use(judgement, loaded))
    if (input.drive != nullptr) body += drawings_of(input);
  return body.empty() ? body : section(number, "The drive", body);
}

}  // namespace tautmark::html
