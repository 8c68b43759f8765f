// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "casework/case_check_report.h"

namespace tautmark {

// Readings that say too little, too much, or what no gauge can show. What is merely unlikely is the
// judge's matter.
void check_reading(const CaseCheck& check, const Reading& reading, std::size_t index);
void check_oil_found(const CaseCheck& check, const OilFound& oil, std::size_t index);
void check_pressure(const CaseCheck& check, const PressureReading& pressure, std::size_t index);

}  // namespace tautmark
