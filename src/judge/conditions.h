// SPDX-License-Identifier: Apache-2.0
// Conditions under which a limit holds: engine speed, oil temperature, oil. A reading taken under
// others has no limit to be compared with: it stays open, whatever the number.
#pragma once

#include <fmt/format.h>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/finding.h"
#include "base/written.h"
#include "judge/verdict.h"

namespace tautmark {

enum class Met { yes, no, not_entered, too_close, not_stated };

struct ConditionCheck {
  Met met = Met::yes;
  std::string words;
};

// `u` is the standard uncertainty of what was found.
template <class Q>
ConditionCheck range_check(const std::optional<WrittenRange<Q>>& wanted,
                           const std::optional<Written<Q>>& found, std::string_view what,
                           double u) {
  if (!wanted) return {Met::not_stated, fmt::format("the limit does not say at which {}", what)};
  if (!found)
    return {Met::not_entered,
            fmt::format("{} not entered; the limit is for {}", what, wanted->text)};
  const Limits limits{wanted->lower ? std::optional(wanted->lower->si()) : std::nullopt,
                      wanted->upper ? std::optional(wanted->upper->si()) : std::nullopt};
  const auto decision = decide({found->value.si(), u}, limits, kLevel, ZeroUncertainty::accept);
  if (!decision) return {Met::not_entered, decision.error().why};
  if (decision->conformity == Conformity::pass) return {};
  const Met met = decision->conformity == Conformity::fail ? Met::no : Met::too_close;
  return {met, fmt::format("taken at {} {}{}; the limit is for {}", what, found->text,
                           met == Met::too_close ? ", too close to tell" : "", wanted->text)};
}

// 0 when all are met; one that is not met weighs more than any number not entered.
int badness(const std::vector<ConditionCheck>& checks);

struct ConditionAdvice {
  std::string again;  // how to measure again
  std::string enter;  // what to enter
};
// Opens the finding where a condition is not met, and says which.
void apply_conditions(Finding& finding, const std::vector<ConditionCheck>& checks,
                      const ConditionAdvice& advice);

}  // namespace tautmark
