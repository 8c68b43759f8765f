// SPDX-License-Identifier: Apache-2.0
// Torque-angle traces as text, and what the analysis makes of those that are read.
#include <cmath>
#include <cstdint>

#include "fuzz_check.h"
#include "tighten/trace_analysis.h"
#include "tighten/trace_read.h"

using namespace tautmark;
using namespace tautmark::tighten;

namespace {

ExpectedStep step_for(bool of_angle) {
  const Thread thread = read_thread("M10x1.5")->possible.at(0);
  ExpectedStep step{.thread = thread,
                    .strength = strength("10.9", thread.nominal).value(),
                    .friction = friction_classes()[1],
                    .head_mean = mm(13.5),
                    .slope = ExpectedSlope{Force::from_si(666), 0.1}};
  if (of_angle) {
    step.snug = newton_metre(30);
    step.angle = deg(90);
    step.meant_to_yield = true;
  } else {
    step.target = newton_metre(50);
  }
  return step;
}

void check(const TraceResult& result) {
  for (const TraceSpot& spot : result.curve) {
    fuzz::require(std::isfinite(spot.angle.si()) && std::isfinite(spot.torque.si()),
                  "a curve that is no number");
  }
  if (result.by_angle) fuzz::require(std::isfinite(result.by_angle->low.si()), "no clamp load");
  fuzz::require((result.answer == TraceAnswer::signs_found) == !result.findings.empty(),
                "an answer other than its findings");
  if (result.answer == TraceAnswer::nothing_found) {
    fuzz::require(result.open.empty() && result.gradient && result.prevailing && result.by_angle,
                  "nothing found, and nothing to judge by");
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto trace = read_trace("input", {reinterpret_cast<const char*>(data), size});
  if (!trace) {
    fuzz::check_rejection(trace.error());
    return 0;
  }
  fuzz::require(!trace->points.empty(), "read without points");
  fuzz::require(trace->times.empty() || trace->times.size() == trace->points.size(), "times");
  for (const TracePoint& p : trace->points) {
    fuzz::require(std::isfinite(p.angle.si()) && std::isfinite(p.torque.si()), "no number");
  }
  for (const std::string& note : trace->notes) {
    fuzz::require(!first_invalid_utf8(note), "a note that is no text", note);
  }
  for (const bool of_angle : {false, true}) {
    if (const auto result = analyse_trace(*trace, step_for(of_angle))) check(*result);
  }
  return 0;
}
