// SPDX-License-Identifier: Apache-2.0
// Dead center by positive stop: clearance/top_dead_center.h.
#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

#include "base/text.h"
#include "clearance/top_dead_center.h"
#include "quick/heard.h"
#include "quick/quick.h"
#include "quick/spoken.h"

namespace tautmark::quick {
namespace {

constexpr Input kInputs[] = {
    {.name = "before",
     .ask = "How many degrees before its zero does the wheel read at the stop on one side?",
     .form = Form::angle,
     .kind = {},
     .need = Need::required,
     .example = "24.5 deg crank",
     .choices = {}},
    {.name = "after",
     .ask = "How many degrees after its zero does it read at the stop on the other side?",
     .form = Form::angle,
     .kind = {},
     .need = Need::required,
     .example = "22.1 deg crank",
     .choices = {}},
    {.name = "wheel",
     .ask = "Is the degree wheel on the crankshaft or on a camshaft?",
     .form = Form::choice,
     .kind = {},
     .need = Need::optional,
     .example = "crank",
     .choices = "crank|cam"},
    {.name = "resolution",
     .ask = "What is the smallest step that was read on the wheel?",
     .form = Form::angle,
     .kind = {},
     .need = Need::optional,
     .example = "0.5 deg crank",
     .choices = {}},
};

// A wheel is set near dead center by eye before the stop goes in; further off than this the
// readings were counted from something else (program default).
constexpr CrankAngle kMostWheelError = crank_deg(30);

// Half the width of a rectangular distribution to its standard deviation: a step d gives d/√12.
const double kRectangular = std::sqrt(12.0);

std::string sentence(std::string text) {
  if (!text.empty())
    text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
  return text + ".";
}

Outcome run(const Typed& typed) {
  const Heard heard(kDeadCenter, typed);
  const Said<SaidAngle> before = heard.angle("before", "wheel");
  if (!before) return before.error();
  const Said<SaidAngle> after = heard.angle("after", "wheel");
  if (!after) return after.error();
  CrankAngle resolution = crank_deg(std::pow(10, -std::max(before->decimals, after->decimals)) *
                                    (before->was_cam ? 2 : 1));
  Answer answer;
  if (heard.has("resolution")) {
    const Said<SaidAngle> said = heard.angle("resolution", "wheel");
    if (!said) return said.error();
    resolution = said->crank;
  } else {
    answer.assumed.push_back(fmt::format(
        "read to {} (the digits as typed); a coarser wheel makes the uncertainty larger",
        degrees(resolution)));
  }
  const auto found = clearance::top_from_stop(
      {.pairs = {{before->crank, after->crank}}, .reading_u = resolution / kRectangular});
  constexpr std::string_view kCountedFrom =
      "Is the wheel set near dead center, and are both readings counted from the wheel's zero?";
  if (!found)
    return heard.ask("before", fmt::format("{} {}", sentence(found.error().why), kCountedFrom));
  if (std::abs(found->wheel_reads.si()) > kMostWheelError.si()) {
    return heard.ask(
        "before",
        fmt::format("{} on one side and {} on the other (crank) is no usual pair of stops: the "
                    "wheel would be off by {} and both stops stand at {}. {}",
                    degrees(before->crank), degrees(after->crank), degrees(found->wheel_reads),
                    degrees(found->half_angle), kCountedFrom));
  }

  const std::string U = degrees(2 * found->u);
  const std::string_view side = found->wheel_reads.si() < 0 ? "before" : "after";
  if (std::abs(found->wheel_reads.si()) <= 2 * found->u.si()) {
    answer.lines.push_back(
        fmt::format("The wheel is right within ± {} (crank): both stops read {}.", U,
                    degrees(found->half_angle)));
  } else {
    answer.lines.push_back(
        fmt::format("The wheel is off: at true dead center it reads {} (crank), {} cam, {} its "
                    "zero; ± {} crank.",
                    degrees(found->wheel_reads), degrees(found->wheel_reads / 2), side, U));
    answer.lines.push_back(
        fmt::format("Move the wheel or its pointer until both stops read {} (crank).",
                    degrees(found->half_angle)));
  }
  answer.steps.push_back(
      fmt::format("reading at dead center = (after - before) / 2 = ({} - {}) / 2 = {}{}",
                  degrees(after->crank), degrees(before->crank), degrees(found->wheel_reads),
                  found->wheel_reads.si() == 0 ? "" : fmt::format(" {} zero", side)));
  answer.steps.push_back(
      fmt::format("both stops then read (after + before) / 2 = {}", degrees(found->half_angle)));
  answer.steps.push_back(fmt::format("U = {} / sqrt(6) = {} (k = 2), from reading the wheel alone",
                                     degrees(resolution), U));
  answer.assumed.emplace_back(
      "the same stop, met gently from both sides, wheel not moved between; how well the stop "
      "repeats is not in the uncertainty");
  answer.assumed.emplace_back("crankshaft not offset from the bores");
  for (const std::string& caution : found->cautions) answer.cautions.push_back(sentence(caution));
  for (const std::string_view caution :
       {"With the chain on, a valve can meet the stop or the piston. Never push a piston on the "
        "stop "
        "with the starter.",
        "A damper mark can slip on its rubber: trust the stop, not the mark."})
    answer.cautions.emplace_back(caution);
  for (std::string& caution : turning_cautions()) answer.cautions.push_back(std::move(caution));
  return answer;
}

}  // namespace

constinit const QuickQuestion kDeadCenter = {
    .name = "dead-center",
    .alias = "dead-centre",
    .help = "true dead center from the two readings at a positive stop",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
