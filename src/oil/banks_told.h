// SPDX-License-Identifier: Apache-2.0
// The what-if of compare_banks.h once the leaking bank's own gauge was read: what that reading
// tells of the share of the journals and of the law of the restriction goes into every option.
//
//   (p_gallery - p)^m = K p ((1 - f) + f s),   K from the healthy bank, where s = 1
//
//   m  1: the restriction of the head is laminar; 1/2: a hole. Nobody knows: anything between is as
//      likely before the reading
//   f  as likely anywhere between the ends of `share` before the reading
//
// Drawn samples of m, f, the gauges (normal, U at k = 2) and the clearances (one normal error
// common to a bank or an option, as one gauge makes it), weighted by how well each meets the
// reading. Ranges are 95 % of the weight. An option is best where it is highest in 95 % of the
// weight: common errors cancel. The same inputs give the same numbers. Source: the restriction laws
// of oil.md 2.1 and 2.4; JCGM 101:2008 for the propagation of distributions.
#pragma once

#include "oil/compare_banks.h"

namespace tautmark::oil {

// Refuses as compare_banks does, a pressure that is not between 0 and the gallery, and a reading
// that hardly a sample meets: then something else leaks, or a reading is wrong. The first option is
// the bank as found. `samples`: at least 200.
Result<BankForecast> forecast_with_reading(const BankComparison& in, Pressure head,
                                           std::size_t samples = 4000);

}  // namespace tautmark::oil
