// SPDX-License-Identifier: Apache-2.0
#include "clearance/events.h"

#include <fmt/format.h>

#include <cmath>
#include <optional>

namespace tautmark::clearance {
namespace {

constexpr CrankAngle kCycle = crank_deg(720);
constexpr CrankAngle kWalk = crank_deg(0.5);

// Where the lift first comes down to `level`, going from the nose in steps of `walk`.
std::optional<CrankAngle> crossing(const LiftCurve& curve, Length level, CrankAngle walk) {
  CrankAngle open = curve.nose, shut = curve.nose + walk;
  while (lift(curve, shut) >= level) {
    open = shut;
    shut = shut + walk;
    if (std::abs((shut - curve.nose).si()) > kCycle.si()) return std::nullopt;
  }
  // Halved until a double can no longer tell the two apart.
  for (CrankAngle middle = (open + shut) / 2; middle != open && middle != shut;
       middle = (open + shut) / 2)
    (lift(curve, middle) >= level ? open : shut) = middle;
  return open;
}

CrankAngle folded(CrankAngle difference) {
  return CrankAngle::from_si(std::remainder(difference.si(), kCycle.si()));
}

}  // namespace

CrankAngle duration(const OpenSpan& span) { return span.closes - span.opens; }
CrankAngle center(const OpenSpan& span) { return (span.opens + span.closes) / 2; }

OpenSpan advanced(const OpenSpan& span, CrankAngle early) {
  return {.opens = span.opens - early, .closes = span.closes - early};
}

Result<OpenSpan> open_span(const LiftCurve& curve, Length checking_lift) {
  if (!(checking_lift.si() > 0))
    return refuse("opening and closing need a checking lift of more than nothing");
  if (!(checking_lift < curve.highest))
    return refuse(
        fmt::format("the valve does not reach a checking lift of {:.4g} mm (it opens "
                    "{:.4g} mm)",
                    in_mm(checking_lift), in_mm(curve.highest)));
  const auto opens = crossing(curve, checking_lift, -kWalk);
  const auto closes = crossing(curve, checking_lift, kWalk);
  if (!opens || !closes || !(*closes - *opens < kCycle))
    return refuse("the valve never comes below the checking lift");
  return OpenSpan{.opens = *opens, .closes = *closes};
}

OpenSpan intake_span(const TimingCard& card) {
  return {.opens = crank_deg(360) - card.intake_opens,
          .closes = crank_deg(540) + card.intake_closes};
}

OpenSpan exhaust_span(const TimingCard& card) {
  return {.opens = crank_deg(180) - card.exhaust_opens,
          .closes = crank_deg(360) + card.exhaust_closes};
}

TimingCard timing_card(const OpenSpan& intake, const OpenSpan& exhaust) {
  return {.intake_opens = folded(crank_deg(360) - intake.opens),
          .intake_closes = folded(intake.closes - crank_deg(540)),
          .exhaust_opens = folded(crank_deg(180) - exhaust.opens),
          .exhaust_closes = folded(exhaust.closes - crank_deg(360))};
}

Result<CardFigures> card_figures(const TimingCard& card) {
  const OpenSpan in = intake_span(card), ex = exhaust_span(card);
  const OpenSpan spans[] = {in, ex};
  for (const OpenSpan& span : spans)
    if (!(duration(span).si() > 0 && duration(span) < kCycle))
      return refuse(
          fmt::format("by this card the {} valve is open for {:.4g}° crank: look at the four "
                      "angles and their sides again",
                      &span == spans ? "intake" : "exhaust", in_crank_deg(duration(span))));
  CardFigures out{.intake_duration = duration(in),
                  .exhaust_duration = duration(ex),
                  .intake_center = center(in) - crank_deg(360),
                  .exhaust_center = crank_deg(360) - center(ex),
                  .overlap = card.intake_opens + card.exhaust_closes};
  out.lobe_separation = to_cam(out.intake_center + out.exhaust_center);
  out.advance = (out.exhaust_center - out.intake_center) / 2;
  return out;
}

SpanDeviation deviation(const OpenSpan& nominal, const OpenSpan& measured) {
  const CrankAngle opening = folded(nominal.opens - measured.opens);
  const CrankAngle closing = folded(nominal.closes - measured.closes);
  return {.opening_early = opening,
          .closing_early = closing,
          .early = (opening + closing) / 2,
          .longer = opening - closing};
}

}  // namespace tautmark::clearance
