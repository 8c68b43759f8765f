// SPDX-License-Identifier: Apache-2.0
#include "oil/phaser_hunt.h"

#include <cmath>

#include "oil/estimated.h"

namespace tautmark::oil {
namespace {

// Common practice, oil.md 5.5.
constexpr double kSlowFrom = 0.3, kSlowTo = 2;  // Hz
constexpr double kGainFrom = 2, kGainTo = 6;    // Hz
constexpr CamAngle kToothLeast = cam_deg(0.5), kToothMost = cam_deg(3);
// Own judgement: what counts as with the events, and as growing.
constexpr double kWithEvents = 0.05;
constexpr double kGrows = 1.1;
constexpr double kSamplesOfACycle = 2.5;

}  // namespace

Result<SawTooth> saw_tooth(const SawToothInputs& in) {
  const double drift = std::abs(in.drift.si()), back = in.correction.si();
  if (!is_positive(in.band.si())) return refuse("without a dead band there is no saw-tooth");
  if (!is_positive(drift)) return refuse("without drift there is nothing to correct");
  if (!is_positive(back))
    return refuse("the phaser cannot be brought back: it runs to its stop instead of hunting");
  if (!is_not_negative(in.dead.si())) return refuse("a dead time is not below 0");
  const double height = in.band.si() + (drift + back) * in.dead.si();
  return SawTooth{CamAngle::from_si(height), Time::from_si(height / drift + height / back)};
}

Result<HoldMotionAnswer> hold_motion(const HoldMotion& seen) {
  if (!is_positive(seen.at.si()) || !is_positive(seen.events.si()) ||
      !is_positive(seen.samples.si()) || !is_positive(seen.height.si()) ||
      !is_positive(seen.growth))
    return refuse(
        "a motion needs its frequency, height and growth, and those of events and "
        "samples, above 0");
  const double f = seen.at.si(), events = seen.events.si();
  HoldMotionAnswer out;
  out.events_seen = seen.samples.si() >= kSamplesOfACycle * events;
  const bool with_events = std::abs(f - events) <= kWithEvents * events;
  if (with_events) {
    if (out.events_seen && seen.growth < kGrows) out.kind = HoldMotionKind::fast_swing;
    return out;
  }
  if (!out.events_seen) return out;
  if (seen.growth >= kGrows) {
    if (f >= kGainFrom && f <= kGainTo) out.kind = HoldMotionKind::growing_sinusoid;
    return out;
  }
  if (f >= kSlowFrom && f <= kSlowTo && seen.height >= kToothLeast && seen.height <= kToothMost)
    out.kind = HoldMotionKind::slow_saw_tooth;
  return out;
}

std::string_view meaning(HoldMotionKind kind) {
  switch (kind) {
    case HoldMotionKind::fast_swing:
      return "swings with the valve events: little holds it against them, so leak or air in the "
             "oil";
    case HoldMotionKind::slow_saw_tooth:
      return "slow saw-tooth: it leaks off and is pumped back across a dead band";
    case HoldMotionKind::growing_sinusoid:
      return "swings ever wider: the control is too sharp for its dead time";
    case HoldMotionKind::unclear:
      break;
  }
  return "cannot tell: record longer, at constant speed, with more readings in a second";
}

}  // namespace tautmark::oil
