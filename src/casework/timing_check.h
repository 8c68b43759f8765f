// SPDX-License-Identifier: Apache-2.0
// What is wrong with the entries that prove timing by measurement (stop, indicator, valve gap) and
// with where an engine stands. What is merely unlikely is the judge's matter.
#pragma once

#include "casework/case_check_report.h"

namespace tautmark {

void check_stop(const CaseCheck& check, const StopReading& stop, std::size_t index);
void check_indicator(const CaseCheck& check, const IndicatorReading& reading, std::size_t index);
void check_valve_gap(const CaseCheck& check, const ValveGap& gap, std::size_t index);
void check_standing(const CaseCheck& check, const Standing& standing, std::size_t index);

}  // namespace tautmark
