// SPDX-License-Identifier: Apache-2.0
// A torque off a sheet, read out on the phone: in every unit, whether it can belong to the bolt,
// the wrench that can set it, and how far friction leaves the clamp load open. Offers no torque.
//
// Models: tighten/plausible.h, tighten/preload.h, tighten/wrench.h.
#include <fmt/format.h>

#include <cmath>

#include "base/text.h"
#include "quick/heard.h"
#include "quick/quick.h"
#include "quick/spoken.h"
#include "tighten/plausible.h"
#include "tighten/preload.h"
#include "tighten/wrench.h"

namespace tautmark::quick {
namespace {

constexpr double kMostTorque = 100e3;  // N·m, as in drive/lint_sizes.cc

constexpr Input kInputs[] = {
    {.name = "torque",
     .ask = "What torque does the sheet say, with its unit?",
     .form = Form::quantity,
     .kind = Kind::torque,
     .need = Need::required,
     .example = "106 lbf·in",
     .choices = {}},
    {.name = "thread",
     .ask = "Which thread is the bolt?",
     .form = Form::words,
     .kind = {},
     .need = Need::required,
     .example = "M6",
     .choices = {}},
    {.name = "class",
     .ask = "Which strength class is on the head?",
     .form = Form::words,
     .kind = {},
     .need = Need::optional,
     .example = "8.8",
     .choices = {}},
    {.name = "angle",
     .ask = "Does an angle follow?",
     .form = Form::choice,
     .kind = {},
     .need = Need::optional,
     .example = "yes",
     .choices = "yes|no"},
    {.name = "condition",
     .ask = "What does the sheet say of the thread: oiled, dry, threadlocker?",
     .form = Form::words,
     .kind = {},
     .need = Need::optional,
     .example = "oiled",
     .choices = {}},
    {.name = "wrench",
     .ask = "From where to where does the wrench in hand go?",
     .form = Form::interval,
     .kind = Kind::torque,
     .need = Need::optional,
     .example = "5..25 N·m",
     .choices = {}},
};

struct Bolt {
  AnyQuantity torque{};
  tighten::ThreadRead thread{};
  std::optional<std::string> strength_class{};
  bool more_follows = false;
};

Said<Bolt> bolt_of(const Heard& heard) {
  Bolt bolt;
  const Said<AnyQuantity> torque = heard.quantity("torque", Kind::torque);
  if (!torque) {
    if (const FromText<double> number = read_number(heard.text("torque"))) {
      return tl::make_unexpected(
          heard.ask("torque", which_torque_unit(heard.text("torque"), *number)));
    }
    return tl::make_unexpected(torque.error());
  }
  if (!(torque->si > 0)) {
    return tl::make_unexpected(heard.ask("torque", "The torque is more than zero."));
  }
  if (torque->si > kMostTorque)
    return tl::make_unexpected(
        heard.ask("torque", "No bolt of an engine takes that much: read the figure again."));
  bolt.torque = *torque;
  const Result<tighten::ThreadRead> thread = tighten::read_thread(heard.text("thread"));
  if (!thread) return tl::make_unexpected(heard.ask("thread", thread.error().why + "."));
  bolt.thread = *thread;
  if (heard.has("class")) {
    bolt.strength_class = std::string(heard.text("class"));
    const Result<tighten::Strength> known =
        tighten::strength(*bolt.strength_class, bolt.thread.possible.front().nominal);
    if (!known) return tl::make_unexpected(heard.ask("class", known.error().why + "."));
  }
  if (heard.has("angle")) {
    const Said<std::size_t> angle = heard.choice("angle");
    if (!angle) return tl::make_unexpected(angle.error());
    bolt.more_follows = *angle == 0;
  }
  return bolt;
}

// True: the figure can be meant.
bool say_plausibility(const Bolt& bolt, Answer& answer) {
  const double figure = from_si(bolt.torque.si, *bolt.torque.unit);
  const Result<tighten::Plausibility> said =
      tighten::plausibility({.torque = Torque::from_si(bolt.torque.si),
                             .thread = bolt.thread,
                             .strength_class = bolt.strength_class,
                             .more_follows = bolt.more_follows},
                            figure);
  if (!said) return false;
  const std::string size = bolt.thread.pitch_written
                               ? bolt.thread.possible.front().shown
                               : split(bolt.thread.possible.front().shown, 'x').front();
  if (said->answer == tighten::Plausible::usual) {
    answer.lines.push_back(
        fmt::format("A torque of that size can belong to {}; the maker's sheet decides.", size));
    return true;
  }
  answer.lines.push_back(fmt::format(
      "Check the sheet: that is {} for {}.",
      said->answer == tighten::Plausible::too_high ? "more than the bolt bears" : "very little",
      size));
  if (!said->fits_in.empty()) {
    answer.lines.push_back(fmt::format("The same figure in {} would be usual: read the unit aloud.",
                                       joined(said->fits_in, " or in ")));
  }
  return false;
}

// Clamp load only where thread, class and friction are all known.
void say_preload(const Bolt& bolt, const Heard& heard, Answer& answer) {
  const tighten::FrictionClass* friction = tighten::friction_of(heard.text("condition"));
  if (!bolt.thread.pitch_written || !bolt.strength_class || friction == nullptr) {
    answer.assumed.emplace_back(
        "no clamp load: it wants pitch, class and whether thread and head are oiled or dry");
    return;
  }
  const tighten::Thread& thread = bolt.thread.possible.front();
  const tighten::Strength strength =
      tighten::strength(*bolt.strength_class, thread.nominal).value();
  const tighten::PreloadRange range =
      tighten::preload_range(Torque::from_si(bolt.torque.si), 0.04, thread,
                             tighten::usual_ring(thread), *friction, strength);
  answer.steps.push_back(fmt::format(
      "clamp load {:.1f} to {:.1f} kN{}, friction {:.2f} to {:.2f} assumed ({}), wrench ± 4 %: "
      "{:.0f} to {:.0f} % of yield",
      range.low.si() / 1e3, range.high.si() / 1e3,
      range.high_not_attainable ? " (the upper end is not attainable: the bolt gives out before)"
                                : "",
      friction->low, friction->high, friction->condition, range.of_yield_low * 100,
      range.of_yield_high * 100));
}

Said<std::string> wrench_said(const Bolt& bolt, const Heard& heard) {
  const FromText<AnyInterval> range = read_interval(heard.text("wrench"), Kind::torque);
  if (!range) return tl::make_unexpected(heard.ask("wrench", range.error()));
  if (!range->upper_si) {
    return tl::make_unexpected(heard.ask("wrench", "A wrench ends somewhere: up to where?"));
  }
  tighten::Wrench wrench{.name = std::string(heard.text("wrench")),
                         .highest = Torque::from_si(*range->upper_si)};
  if (range->lower_si) wrench.lowest = Torque::from_si(*range->lower_si);
  const tighten::WrenchFit fit =
      tighten::choose_wrench(Torque::from_si(bolt.torque.si), {&wrench, 1}).front();
  if (fit.fits) {
    return fmt::format("That wrench can set it{}.", fit.why.empty() ? "" : ", " + fit.why);
  }
  return fmt::format("Not with that wrench: {}.", fit.why);
}

Outcome run(const Typed& typed) {
  const Heard heard(kTorque, typed);
  const Said<Bolt> bolt = bolt_of(heard);
  if (!bolt) return bolt.error();
  Answer answer;
  answer.lines.push_back(
      fmt::format("The sheet says {}.", torque_text(Torque::from_si(bolt->torque.si))));
  const bool can_be_meant = say_plausibility(*bolt, answer);
  if (heard.has("wrench")) {
    const Said<std::string> line = wrench_said(*bolt, heard);
    if (!line) return line.error();
    answer.lines.push_back(can_be_meant ? *line : "No wrench is set before the sheet is checked.");
  }
  say_preload(*bolt, heard, answer);
  if (!heard.has("wrench")) {
    answer.cautions.emplace_back(
        "Ask which wrench is in hand: the value should lie between 20 % and 100 % of its range, "
        "not "
        "below its lowest mark.");
  }
  answer.cautions.push_back(factor_twelve(bolt->torque));
  answer.cautions.emplace_back(
      "The maker's torque belongs to the maker's condition: oil on a thread meant dry stretches "
      "the bolt further.");
  return answer;
}

}  // namespace

constinit const QuickQuestion kTorque = {
    .name = "torque",
    .alias = "tighten",
    .help = "whether a torque on the sheet can be meant for the bolt, and which wrench sets it",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
