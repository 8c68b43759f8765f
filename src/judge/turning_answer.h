// SPDX-License-Identifier: Apache-2.0
// The turning answer of a case: its entries as TurningFacts, then the rules of turning.h.
//
// The state is that of state_in_force.h. Nothing that a person wrote in free words counts as proof,
// but for how the phasers were checked, of which phaser_proof.h knows every sentence.
#pragma once

#include <span>

#include "judge/judge.h"
#include "judge/turning.h"

namespace tautmark {

// What the case says, taking its engine for this drive. Null: the case names no drive.
TurningFacts turning_facts(const LoadedCase& loaded, const LoadedDrive* drive);

// Of several candidates: allowed only if every one allows it in the same words. Not empty.
TurningCard card_for_all(std::span<const TurningFacts> candidates);

// `drives` are those in use: one, several candidates, or none.
TurningAnswer turning_answer(const LoadedCase& loaded, std::span<const LoadedDrive* const> drives);

}  // namespace tautmark
