// SPDX-License-Identifier: Apache-2.0
// One finding as JSON, the same wherever a finding is written (docs/formats/findings.md).
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "base/finding.h"

namespace tautmark {

nlohmann::ordered_json finding_json(const Finding& finding);

}  // namespace tautmark
