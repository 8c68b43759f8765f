// SPDX-License-Identifier: Apache-2.0
// From a value with its uncertainty and a limit with its origin to a finding. The one place where
// pass, fail and open are decided; every check comes here.
//
//   pass   proven inside at the level asked, by a limit whose origin can carry it
//   fail   proven outside
//   open   everything else, with the reason and what would decide
//
// A limit that does not say whether it means the mean or the worst direction passes only if both
// pass and fails only if both fail.
#pragma once

#include <optional>
#include <string>

#include "base/finding.h"
#include "judge/check.h"
#include "judge/dimension.h"
#include "measure/decision.h"

namespace tautmark {

inline constexpr double kLevel = 0.95;

struct LimitInUse {
  std::optional<double> lower, upper;  // SI
  Kind kind{};
  const Unit* unit = nullptr;
  int decimals = 3;
  std::optional<AppliesTo> applies_to;
  Origin origin = Origin::unknown;
  std::string source;
  std::string checked_by;
  std::string shown;
  bool is_new_range = false;  // only the range of new parts is known
  // Where new parts lie: nothing wears back beyond it.
  std::optional<double> new_lower, new_upper;
  std::string conflict;  // a second limit for the same thing that says otherwise
};

// The limit for a measurand at a place: the drive's (service before new), else the reading's own.
std::optional<LimitInUse> limit_for(const CheckInput& input, Measurand quantity,
                                    const EnginePlace& place);
LimitInUse limit_from(const WrittenAnyRange& range, const std::optional<SourceRef>& source,
                      const LoadedDrive* drive);

struct ValueInUse {
  Estimate estimate;
  double repeat_sd = 0;
  int n = 1;
  double gauge_U = 0;  // what the gauge adds, k = 2; 0: not known
};

FindingValue shown_value(const Estimate& estimate, const Unit& unit);
FindingLimit shown_limit(const LimitInUse& limit);

// Sets verdict, reason, value, limit, probability, why and what would decide. `worst` is the value
// in the worst direction where that differs from the mean.
void decide_finding(Finding& finding, const ValueInUse& mean,
                    const std::optional<ValueInUse>& worst, const LimitInUse& limit);

// The whole path for a dimension: plausibility, blades, mean or worst, decision. `wear` says which
// way the quantity goes with use: +1 grows (bore, clearance), -1 shrinks (journal), 0 neither.
void decide_dimension(Finding& finding, const Dimension& dimension, const LimitInUse& limit,
                      int wear = 0);

Finding open_finding(std::string check, std::string subject, OpenBecause because, std::string why,
                     std::vector<std::string> next = {});

// Two digits, never 0.00 or 1.00.
std::string probability_text(double probability);

}  // namespace tautmark
