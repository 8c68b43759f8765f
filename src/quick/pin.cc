// SPDX-License-Identifier: Apache-2.0
// When the pin of the tensioner is pulled. Common practice, no source: trade.md 7, question 13; the
// same conditions bind a procedure (procedure/machine.h).
#include <fmt/format.h>

#include "base/text.h"
#include "quick/heard.h"
#include "quick/quick.h"

namespace tautmark::quick {
namespace {

constexpr Input yes_no(std::string_view name, std::string_view ask) {
  return {.name = name,
          .ask = ask,
          .form = Form::choice,
          .kind = {},
          .need = Need::required,
          .example = "yes",
          .choices = "yes|no|unknown"};
}
constexpr Input kInputs[] = {
    yes_no("pulled", "Has the pin been pulled already?"),
    yes_no("chain", "Is the chain on every sprocket, both strands seated?"),
    yes_no("slack", "Is the slack on the strand where the tensioner is?"),
    yes_no("marks", "Are marks and link counts checked, with the phaser locked?"),
    yes_no("bolts", "Are the phaser bolts at their final tightening?"),
    yes_no("guides", "Are the guides and the tensioner arm on?"),
};
constexpr std::string_view kFirst[] = {
    "",
    "seat the chain on every sprocket",
    "bring the slack to the tensioner's strand",
    "check marks and link counts with the phaser locked",
    "tighten the phaser bolts to the end, the camshaft held at its flats",
    "fit the guides and the tensioner arm"};

Outcome run(const Typed& typed) {
  const Heard heard(kPin, typed);
  std::vector<std::string> before;
  bool pulled = false;
  for (std::size_t i = 0; i < std::size(kInputs); ++i) {
    const Said<std::size_t> said = heard.choice(kInputs[i].name);
    if (!said) return said.error();
    if (i == 0) {
      pulled = *said != 1;
    } else if (*said != 0) {
      before.emplace_back(kFirst[i]);
    }
  }
  Answer answer;
  if (pulled) {
    answer.lines.emplace_back(
        "Take the tensioner out, press it back as the maker says (some must not be pressed back "
        "and are replaced), and pin it again.");
    answer.lines.push_back(before.empty()
                               ? "Then fit it, look at slack, marks and link counts once more, "
                                 "pull the pin, push the arm and see it move."
                               : fmt::format("Then first {}.", joined(before, "; ")));
  } else if (before.empty()) {
    answer.lines.emplace_back(
        "Now: pull the pin, push the arm to let the plunger out, and see it move.");
    answer.lines.emplace_back(
        "That it moved is to be seen: a tensioner still pinned looks right and lets the chain "
        "jump.");
  } else {
    answer.lines.push_back(fmt::format("Not yet. First {}.", joined(before, "; ")));
  }
  answer.assumed.emplace_back("as answered on the phone, seen by the one who answered");
  answer.cautions.emplace_back("Keep fingers out of the chain run: the plunger jumps out.");
  answer.cautions.emplace_back(
      "The engine maker's current procedure for this exact engine comes first.");
  return answer;
}

}  // namespace

constinit const QuickQuestion kPin = {
    .name = "pin",
    .alias = "tensioner-pin",
    .help = "when the pin of the tensioner is pulled",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
