// SPDX-License-Identifier: Apache-2.0
// The parts of the interview that ask for limits. Only for drive_interview.cc.
#pragma once

#include "cli/interview.h"

namespace tautmark::cli {

void ask_limits(Interview& talk, Drive& drive);
void ask_oil(Interview& talk, Drive& drive);
void ask_steps(Interview& talk, Fastener& fastener);

}  // namespace tautmark::cli
