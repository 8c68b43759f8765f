// SPDX-License-Identifier: Apache-2.0
// May the bolt go in again? The rule and its source: tighten/reuse.h.
#include <fmt/format.h>

#include "quick/heard.h"
#include "quick/quick.h"
#include "tighten/reuse.h"

namespace tautmark::quick {
namespace {

constexpr Input kInputs[] = {
    {.name = "single_use",
     .ask = "What does the maker say: is the bolt used once only?",
     .form = Form::choice,
     .kind = {},
     .need = Need::required,
     .example = "unknown",
     .choices = "yes|no|unknown"},
    {.name = "angle",
     .ask = "Was it tightened by torque and then an angle?",
     .form = Form::choice,
     .kind = {},
     .need = Need::optional,
     .example = "yes",
     .choices = "yes|no|unknown"},
    {.name = "longest",
     .ask = "Up to which free length lets the maker it go in again?",
     .form = Form::quantity,
     .kind = Kind::length,
     .need = Need::optional,
     .example = "60.5 mm",
     .choices = {}},
    {.name = "length",
     .ask = "How long is it, off the engine?",
     .form = Form::reading,
     .kind = Kind::length,
     .need = Need::optional,
     .example = "60.13 ± 0.02 mm",
     .choices = {}},
    {.name = "instrument",
     .ask = "With which instrument?",
     .form = Form::words,
     .kind = {},
     .need = Need::optional,
     .example = "caliper",
     .choices = {}},
};

constexpr double kCoverage = 2;

Said<tighten::UsedBolt> used_bolt(const Heard& heard) {
  tighten::UsedBolt bolt;
  const Said<std::size_t> said = heard.choice("single_use");
  if (!said) return tl::make_unexpected(said.error());
  if (*said < 2) bolt.single_use = *said == 0;
  if (heard.has("longest")) {
    const Said<AnyQuantity> longest = heard.quantity("longest", Kind::length);
    if (!longest) return tl::make_unexpected(longest.error());
    bolt.longest = Length::from_si(longest->si);
  }
  if (heard.has("length")) {
    const Said<Reading> length = heard.reading("length", Kind::length, "instrument");
    if (!length) return tl::make_unexpected(length.error());
    if (!length->u) return tl::make_unexpected(heard.ask_instrument("instrument", Kind::length));
    bolt.length =
        tighten::Measured{Length::from_si(length->value), Length::from_si(*length->u * kCoverage)};
  }
  return bolt;
}

Outcome run(const Typed& typed) {
  const Heard heard(kBolt, typed);
  const Said<tighten::UsedBolt> bolt = used_bolt(heard);
  if (!bolt) return bolt.error();
  bool by_angle = true;  // as long as nobody says no
  if (heard.has("angle")) {
    const Said<std::size_t> said = heard.choice("angle");
    if (!said) return said.error();
    by_angle = *said != 1;
  }
  const tighten::ReuseAnswer reuse = tighten::reuse(*bolt);
  Answer answer;
  if (by_angle && reuse.answer == tighten::Reuse::may_go_in_again && !bolt->longest) {
    answer.lines.emplace_back(
        "Ask the maker's sheet again: a bolt tightened by an angle is used again only inside a "
        "length that the maker gives.");
  } else if (reuse.answer == tighten::Reuse::replace) {
    answer.lines.push_back(fmt::format("No, take a new bolt: {}.", reuse.why));
  } else if (reuse.answer == tighten::Reuse::not_decided) {
    answer.lines.push_back(fmt::format("Not yet: {}.", reuse.why));
  } else {
    answer.lines.push_back(
        fmt::format("By what the maker says it may go in again: {}.", reuse.why));
  }
  answer.lines.emplace_back(
      "How it looks proves nothing: a stretched bolt starts nearer to where it breaks.");
  answer.cautions.emplace_back(
      "A step that was interrupted is not taken up again: new bolt, or the maker's own rule.");
  answer.cautions.emplace_back(
      "Length says little of a short bolt, and it thins in one place: measure the thread and the "
      "shank too where the maker gives a limit.");
  return answer;
}

}  // namespace

constinit const QuickQuestion kBolt = {
    .name = "bolt",
    .alias = "reuse",
    .help = "may a bolt go in again",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
