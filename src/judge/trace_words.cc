// SPDX-License-Identifier: Apache-2.0
#include "judge/trace_words.h"

#include <fmt/format.h>

namespace tautmark {
namespace {

std::string preload_words(std::string_view way, const tighten::TracePreload& load) {
  return fmt::format("clamp load by {}: {:.1f} to {:.1f} kN", way, load.low.si() / 1e3,
                     load.high.si() / 1e3);
}

}  // namespace

std::vector<std::string> trace_sentences(const tighten::TraceResult& r,
                                         const tighten::ExpectedStep& step) {
  std::vector<std::string> words;
  if (r.prevailing) words.push_back(fmt::format("running in takes {:.2f} N·m", r.prevailing->si()));
  if (r.snug) {
    words.push_back(fmt::format("the joint is closed at {:.2f} N·m, {:.0f}° of the record",
                                r.snug->torque.si(), in_deg(r.snug->angle)));
  }
  if (r.gradient) {
    words.push_back(fmt::format("from there it gains {:.3f} ± {:.3f} N·m per degree",
                                r.gradient->si(), r.gradient_expanded.value_or(Torque{}).si()));
  }
  if (r.yield) {
    words.push_back(fmt::format("it yields at {:.1f} N·m, and is turned {:.0f}° beyond",
                                r.yield->torque.si(), in_deg(r.plastic_angle.value_or(Angle{}))));
  }
  words.push_back(fmt::format(
      "it ends at {:.1f} N·m{}", r.end.torque.si(),
      r.clamp_angle ? fmt::format(", {:.0f}° after the parts closed", in_deg(*r.clamp_angle))
                    : std::string()));
  if (r.stick_slip) {
    words.push_back(fmt::format("it sticks and slips by {:.2f} N·m every {:.1f}°",
                                r.stick_slip->height.si(), in_deg(r.stick_slip->period)));
  }
  if (r.by_torque) {
    words.push_back(fmt::format("{}, friction {:.2f} to {:.2f} assumed ({})",
                                preload_words("torque", *r.by_torque), step.friction.low,
                                step.friction.high, step.friction.condition));
  }
  if (r.by_angle && step.slope) {
    words.push_back(fmt::format("{}, from a slope known to ± {:.0f} %",
                                preload_words("angle", *r.by_angle), 100 * step.slope->expanded));
  }
  return words;
}

bool must_come_out(tighten::TraceSign sign) {
  using enum tighten::TraceSign;
  return sign == cross_threaded || sign == stripped || sign == bottomed ||
         sign == torque_not_reached || sign == angle_not_reached || sign == turned_too_far;
}

std::vector<std::string> what_follows(tighten::TraceSign sign, bool take_new) {
  using enum tighten::TraceSign;
  std::vector<std::string> follows = {"take the bolt out and look at both threads"};
  const std::string anew =
      take_new ? "new bolt, from the first step on" : "tighten anew from the first step on";
  if (sign == stripped || sign == cross_threaded)
    follows.emplace_back(
        "nothing is tightened in this thread before it is repaired or found whole");
  if (sign == bottomed)
    follows.emplace_back("measure bolt against depth of the hole; clear oil and chips out of it");
  follows.push_back(sign == turned_too_far ? "new bolt: this one was turned beyond its step"
                                           : anew);
  return follows;
}

}  // namespace tautmark
