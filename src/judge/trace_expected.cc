// SPDX-License-Identifier: Apache-2.0
#include "judge/trace_expected.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "judge/tightening.h"
#include "tighten/plausible.h"
#include "tighten/preload.h"

namespace tautmark {
namespace {

constexpr double kMadToDeviation = 1.4826;
constexpr double kMostOff = 0.95;  // a slope that is less certain is none

std::string pitches(const tighten::ThreadRead& thread) {
  std::vector<std::string> words;
  for (const tighten::Thread& one : thread.possible) words.push_back(one.shown);
  return joined(words, " or ");
}

void read_bolt(const Fastener& fastener, tighten::ExpectedStep& step, TraceExpected& out) {
  if (!fastener.thread) {
    out.missing.emplace_back("thread with its pitch");
    return;
  }
  const auto thread = tighten::read_thread(*fastener.thread);
  if (!thread) {
    out.missing.push_back("thread: " + thread.error().why);
    return;
  }
  if (!thread->pitch_written) {
    out.missing.push_back(
        fmt::format("thread pitch ({}: {}?)", *fastener.thread, pitches(*thread)));
  }
  step.thread = thread->possible.front();
  step.head_mean = tighten::usual_ring(step.thread);
  if (!fastener.strength_class) {
    out.missing.emplace_back("strength class, as it stands on the head");
  } else if (const auto strength =
                 tighten::strength(*fastener.strength_class, step.thread.nominal)) {
    step.strength = *strength;
  } else {
    out.missing.push_back("strength class: " + strength.error().why);
  }
}

void read_friction(const Fastener& fastener, tighten::ExpectedStep& step, TraceExpected& out) {
  const auto* friction = tighten::friction_of(fastener.condition.value_or(""));
  if (friction != nullptr) {
    step.friction = *friction;
  } else if (!fastener.condition) {
    out.missing.emplace_back("condition: thread and head oiled or dry");
  } else {
    out.missing.push_back(
        fmt::format("condition: \"{}\" says nothing about friction", *fastener.condition));
  }
}

// The last torque before the angles, and their sum; without an angle the last torque.
void read_steps(const Fastener& fastener, std::optional<int> number, tighten::ExpectedStep& step,
                TraceExpected& out) {
  const auto count = static_cast<int>(fastener.steps.size());
  if (count == 0) {
    out.missing.emplace_back("the steps of the fastener");
    return;
  }
  if (number.value_or(1) < 1 || number.value_or(1) > count) {
    out.missing.push_back(fmt::format("step {}: there are {}", number.value_or(0), count));
    return;
  }
  const int last = number.value_or(count);
  std::optional<Torque> torque;
  std::optional<Angle> angle;
  for (int i = 0; i < last; ++i) {
    const TighteningStep& one = fastener.steps[static_cast<std::size_t>(i)];
    const bool is_asked = !number || i + 1 == *number;
    if (one.torque) {
      if (angle) {
        out.missing.emplace_back("the step: a torque after an angle is judged step by step");
        return;
      }
      torque = one.torque->value;
    }
    if (one.angle && is_asked) {
      angle = angle ? *angle + one.angle->value : one.angle->value;
    }
  }
  if (!torque) {
    out.missing.emplace_back("the torque before the angle");
  } else if (angle) {
    step.snug = torque;
    step.angle = angle;
  } else {
    step.target = torque;
  }
}

double median(std::vector<double> values) {
  const std::size_t middle = values.size() / 2;
  std::sort(values.begin(), values.end());
  return values.size() % 2 == 1 ? values[middle] : (values[middle - 1] + values[middle]) / 2;
}

}  // namespace

TraceExpected trace_expected(const Fastener& fastener, std::optional<int> number) {
  TraceExpected out;
  tighten::ExpectedStep step;
  read_bolt(fastener, step, out);
  read_friction(fastener, step, out);
  read_steps(fastener, number, step, out);
  if (!out.missing.empty()) return out;
  step.meant_to_yield = step.angle && is_drawn_past_yield(fastener);
  if (step.meant_to_yield && !fastener.to_yield) {
    out.assumed.emplace_back(
        "taken as meant to yield: used once, tightened by angle; the definition does not say so");
  }
  out.assumed.emplace_back("ring under the head as of an ordinary hexagon head");
  out.step = step;
  return out;
}

std::optional<OtherTraces> other_traces(std::span<const Torque> gradients) {
  std::vector<double> values;
  for (const Torque gradient : gradients) {
    if (gradient.si() > 0 && std::isfinite(gradient.si())) values.push_back(gradient.si());
  }
  if (values.size() < kLeastOthers) return std::nullopt;
  const double middle = median(values);
  std::vector<double> off;
  for (const double value : values) off.push_back(std::abs(value / middle - 1));
  return OtherTraces{Torque::from_si(middle), std::max(kLeastSpread, kMadToDeviation * median(off)),
                     values.size()};
}

tighten::ExpectedSlope slope_of(const OtherTraces& others, const tighten::ExpectedStep& step) {
  const auto per_torque = [&](double mu) {
    return 1 / tighten::torque_per_force(step.thread, {mu, mu}, step.head_mean).all().si();
  };
  const double high = per_torque(step.friction.low), low = per_torque(step.friction.high);
  const double half = (high - low) / (high + low);
  return {Force::from_si(others.gradient.si() * (high + low) / 2),
          std::min(kMostOff, 2 * std::hypot(others.spread, half / 2))};
}

std::string differs_from_others(Torque gradient, const OtherTraces& others) {
  const double ratio = gradient.si() / others.gradient.si();
  if (std::abs(ratio - 1) <= 3 * others.spread) return {};
  return fmt::format(
      "it gains {:.2f} N·m per degree, the {} others {:.2f} (± {:.0f} % among them): {} than its "
      "brothers, as a bolt of another kind or length, a re-used one, or one with another friction",
      gradient.si(), others.count, others.gradient.si(), 100 * others.spread,
      ratio > 1 ? "stiffer" : "softer");
}

}  // namespace tautmark
