// SPDX-License-Identifier: Apache-2.0
// The lift curve of a lobe of the definition: its table, or its named law.
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "clearance/lift.h"
#include "drive/drive.h"

namespace tautmark {

// Null: not in the definition, or no curve; `why` then says what is wrong with it.
std::shared_ptr<const clearance::LiftCurve> lobe_curve(const Lobe& lobe, std::string& why);

// Whether lobe, valves or piston are the maker's: by their own source, else that of the definition.
bool is_makers(const std::optional<SourceRef>& own, const std::optional<SourceRef>& whole);

}  // namespace tautmark
