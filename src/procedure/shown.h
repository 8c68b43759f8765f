// SPDX-License-Identifier: Apache-2.0
// What the entry of a step shows: what its gate wants, the fasteners ticked, the time it took; and
// what is said of one that was begun and not finished.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "casework/case.h"

namespace tautmark::procedure {

// What its gate still wants; empty: nothing. `entries`: those in force.
std::string gate_open(const ProcedureStep& step, const Entry& entry, const StepDone& done,
                      const std::vector<const Entry*>& entries);

// How many fasteners a step has by the counts of the definition. Of one that is counted for the
// whole engine a step of one bank has at least one, and at most all.
struct FastenersOf {
  int least = 0;
  std::optional<int> most{};  // empty: a count is not in the definition
};
FastenersOf fasteners_of(const Drive& drive, const ProcedureStep& step);

// Fewer are ticked than there are: the sentence; empty: enough, or nobody counted.
std::string too_few(const Drive& drive, const ProcedureStep& step, const StepDone& done);
std::string too_many(const Drive& drive, const ProcedureStep& step, const StepDone& done);

// What becomes of fasteners that were being tightened.
std::string interrupted_words(const Drive& drive, const ProcedureStep& step);

// A step that is to be done within a time of another. Times are of the entries, to the minute; an
// entry that came late has none.
enum class Within { kept, not_shown, no_times };
Within within_time(const Entry* since, const Entry& done, Time limit);

}  // namespace tautmark::procedure
