// SPDX-License-Identifier: Apache-2.0
// A value as the bar of its interval (value ± U) on the scale of its limit, as SVG. The limit is a
// thick line, the forbidden side is hatched, the scale has its numbers and its unit.
#pragma once

#include <optional>
#include <span>
#include <string>

#include "base/finding.h"
#include "base/unit.h"

namespace tautmark::html {

struct BarScale {
  double from = 0, to = 1;  // in `unit`
  const Unit* unit = nullptr;
};

// One scale that holds every value and limit of these findings, so that their bars can be compared.
// Nothing when no finding has both a value and a limit in one unit, or a number is not finite.
std::optional<BarScale> bar_scale(std::span<const Finding* const> findings);

// Empty when the finding has no value or no limit, or when the two cannot be compared: a bar beside
// the limit would say what the verdict refuses to say.
std::string value_bar(const Finding& finding, const BarScale& scale);

}  // namespace tautmark::html
