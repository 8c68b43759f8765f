// SPDX-License-Identifier: Apache-2.0
// The three lines that a report starts with, and the turning answer.
#pragma once

#include "judge/judge.h"

namespace tautmark {

TurningAnswer turning_answer(const LoadedCase& loaded);
void set_headline(Judgement& judgement);

}  // namespace tautmark
