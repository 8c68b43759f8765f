// SPDX-License-Identifier: Apache-2.0
#include "oil/tensioner_fault.h"

#include <algorithm>
#include <array>

namespace tautmark::oil {
namespace {

constexpr std::array kSignatures = {
    FaultSignature{TensionerFault::worn_plunger, FaultyPart::plunger_clearance, StaticLoss::none,
                   DampingLoss::cube_of_clearance, Sign::yes, Sign::no, Sign::either, Sign::no,
                   Sign::yes, "rattles hot, is fine cold; short leak-down on the bench"},
    FaultSignature{TensionerFault::check_ball, FaultyPart::check_valve, StaticLoss::none,
                   DampingLoss::collapses, Sign::either, Sign::either, Sign::either, Sign::no,
                   Sign::yes, "soft at once, hot and cold, often comes and goes"},
    FaultSignature{TensionerFault::torn_seal, FaultyPart::feed, StaticLoss::part_of_oil,
                   DampingLoss::once_out_of_oil, Sign::either, Sign::either, Sign::yes,
                   Sign::either, Sign::no,
                   "rattles after standing, at a start and when the load turns round; oil jets out "
                   "at the flange inside the cover"},
    FaultSignature{TensionerFault::lost_feed, FaultyPart::feed, StaticLoss::all_of_oil,
                   DampingLoss::not_refilled, Sign::yes, Sign::either, Sign::either, Sign::yes,
                   Sign::no, "gets worse over seconds to minutes, then never recovers"},
    FaultSignature{TensionerFault::low_pressure, FaultyPart::feed, StaticLoss::part_of_oil,
                   DampingLoss::slow_refill, Sign::yes, Sign::no, Sign::either, Sign::no, Sign::no,
                   "hot idle only"},
    FaultSignature{TensionerFault::ratchet, FaultyPart::ratchet, StaticLoss::none,
                   DampingLoss::none, Sign::no, Sign::no, Sign::yes, Sign::no, Sign::no,
                   "rattles at a cold start; the chain may jump where the engine is rocked "
                   "backwards"},
};

bool fits(Sign sign, const std::optional<bool>& seen) {
  return !seen || sign == Sign::either || (sign == Sign::yes) == *seen;
}

}  // namespace

std::span<const FaultSignature> fault_signatures() { return kSignatures; }

const FaultSignature& signature(TensionerFault fault) {
  return *std::find_if(kSignatures.begin(), kSignatures.end(),
                       [&](const FaultSignature& one) { return one.fault == fault; });
}

std::vector<TensionerFault> faults_that_fit(const TensionerSigns& seen) {
  std::vector<TensionerFault> out;
  for (const FaultSignature& one : kSignatures)
    if (fits(one.rattles_hot_idle, seen.rattles_hot_idle) &&
        fits(one.rattles_cold, seen.rattles_cold) &&
        fits(one.rattles_after_standing, seen.rattles_after_standing) &&
        fits(one.gets_worse_running, seen.gets_worse_running) &&
        fits(one.bench_leak_down_short, seen.bench_leak_down_short))
      out.push_back(one.fault);
  return out;
}

}  // namespace tautmark::oil
