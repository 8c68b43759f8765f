// SPDX-License-Identifier: Apache-2.0
#include "judge/tightening.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "base/unit.h"
#include "drive/lint_report.h"
#include "drive/places.h"
#include "tighten/joint.h"
#include "tighten/plausible.h"
#include "tighten/preload.h"
#include "tighten/sequence.h"

namespace tautmark {
namespace {

constexpr std::string_view kTorqueUnits[] = {"N·m", "lbf·ft", "lbf·in"};
constexpr double kWrenchDeviation = 0.04;
constexpr double kMostStrain = 0.9;

int three_digits(double number) { return number >= 100 ? 0 : number >= 10 ? 1 : 2; }

struct StepAsk {
  std::size_t step = 0;
  std::string words{};
  bool is_of_torque = true;  // it cannot be meant
};

std::string wrench_words(Torque torque, std::span<const tighten::Wrench> wrenches, StepCard& card) {
  const std::vector<tighten::WrenchFit> fits = tighten::choose_wrench(torque, wrenches);
  for (const tighten::WrenchFit& fit : fits) {
    if (!fit.fits) card.no_wrench.push_back(wrenches[fit.index].name + ": " + fit.why);
  }
  if (fits.empty()) return {};
  if (!fits.front().fits) return "no wrench of the list fits: borrow or buy one that does";
  const tighten::Wrench& best = wrenches[fits.front().index];
  return fmt::format("take {}{}", best.name,
                     fits.front().why.empty() ? "" : " (" + fits.front().why + ")");
}

std::vector<StepAsk> step_asks(const Fastener& fastener, const tighten::ThreadRead& thread) {
  std::vector<StepAsk> asks;
  for (std::size_t i = 0; i < fastener.steps.size(); ++i) {
    const TighteningStep& step = fastener.steps[i];
    if (!step.torque) continue;
    const Unit* typed = unit_written(step.torque->text, Kind::torque);
    // Of a first pass or a snug torque only too much can be said.
    const bool more_follows = step.angle.has_value() || i + 1 < fastener.steps.size();
    const Result<tighten::Plausibility> said = tighten::plausibility(
        {.torque = step.torque->value,
         .thread = thread,
         .strength_class = fastener.strength_class,
         .more_follows = more_follows},
        from_si(step.torque->value.si(), typed != nullptr ? *typed : default_unit(Kind::torque)));
    if (!said) {
      asks.push_back({i, "strength class: " + said.error().why, false});
      return asks;
    }
    if (said->answer == tighten::Plausible::usual) continue;
    std::string ask = fmt::format(
        "check the sheet: {} is {} for {}", step.torque->text,
        said->answer == tighten::Plausible::too_high ? "more than the bolt bears" : "very little",
        fastener.thread.value_or(""));
    if (!said->fits_in.empty()) {
      ask += fmt::format("; the same figure in {} would be usual", joined(said->fits_in, " or "));
    }
    asks.push_back({i, std::move(ask)});
  }
  return asks;
}

// The last torque before an angle, and all angles after it.
struct LastTorque {
  const TighteningStep* step = nullptr;
  Angle after{};
};
LastTorque last_torque(const Fastener& fastener) {
  LastTorque last;
  for (const TighteningStep& one : fastener.steps) {
    if (one.torque && last.after == Angle{}) last.step = &one;
    if (one.angle) last.after = last.after + one.angle->value;
  }
  return last;
}

Pressure modulus_of(ClampedOf material) {
  switch (material) {
    case ClampedOf::steel:
      return Pressure::from_si(205e9);  // fasteners.md 4.2
    case ClampedOf::cast_iron:
      return Pressure::from_si(110e9);  // from memory: gray iron, 100 to 125
    case ClampedOf::aluminium:
      return Pressure::from_si(70e9);  // fasteners.md 4.2
  }
  return {};
}

// Where the angle ends on the bolt's elastic-plastic line, over the whole class of friction; empty
// where the definition does not know the joint.
std::string after_angle(const Fastener& fastener, const tighten::ThreadRead& read) {
  const LastTorque last = last_torque(fastener);
  const tighten::FrictionClass* friction = tighten::friction_of(fastener.condition.value_or(""));
  if (last.step == nullptr || last.after == Angle{} || friction == nullptr || !read.pitch_written ||
      !fastener.strength_class || !fastener.clamped_length || !fastener.free_thread ||
      !fastener.clamped_width || !fastener.clamps || !fastener.into)
    return {};
  const tighten::Thread& thread = read.possible.front();
  const auto strength = tighten::strength(*fastener.strength_class, thread.nominal);
  const auto face = tighten::hexagon_face(thread);
  if (!strength || !face) return {};
  tighten::Joint joint{.thread = thread,
                       .strength = *strength,
                       .face = *face,
                       .free_thread = fastener.free_thread->value,
                       .clamped = fastener.clamped_length->value,
                       .sleeve_outer = fastener.clamped_width->value,
                       .clamped_modulus = modulus_of(*fastener.clamps),
                       .counterpart_modulus = modulus_of(*fastener.into)};
  const Length shank = joint.clamped - joint.free_thread;
  if (shank > Length{}) joint.shank = {{shank, thread.nominal}};
  std::vector<tighten::Tightened> ends;
  for (const double mu : {friction->high, friction->low}) {
    joint.friction = {mu, mu};
    const auto end = tighten::tightened(joint, {last.step->torque->value, last.after});
    if (!end) return "where the angle ends is not computed: " + end.error().why;
    ends.push_back(*end);
  }
  const tighten::Tightened& high = ends[0];
  const tighten::Tightened& low = ends[1];
  std::string words = fmt::format(
      "after {:.0f} deg more: {:.1f} to {:.1f} kN computed, friction {:.2f} to {:.2f} and the "
      "stiffness of the joint assumed; approves nothing",
      in_deg(last.after), std::min(high.preload, low.preload).si() / 1e3,
      std::max(high.preload, low.preload).si() / 1e3, friction->low, friction->high);
  if (!high.yields && !low.yields) return words + "; below yield";
  words += fmt::format(
      "; drawn past yield{}, up to {:.2f} mm longer, up to {:.0f} % of the way to necking",
      high.yields && low.yields ? "" : " at one end of the friction",
      std::max(in_mm(high.plastic), in_mm(low.plastic)),
      std::max(high.of_strain, low.of_strain) * 100);
  return words;
}

// The clamp load of the last torque before an angle, or why none is shown.
std::string clamp_load(const Fastener& fastener, const tighten::ThreadRead& thread) {
  const LastTorque last = last_torque(fastener);
  if (last.step == nullptr) return {};
  if (!thread.pitch_written) return "no clamp load shown: the pitch is not in the definition";
  if (!fastener.strength_class) return "no clamp load shown: the class is not in the definition";
  const tighten::FrictionClass* friction = tighten::friction_of(fastener.condition.value_or(""));
  if (friction == nullptr) {
    return "no clamp load shown: whether thread and head are oiled or dry is not known";
  }
  const tighten::Thread& one = thread.possible.front();
  const Result<tighten::Strength> strength =
      tighten::strength(*fastener.strength_class, one.nominal);
  if (!strength) return "no clamp load shown: " + strength.error().why;
  const tighten::PreloadRange range =
      tighten::preload_range(last.step->torque->value, kWrenchDeviation, one,
                             tighten::usual_ring(one), *friction, *strength);
  return fmt::format(
      "{} leaves {:.1f} to {:.1f} kN of clamp load, friction {:.2f} to {:.2f} assumed ({}): {:.0f} "
      "to {:.0f} % of yield{}",
      last.step->torque->text, range.low.si() / 1e3, range.high.si() / 1e3, friction->low,
      friction->high, friction->condition, range.of_yield_low * 100, range.of_yield_high * 100,
      range.of_yield_high > kMostStrain ? "; CAUTION: near or beyond yield at low friction" : "");
}

std::string order_words(const Fastener& fastener) {
  const std::vector<int> order = bolt_order(fastener);
  if (order.empty()) return {};
  std::vector<std::string> words;
  for (const int bolt : order) words.push_back(std::to_string(bolt));
  const std::string numbers = joined(words, ", ");
  if (!fastener.order.empty()) return "maker's order: " + numbers;
  return fmt::format(
      "drawn from the pattern ({}), common practice; the engine maker's order comes first: {}",
      *fastener.pattern == BoltPattern::circle
          ? "numbered round the circle"
          : "numbered along one row, then along the other in the same direction",
      numbers);
}

}  // namespace

std::vector<int> bolt_order(const Fastener& fastener) {
  if (!fastener.order.empty()) return fastener.order;
  const int count = fastener.count.value_or(0);
  if (!fastener.pattern || count < 2) return {};
  const bool circle = *fastener.pattern == BoltPattern::circle;
  if (!circle && count % 2 != 0) return {};
  const Result<std::vector<int>> order =
      circle ? tighten::circle_order(count) : tighten::two_row_order(count / 2);
  if (!order) return {};
  std::vector<int> from_one;
  for (const int bolt : *order) from_one.push_back(bolt + 1);
  return from_one;
}

Diagnostics fastener_lint(const LoadedDrive& loaded) {
  LintReport report(loaded);
  for (std::size_t i = 0; i < loaded.drive.fasteners.size(); ++i) {
    const Fastener& fastener = loaded.drive.fasteners[i];
    const auto thread = tighten::read_thread(fastener.thread.value_or(""));
    if (!thread) {
      if (fastener.thread) {
        report.warning(fmt::format("fasteners[{}].thread", i),
                       fastener.name + ": " + thread.error().why);
      }
      continue;
    }
    for (const StepAsk& ask : step_asks(fastener, *thread)) {
      report.warning(fmt::format("fasteners[{}].steps[{}]", i, ask.step),
                     fmt::format("{}: {}", fastener.name, ask.words));
    }
  }
  return report.take();
}

bool is_drawn_past_yield(const Fastener& fastener) {
  const bool by_angle =
      std::any_of(fastener.steps.begin(), fastener.steps.end(),
                  [](const TighteningStep& one) { return one.angle.has_value(); });
  return fastener.to_yield.value_or(by_angle && fastener.single_use.value_or(true));
}

std::vector<bool> torques_to_check(const Fastener& fastener) {
  std::vector<bool> to_check(fastener.steps.size(), false);
  if (const auto thread = tighten::read_thread(fastener.thread.value_or("")))
    for (const StepAsk& ask : step_asks(fastener, *thread))
      if (ask.is_of_torque) to_check[ask.step] = true;
  return to_check;
}

std::vector<bool> torques_to_check(const Drive& drive, const Tightens& tightens,
                                   std::optional<int> bank) {
  constexpr double kSame = 0.01;  // as the lint of procedures allows
  const Fastener* fastener = fastener_named(drive, tightens.fastener, bank);
  std::vector<bool> to_check;
  const std::vector<bool> own = fastener ? torques_to_check(*fastener) : std::vector<bool>{};
  for (const TighteningStep& step : tightens.steps) {
    bool is_sound = !step.torque;
    for (std::size_t i = 0; i < own.size() && !is_sound; ++i) {
      const auto& torque = fastener->steps[i].torque;
      is_sound = torque && !own[i] && std::abs(step.torque->value / torque->value - 1) <= kSame;
    }
    to_check.push_back(!is_sound);
  }
  return to_check;
}

std::string torque_spelled(const Written<Torque>& torque) {
  const Unit* typed = unit_written(torque.text, Kind::torque);
  std::vector<std::string> others;
  for (const std::string_view symbol : kTorqueUnits) {
    for (const Unit* unit : units_spelled(symbol)) {
      if (unit == typed || unit->kind != Kind::torque) continue;
      others.push_back(cut_quantity_text(torque.value.si(), *unit,
                                         three_digits(from_si(torque.value.si(), *unit))));
    }
  }
  return fmt::format("{} ({})", torque.text, joined(others, ", "));
}

std::vector<tighten::Wrench> torque_wrenches(std::span<const Instrument> instruments) {
  std::vector<tighten::Wrench> wrenches;
  for (const Instrument& instrument : instruments) {
    if (!instrument.range || instrument.range->value.kind != Kind::torque) continue;
    if (!instrument.range->value.upper_si) continue;
    tighten::Wrench wrench{.name = instrument.name,
                           .highest = Torque::from_si(*instrument.range->value.upper_si)};
    if (instrument.range->value.lower_si) {
      wrench.lowest = Torque::from_si(*instrument.range->value.lower_si);
    }
    wrenches.push_back(std::move(wrench));
  }
  return wrenches;
}

FastenerCard fastener_card(const Fastener& fastener, std::span<const tighten::Wrench> wrenches) {
  FastenerCard card{.fastener = &fastener};
  const std::vector<bool> to_check = torques_to_check(fastener);
  for (std::size_t i = 0; i < fastener.steps.size(); ++i) {
    const TighteningStep& step = fastener.steps[i];
    StepCard one{.to_check = to_check[i]};
    std::vector<std::string> parts;
    if (step.torque && one.to_check) {
      parts.push_back(step.torque->text);
    } else if (step.torque) {
      one.torque = step.torque->value;
      parts.push_back(torque_spelled(*step.torque));
      one.wrench = wrench_words(step.torque->value, wrenches, one);
    }
    if (step.angle) {
      one.angle = step.angle->value;
      parts.push_back(fmt::format("then {} further, seen from the wrench", step.angle->text));
    }
    one.target = joined(parts, ", ");
    card.steps.push_back(std::move(one));
  }
  if (fastener.steps.empty()) {
    card.asks.emplace_back("no steps in the definition: follow the engine maker");
  }
  const bool has_limit = fastener.longest || fastener.thinnest;
  const bool is_drawn = is_drawn_past_yield(fastener) && !has_limit;
  card.take_new = fastener.single_use.value_or(true) || is_drawn;
  card.use = !fastener.single_use   ? "single use not said: treated as used once, fit new"
             : *fastener.single_use ? "used once: fit new"
             : is_drawn             ? "drawn past yield, no length to go in again given: fit new"
             : has_limit            ? "may be used again within the maker's limits"
                                    : "may be used again; no limit is in the definition";
  card.order = order_words(fastener);
  if (!fastener.condition) {
    card.asks.emplace_back("ask whether thread and head are oiled or dry: not in the definition");
  }
  if (!fastener.thread) {
    card.asks.emplace_back("thread not in the definition: a unit mixed up cannot be caught");
  } else if (const auto thread = tighten::read_thread(*fastener.thread); !thread) {
    card.asks.push_back("thread: " + thread.error().why);
  } else {
    for (StepAsk& ask : step_asks(fastener, *thread)) card.asks.push_back(std::move(ask.words));
    card.clamp_load = clamp_load(fastener, *thread);
    if (std::string words = after_angle(fastener, *thread); !words.empty())
      card.cautions.push_back(std::move(words));
  }
  const bool has_angle = std::any_of(fastener.steps.begin(), fastener.steps.end(),
                                     [](const TighteningStep& s) { return s.angle.has_value(); });
  if (has_angle) {
    card.cautions.push_back(
        "an angle lost in the middle: " +
        (card.take_new
             ? std::string("new bolt, from the first step on")
             : fastener.restart.value_or("the maker's rule; where there is none, new bolt")));
    card.cautions.emplace_back("no angle over an adapter: it winds up; never with an impact tool");
  }
  if (fastener.note) card.cautions.push_back(*fastener.note);
  return card;
}

std::vector<FastenerCard> fastener_cards(const Drive& drive,
                                         std::span<const tighten::Wrench> wrenches) {
  std::vector<FastenerCard> cards;
  for (const Fastener& fastener : drive.fasteners) {
    cards.push_back(fastener_card(fastener, wrenches));
  }
  return cards;
}

}  // namespace tautmark
