// SPDX-License-Identifier: Apache-2.0
// What marks that were read say against a step that sets, confirms or proves the marks. They may
// show it only where nothing speaks against it; that they stand right is judged elsewhere.
#pragma once

#include <string>
#include <vector>

#include "casework/case.h"
#include "procedure/machine.h"

namespace tautmark::procedure {

struct MarksShown {
  // Against the definition: another number of pitches on a strand, a sprocket mark that stands off
  // the casting. "crank to bank 1 / intake camshaft was counted 60, the definition has 61"
  std::string wrong{};
  // Nothing counted and no sprocket mark seen right without doubt: a marked link proves nothing
  // after a turn. Empty where there is something.
  std::string nothing{};
};
MarksShown marks_shown(const Drive& drive, const MarksSeen& seen);

// What the gate of a step that wants a reading or a photo still wants beyond any of them, empty:
// nothing. It must be of what the step gives: of marks, of each bank one entry of marks with
// nothing wrong in it; of a recording a recording; of the plunger its extension; of primed oil a
// pressure, and where the step has a time, how long it took to rise. Marks, the pressure, the
// second recording and photos of released tensioners and closed covers are of after `moved_by` (the
// last entry that turned or started the engine or laid the chain; null: none). `entries`: those in
// force, as they were entered.
std::string shown_open(const Drive& drive, const Step& step, const StepDone& done,
                       const std::vector<const Entry*>& entries, const Entry* moved_by);

}  // namespace tautmark::procedure
