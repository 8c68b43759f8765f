// SPDX-License-Identifier: Apache-2.0
// What is asked of the oil circuit of an engine.
#pragma once

#include "serve/api_types_motion.h"

namespace tautmark {

struct OilClearance {
  std::string place;
  double mm = 0;  // diametral, cold
};
struct OilAsked {
  std::vector<OilClearance> clearances{};
};

TAUTMARK_API_TYPE(OilClearance, "oil clearance", "The clearance of one journal, as asked about.")
TAUTMARK_API_TYPE(OilAsked, "oil asked", "Clearances other than those found.")

}  // namespace tautmark
