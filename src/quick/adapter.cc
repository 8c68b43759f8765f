// SPDX-License-Identifier: Apache-2.0
// What to set on a wrench with a crow-foot or other adapter on its square.
// The formula and its validity: tighten/adapter.h.
#include "tighten/adapter.h"

#include <fmt/format.h>

#include "base/text.h"
#include "quick/heard.h"
#include "quick/quick.h"
#include "quick/spoken.h"

namespace tautmark::quick {
namespace {

constexpr Input kInputs[] = {
    {.name = "wanted",
     .ask = "What torque is wanted at the bolt, with its unit?",
     .form = Form::quantity,
     .kind = Kind::torque,
     .need = Need::required,
     .example = "28 N·m",
     .choices = {}},
    {.name = "wrench",
     .ask = "How long is the wrench from the middle of the drive square to the middle of the grip?",
     .form = Form::quantity,
     .kind = Kind::length,
     .need = Need::required,
     .example = "350 mm",
     .choices = {}},
    {.name = "adapter",
     .ask =
         "How long is the adapter from the middle of the drive square to the middle of the bolt?",
     .form = Form::quantity,
     .kind = Kind::length,
     .need = Need::required,
     .example = "40 mm",
     .choices = {}},
    {.name = "angle",
     .ask = "How does the adapter stand to the wrench: straight on, square to it (90 deg), folded "
            "back, or at which angle?",
     .form = Form::words,
     .kind = Kind::angle,
     .need = Need::required,
     .example = "straight",
     .choices = {}},
};

constexpr double kFoldedBack = 180;
constexpr double kSquare = 90;

Said<double> adapter_angle(const Heard& heard) {
  const std::string said = folded(heard.text("angle"));
  for (const std::string_view word : {"straight", "straight on", "in line", "inline"}) {
    if (said == word) return 0.0;
  }
  for (const std::string_view word : {"square", "sideways", "right angle"}) {
    if (said == word) return kSquare;
  }
  for (const std::string_view word : {"folded back", "folded", "back"}) {
    if (said == word) return kFoldedBack;
  }
  const Said<AnyQuantity> angle = heard.quantity("angle", Kind::angle);
  if (!angle) return tl::make_unexpected(angle.error());
  const double typed = in_deg(Angle::from_si(angle->si));
  if (!(typed >= 0) || !(typed <= kFoldedBack)) {
    return tl::make_unexpected(
        heard.ask("angle",
                  "The angle between adapter and handle line is from 0 deg (straight on) to "
                  "180 deg (folded back)."));
  }
  return typed;
}

Said<Length> positive_length(const Heard& heard, std::string_view input) {
  const Said<AnyQuantity> length = heard.quantity(input, Kind::length);
  if (!length) return tl::make_unexpected(length.error());
  if (!(length->si > 0)) {
    return tl::make_unexpected(
        heard.ask(input, fmt::format("{} is no length of a tool.", heard.text(input))));
  }
  return Length::from_si(length->si);
}

Outcome run(const Typed& typed) {
  const Heard heard(kAdapter, typed);
  const Said<AnyQuantity> wanted = heard.quantity("wanted", Kind::torque);
  if (!wanted) return wanted.error();
  if (!(wanted->si > 0)) return heard.ask("wanted", "The wanted torque is more than zero.");
  const Said<Length> wrench = positive_length(heard, "wrench");
  if (!wrench) return wrench.error();
  const Said<Length> adapter = positive_length(heard, "adapter");
  if (!adapter) return adapter.error();
  const Said<double> angle = adapter_angle(heard);
  if (!angle) return angle.error();

  const Result<double> factor =
      tighten::adapter_factor({.wrench = *wrench, .adapter = *adapter, .angle = deg(*angle)});
  if (!factor) {
    return heard.ask(
        "adapter", "Folded back, this adapter reaches as far as the grip: no torque arm is left.");
  }
  const double along = (*wrench / *factor - *wrench) / *adapter;
  const Torque set = Torque::from_si(wanted->si * *factor);

  Answer answer;
  const std::string bolt = torque_text(Torque::from_si(wanted->si));
  if (*factor == 1) {
    answer.lines.push_back(fmt::format("Set {}: no correction with the adapter at 90°.", bolt));
  } else {
    answer.lines.push_back(fmt::format("Set the wrench to {}.", torque_text(set)));
    answer.lines.push_back(fmt::format("The bolt then gets {}.", bolt));
  }
  answer.steps.push_back(fmt::format(
      "set = wanted × L / (L + E cos ψ) = {} × {} / ({} + {} × {}) = {} × {}", heard.text("wanted"),
      heard.text("wrench"), heard.text("wrench"), heard.text("adapter"), number_text(along, 4),
      heard.text("wanted"), number_text(*factor, 4)));
  answer.assumed.push_back(
      fmt::format("adapter at {}° to the handle line (0° is straight on)", number_text(*angle, 0)));
  answer.assumed.emplace_back("hand in the middle of the grip, pulling square to the wrench");
  answer.cautions.emplace_back(
      "Where the maker gives a setting for this tool, or forbids an adapter, the maker's word "
      "counts.");
  answer.cautions.emplace_back(
      "An angle step over an adapter is not corrected by this: the adapter winds up, so the bolt "
      "turns less than the dial shows.");
  answer.cautions.emplace_back(
      "A plain extension on the socket axis changes nothing: this is for adapters that move the "
      "bolt away from the drive square.");
  answer.cautions.emplace_back(
      "The setting must lie inside the wrench's range: from 20 % of its maximum, and not below its "
      "lowest mark.");
  answer.cautions.emplace_back(
      "Inches and feet differ by a factor of 12: read the unit on the wrench aloud.");
  return answer;
}

}  // namespace

constinit const QuickQuestion kAdapter = {
    .name = "adapter",
    .alias = "crow-foot",
    .help = "what to set on a torque wrench with an adapter",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
