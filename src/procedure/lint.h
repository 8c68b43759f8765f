// SPDX-License-Identifier: Apache-2.0
// What the author of a procedure is told: each finding at its step and field.
//
// Errors: a condition that cannot be read, a rule of machine.h or a condition that the written
// order breaks, an order that cannot be found, figures that differ from the fastener's own, a
// name used twice. Warnings: something that every procedure must reach and this one does not (it
// may not be finished yet); a gate missing or too weak, a
// fastener or part forgotten, a step that does nothing, a step whose omission nothing later would
// notice, a turn after which nobody reads the marks, a stage that goes back.
#pragma once

#include <optional>
#include <vector>

#include "drive/load.h"
#include "procedure/machine.h"

namespace tautmark::procedure {

// Nothing for a drive without a procedure.
Diagnostics procedure_lint(const LoadedDrive& loaded);

// The step (from 0) in which a place of its findings lies; empty: of the procedure as a whole.
std::optional<std::size_t> step_at(const LoadedDrive& loaded, const TextPlace& place);

// Whether figures written again are the fastener's own, or a stretch of them ("to 30 N·m", later
// "90 deg"); none written agree.
bool figures_agree(const std::vector<TighteningStep>& written,
                   const std::vector<TighteningStep>& own);

// What every procedure must reach: marks recorded as found, extension read, marks proven,
// everything accounted for, oil primed, relearn done, recorded before and after, handed over.
std::vector<Fact> must_reach(const Plan& plan);

}  // namespace tautmark::procedure
