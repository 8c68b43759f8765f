// SPDX-License-Identifier: Apache-2.0
// May the tensioner of the other bank be fitted? Common practice, no source: trade.md 7, question
// 12. That it bolts on is no answer, and neither is what nobody knows.
#include <fmt/format.h>

#include "quick/heard.h"
#include "quick/quick.h"

namespace tautmark::quick {
namespace {

constexpr Input kInputs[] = {
    {.name = "hand",
     .ask = "For which bank is the tensioner in your hand?",
     .form = Form::choice,
     .kind = {},
     .need = Need::required,
     .example = "1",
     .choices = "1|2|unknown"},
    {.name = "engine",
     .ask = "On which bank of the engine is it to go?",
     .form = Form::choice,
     .kind = {},
     .need = Need::required,
     .example = "2",
     .choices = "1|2|unknown"},
    {.name = "known_by",
     .ask = "How do you know for which bank it is?",
     .form = Form::choice,
     .kind = {},
     .need = Need::required,
     .example = "part number",
     .choices = "part number|it bolts on|looks|unknown"},
};
constexpr std::size_t kUnknownBank = 2;
constexpr std::size_t kPartNumber = 0;

constexpr std::string_view kCompare =
    "lay it beside the old one: side and angle of the plunger, feed hole, direction of the "
    "ratchet, "
    "part number";

Answer other_bank(std::size_t hand, std::size_t engine) {
  Answer answer;
  answer.lines.push_back(
      fmt::format("No: the tensioner of bank {} does not go on bank {}.", hand + 1, engine + 1));
  answer.lines.emplace_back(
      "That it bolts on proves nothing: the slack strands lie on the same side in running "
      "direction and are not mirrored. Angle of the plunger, feed hole and direction of the "
      "ratchet "
      "differ.");
  answer.lines.emplace_back(
      "It would rattle or fail within days: get the one for this bank, by part number.");
  return answer;
}

Answer same_bank(std::size_t bank) {
  Answer answer;
  answer.lines.push_back(fmt::format(
      "By its part number it is the one of bank {}. Before it is fitted, {}.", bank + 1, kCompare));
  answer.assumed.emplace_back("the part number was looked up for this exact engine, as told");
  return answer;
}

Answer not_known(std::string_view why) {
  Answer answer;
  answer.lines.push_back(fmt::format("Not yet: {}.", why));
  answer.lines.push_back(
      fmt::format("Look up the part number for this exact engine and bank, and {}.", kCompare));
  return answer;
}

Outcome run(const Typed& typed) {
  const Heard heard(kTensioner, typed);
  const Said<std::size_t> hand = heard.choice("hand");
  if (!hand) return hand.error();
  const Said<std::size_t> engine = heard.choice("engine");
  if (!engine) return engine.error();
  const Said<std::size_t> known_by = heard.choice("known_by");
  if (!known_by) return known_by.error();
  Answer answer = *engine == kUnknownBank ? not_known("on which bank it is to go is not known")
                  : *hand == kUnknownBank ? not_known("for which bank it is made is not known")
                  : *hand != *engine      ? other_bank(*hand, *engine)
                  : *known_by == kPartNumber
                      ? same_bank(*hand)
                      : not_known("looks, and that it bolts on, do not tell the banks apart");
  answer.cautions.emplace_back(
      "A new tensioner comes pinned: when the pin is pulled is a question "
      "of its own.");
  answer.cautions.emplace_back(
      "Which side is bank 1 is the engine maker's word: read it, do not guess it.");
  return answer;
}

}  // namespace

constinit const QuickQuestion kTensioner = {
    .name = "tensioner",
    .alias = "other-bank",
    .help = "may the tensioner of the other bank be fitted",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
