// SPDX-License-Identifier: Apache-2.0
// Top dead center by a positive stop. It counts as known where its uncertainty takes no more than a
// quarter of what the center line of a lobe may be off: the zero of the wheel goes into a center
// line one to one, and a quarter leaves three for the readings and for the engine (program
// default). Neither a damper mark nor a pointer ever proves it: trade.md 7, question 23.
#include <fmt/format.h>

#include <cmath>

#include "casework/view.h"
#include "judge/checks/checks.h"
#include "judge/top_known.h"
#include "judge/verdict.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "top-dead-center";
constexpr double kShareOfRoom = 4;

std::string degrees(CrankAngle angle) {
  return fmt::format("{:.1f}°", std::abs(in_crank_deg(angle)));
}

std::string reads_words(const clearance::TopFound& found, CrankAngle U) {
  const double reads = in_crank_deg(found.wheel_reads);
  const std::string off = std::abs(reads) < 0.05 ? "0.0°"
                                                 : fmt::format("{:.1f}° {}", std::abs(reads),
                                                               reads < 0 ? "before" : "after");
  return fmt::format("{} ± {}", off, degrees(U));
}

void set_verdict(Finding& finding, const CheckInput& input, const TopKnown& top) {
  const auto open = [&](OpenBecause because, const std::string& why, std::string next) {
    finding.verdict = Verdict::open;
    finding.open_because = because;
    finding.why += ": " + why;
    finding.next.push_back(std::move(next));
  };
  if (!top.doubt.empty()) return open(top.because, top.doubt, top.next);
  const auto room = center_line_room(input);
  if (!room)
    return open(OpenBecause::not_in_drive,
                "no limit of a center line says whether that is close enough",
                "enter in the drive how far a center line may be off");
  const CrankAngle wanted = *room / kShareOfRoom;
  if (top.U > wanted)
    return open(OpenBecause::too_close,
                fmt::format("a center line that may be off by {} asks for ± {} or closer",
                            degrees(*room), degrees(wanted)),
                "meet the stop more often from each side, read a larger wheel, or let the stop "
                "reach further down, 20 to 50° from the top");
  finding.verdict = Verdict::pass;
  finding.why +=
      fmt::format(", close enough for a center line that may be off by {}", degrees(*room));
}

Finding judged(const CheckInput& input, const TopKnown& top) {
  Finding finding;
  finding.evidence = {top.from.entry->id};
  finding.subject = top.from.body->cylinder
                        ? fmt::format("top dead center of cylinder {}", *top.from.body->cylinder)
                        : "top dead center";
  if (!top.found) {
    finding.open_because = top.because;
    finding.why = top.doubt;
    finding.next = {top.next};
    return finding;
  }
  const clearance::TopFound& found = *top.found;
  finding.value = FindingValue{.value = found.wheel_reads.si(),
                               .unit = std::string(si_symbol(Kind::crank_angle)),
                               .U = top.U.si(),
                               .k = 2,
                               .shown = "wheel reads " + reads_words(found, top.U)};
  finding.why =
      fmt::format("at top dead center the wheel reads {} (crank)", reads_words(found, top.U));
  set_verdict(finding, input, top);
  finding.follows.push_back(
      top.from.body->wheel_set == true
          ? fmt::format("the wheel was set: both stops read {} now", degrees(found.half_angle))
          : found.words);
  finding.budget.push_back(fmt::format("pairs: {}; stops {} from the top",
                                       top.from.body->before.value.values.size(),
                                       degrees(found.half_angle)));
  if (!top.from.body->reading)
    finding.budget.emplace_back(
        "how well the wheel is read was not entered: taken from the program's list");
  if (!top.from.body->stop)
    finding.budget.emplace_back(
        "how well the piston comes back to the stop was not entered: taken as 0.1 mm (k = 2, "
        "program default)");
  finding.cautions = found.cautions;
  finding.sources = {"middle of two stops, pin offset taken off where it is known"};
  return finding;
}

}  // namespace

std::vector<Finding> top_dead_center(const CheckInput& input) {
  const auto top = top_known(input);
  const auto measured = all_of_kind<IndicatorReading>(input.entries);
  if (!top && measured.empty()) return {};
  Finding finding =
      top ? judged(input, *top)
          : open_finding("", "top dead center", OpenBecause::not_measured,
                         "lift was read against a wheel whose zero no positive stop shows",
                         {"find the top by a positive stop: the wheel at both sides, the piston "
                          "pressed up against it"});
  finding.check = kCheck;
  if (!top) finding.evidence.push_back(measured.front().entry->id);
  finding.cautions.emplace_back(
      "a damper mark can slip on its rubber: trust the stop, not the mark");
  finding.cautions.emplace_back(
      "fingers out of the drive; the engine maker's procedure comes first");
  return {finding};
}

}  // namespace tautmark::checks
