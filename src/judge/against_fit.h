// SPDX-License-Identifier: Apache-2.0
// The shape that most checks share: every place of a kind, its readings against its limit.
#pragma once

#include <functional>
#include <string_view>
#include <vector>

#include "judge/check.h"
#include "judge/dimension.h"
#include "judge/verdict.h"

namespace tautmark {

struct AgainstFit {
  std::string_view check;
  Measurand quantity{};
  std::vector<std::string> sources;
  std::vector<std::string> cautions;
  int wear = 0;  // which way it goes with use, see decide_dimension
  // Called for each measured place before the decision. May change the dimension (into the kind of
  // the limit); returns an open finding's reason when the readings do not count.
  std::function<std::optional<Finding>(const CheckInput&, const EnginePlace&, Dimension&,
                                       const LimitInUse&)>
      prepare;
  // Called after the decision: what follows, further cautions.
  std::function<void(const CheckInput&, const EnginePlace&, const Dimension&, Finding&)> finish;
};

std::vector<Finding> judged_against_fit(const CheckInput& input, const AgainstFit& what);

// Places of one type that the case has touched: with a reading, or with a sibling that has one.
// Places under one camshaft or chain are siblings.
std::vector<const EnginePlace*> touched_places(const CheckInput& input, PlaceType type,
                                               std::span<const Measurand> quantities);

}  // namespace tautmark
