// SPDX-License-Identifier: Apache-2.0
// When a valve opens and closes, at one stated checking lift, and what a timing card says of it.
//
//   dur_I = IO + 180 + IC   ICL = (180 + IC - IO)/2 after TDC     LSA = (ICL + ECL)/2 cam deg
//   dur_E = EO + 180 + EC   ECL = (180 + EO - EC)/2 before TDC    overlap = IO + EC
//   advance of the camshaft = (ECL - ICL)/2 crank deg ("LSA - ICL" in the trade)
//
// IO before TDC, IC after BDC, EO before BDC, EC after TDC, crank deg at the SAME checking lift;
// negative: on the other side of that dead center. A center line is the middle between opening and
// closing at that lift, not the angle of most lift, unless the lobe is symmetric.
// Angles of the cycle: 360 is the TDC of gas exchange. Source: geometry.md 6.3.
#pragma once

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "clearance/lift.h"

namespace tautmark::clearance {

// Of one valve, of the cycle; opens < closes, which may lie before 0 or beyond 720.
struct OpenSpan {
  CrankAngle opens{};
  CrankAngle closes{};
};

CrankAngle duration(const OpenSpan& span);
CrankAngle center(const OpenSpan& span);
OpenSpan advanced(const OpenSpan& span, CrankAngle early);

// Around the nose of the curve. Refuses a checking lift that is not more than nothing or that the
// valve does not reach, and a valve that never comes below it.
Result<OpenSpan> open_span(const LiftCurve& curve, Length checking_lift);

struct TimingCard {
  CrankAngle intake_opens{};    // before TDC
  CrankAngle intake_closes{};   // after BDC
  CrankAngle exhaust_opens{};   // before BDC
  CrankAngle exhaust_closes{};  // after TDC
};

OpenSpan intake_span(const TimingCard& card);
OpenSpan exhaust_span(const TimingCard& card);
TimingCard timing_card(const OpenSpan& intake, const OpenSpan& exhaust);

struct CardFigures {
  CrankAngle intake_duration{}, exhaust_duration{};
  CrankAngle intake_center{};   // after TDC
  CrankAngle exhaust_center{};  // before TDC
  CamAngle lobe_separation{};
  CrankAngle overlap{};  // negative: none
  CrankAngle advance{};  // positive: both cams early
};

// Refuses a card whose valves are open for nothing or for a whole cycle.
Result<CardFigures> card_figures(const TimingCard& card);

// Measured against nominal events at the same checking lift. Both events early alike: phase. One
// early and the other late by as much: the valve is open longer, which is lash or gauge zero, not
// phase.
struct SpanDeviation {
  CrankAngle opening_early{};
  CrankAngle closing_early{};
  CrankAngle early{};   // the mean of both
  CrankAngle longer{};  // open longer than nominal
};

SpanDeviation deviation(const OpenSpan& nominal, const OpenSpan& measured);

}  // namespace tautmark::clearance
