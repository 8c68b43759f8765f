// SPDX-License-Identifier: Apache-2.0
// Which gauge readings of a case are brought to which limit of its definition, and the chart of
// each. A reading under a limit's own conditions needs none of it: `oil-pressure` judges it.
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "judge/check.h"
#include "judge/pressure_read.h"
#include "judge/reference_reading.h"

namespace tautmark {

struct BroughtReading {
  const EnginePlace* port = nullptr;
  const PressureLimit* limit = nullptr;
  EntryOf<PressureReading> from{};
  GradeInIt oil{};
  PressureAsRead read{};
  PressureWanted wanted{};
  CircuitFacts facts{};
  std::vector<std::string> gauge{};  // its budget, in words
  Result<ReferenceReading> at_limit{};
};

// At most one for each limit of a port, of the engine since it was last opened, where no reading
// meets that limit's conditions: the one that says most (comparable, then the narrower, then the
// later). A reading goes with the limit that is nearest in speed. What it already meets stays as it
// is; speed goes to the middle of its range, the oil to the nearest temperature stated.
// Nothing where reading or limit do not tell speed and oil temperature, where the limit has no
// lower end, where it is not known which oil it was, or where nothing is to be corrected.
std::vector<BroughtReading> brought_readings(const CheckInput& input);

// For every limit with lower end, speed and oil temperature whose port was read at a known oil
// temperature and speed since the engine was last opened.
std::vector<PressureChart> pressure_charts(const CheckInput& input);

}  // namespace tautmark
