// SPDX-License-Identifier: Apache-2.0
// Steps that are done only where a part was decided to be replaced ("if_decided: cylinder head").
//
// The decision is the last part entry that speaks of the part, for each bank that the step is of:
//
//   rejected, ordered, fitted   needed, if it is so on any bank
//   reused, on every bank       left out
//   nothing, or less            open: the step is blocked, and what needs its facts with it
//
// A step that is left out does nothing: none of its facts are taken, given or ended, and nobody
// asks for those facts of the procedure's own that only such steps would give ("head fitted"). A
// fact of the list in docs/procedure.md stays wanted, and so do the rules. Steps of one part are
// left out together. One of them entered as done proves that all of them are needed.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "casework/case.h"
#include "procedure/machine.h"

namespace tautmark::procedure {

enum class Decided { open, needed, left_out };

// `parts` in order of work.
Decided decided(const Plan& plan, const ProcedureStep& step,
                const std::vector<const PartEntry*>& parts);

// Under which steps stand together: the part, folded, singular. Empty: of no part.
std::string part_of(const ProcedureStep& step);

// The plan without the steps for which `is_out` says so; their places in it stay.
Plan without(Plan plan, const std::function<bool(const ProcedureStep&)>& is_out);

// The same procedure for every way to decide, the whole one first, and which parts are left out in
// it. With more than kMostParts of them: the whole, and each part alone left out, and all.
inline constexpr std::size_t kMostParts = 4;
struct Way {
  Plan plan{};
  std::vector<std::string> left_out{};
};
std::vector<Way> ways_of(const Plan& plan);

}  // namespace tautmark::procedure
