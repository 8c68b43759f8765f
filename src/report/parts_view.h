// SPDX-License-Identifier: Apache-2.0
// The list of parts of a definition, or of each definition a case is judged by; sets against
// variants; both as JSON: parts/1 and parts-coverage/1, docs/parts.md.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "judge/judge.h"
#include "parts/conflicts.h"
#include "parts/coverage.h"
#include "parts/list.h"

namespace tautmark {

struct PartsOfDrive {
  const LoadedDrive* drive = nullptr;  // outlives the view
  parts::List list{};
  std::vector<parts::Conflict> conflicts{};
  std::vector<parts::SetSeen> sets{};
};

struct PartsView {
  std::string case_name{};  // empty: of a definition alone
  std::vector<PartsOfDrive> drives{};
};

PartsView parts_of(const LoadedDrive& drive);
// The findings of the case say which parts are doubted. A case that names no drive has none here.
PartsView parts_of(const LoadedCase& loaded, const Judgement& judgement);

nlohmann::ordered_json parts_json(const PartsView& view);
nlohmann::ordered_json coverage_json(const parts::Coverage& coverage);

// "1", "1 (+1)"; where nobody says how many: "?".
std::string count_text(const parts::Row& row);

}  // namespace tautmark
