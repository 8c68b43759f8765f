// SPDX-License-Identifier: Apache-2.0
// Drives side by side as JSON, the same wherever it is written: procedure-beside/1,
// docs/procedure.md.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "procedure/beside.h"

namespace tautmark {

nlohmann::ordered_json beside_json(const procedure::Beside& all);

}  // namespace tautmark
