// SPDX-License-Identifier: Apache-2.0
// Crank turns until the colored links stand on the marks again: geometry/counts.h, mark_return.
#include <fmt/format.h>

#include "geometry/counts.h"
#include "quick/heard.h"
#include "quick/quick.h"
#include "quick/spoken.h"

namespace tautmark::quick {
namespace {

constexpr Input kInputs[] = {
    {.name = "links",
     .ask = "How many links has the chain?",
     .form = Form::count,
     .kind = {},
     .need = Need::required,
     .example = "124",
     .choices = {}},
    {.name = "crank",
     .ask = "How many teeth has the crank sprocket of this chain?",
     .form = Form::count,
     .kind = {},
     .need = Need::required,
     .example = "21",
     .choices = {}},
    {.name = "cam",
     .ask = "How many teeth has the cam sprocket of this chain?",
     .form = Form::count,
     .kind = {},
     .need = Need::required,
     .example = "42",
     .choices = {}},
};

Said<int> sensible_count(const Heard& heard, std::string_view input) {
  Said<int> count = heard.count(input);
  if (count && *count < kFewestTeeth) {
    return tl::make_unexpected(
        heard.ask(input, fmt::format("{} are too few. {}", *count, heard.ask(input).sentence)));
  }
  return count;
}

Outcome run(const Typed& typed) {
  const Heard heard(kReturns, typed);
  const Said<int> links = sensible_count(heard, "links");
  if (!links) return links.error();
  const Said<int> crank = sensible_count(heard, "crank");
  if (!crank) return crank.error();
  const Said<int> cam = sensible_count(heard, "cam");
  if (!cam) return cam.error();
  if (*cam < *crank) {
    return heard.ask("cam", fmt::format("The cam sprocket ({}) has fewer teeth than the crank "
                                        "sprocket ({}): are the two swapped?",
                                        *cam, *crank));
  }
  const Result<MarkReturn> turns =
      mark_return({.chain_links = *links, .crank_teeth = *crank, .cam_teeth = *cam});
  if (!turns) return heard.ask("links", turns.error().why + ".");

  Answer answer;
  answer.lines.push_back(
      fmt::format("Colored links and sprocket marks stand together again after {} "
                  "crank turns ({} circuits of the chain).",
                  turns->turns_all, turns->chain_circuits));
  answer.lines.push_back(
      fmt::format("The sprocket marks alone must stand right every {} crank turns.",
                  turns->turns_sprocket_marks));
  answer.lines.push_back(fmt::format(
      "After {} turns: colored links away from the marks are normal, sprocket marks away from "
      "theirs are wrong.",
      turns->turns_sprocket_marks));
  if (!turns->cam_at_half_speed) {
    answer.lines.emplace_back(
        "This is not 2 to 1: a four-stroke engine then has another stage behind this sprocket, "
        "which "
        "is not counted here.");
  }
  answer.steps.push_back(
      fmt::format("lcm({}, {}, {}) / {} = {}", *links, *crank, *cam, *crank, turns->turns_all));
  answer.steps.push_back(fmt::format("sprocket marks: lcm({}, {}) / {} = {}", *crank, *cam, *crank,
                                     turns->turns_sprocket_marks));
  answer.steps.push_back(fmt::format(
      "a colored link is back on the crank mark alone after {} turns", turns->turns_crank_link));
  answer.assumed.emplace_back("one chain; another chain on the crank has its own count");
  answer.cautions.emplace_back(
      "Never turn to wait for colored links. Check the sprocket marks, or count the links.");
  for (std::string& caution : turning_cautions()) answer.cautions.push_back(std::move(caution));
  return answer;
}

}  // namespace

constinit const QuickQuestion kReturns = {
    .name = "returns",
    .alias = "turns",
    .help = "crank turns until the colored links stand on the marks again",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
