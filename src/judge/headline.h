// SPDX-License-Identifier: Apache-2.0
// The three lines that a report starts with.
#pragma once

#include "judge/judge.h"

namespace tautmark {

void set_headline(Judgement& judgement);

}  // namespace tautmark
