// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "casework/case.h"
#include "drive/places.h"
#include "measure/uncertainty.h"

namespace tautmark {

// Diameters and lengths; a clearance or a play is given as it is.
bool grows_with_heat(Measurand quantity);

struct Corrected {
  std::vector<double> values;       // at 20 °C
  std::vector<Contribution> terms;  // what the temperature leaves uncertain
  std::string words;
};

// One entry's values brought to 20 °C (ISO 1) with the material of the part: head for bores,
// camshaft for journals. Without a temperature, 20 °C ± 5 K; without a material, not corrected, and
// the uncertainty covers any usual pair. Quantities that do not grow with heat come back as they
// are.
Corrected at_reference(const std::vector<double>& values, const Reading& reading,
                       const EnginePlace& place);

}  // namespace tautmark
