// SPDX-License-Identifier: Apache-2.0
// The parts of the interview that ask for limits. Only for drive_interview.cc.
#pragma once

#include "cli/drive_talk.h"

namespace tautmark::cli {

void ask_limits(Talk& talk, Drive& drive);
void ask_oil(Talk& talk, Drive& drive);
void ask_steps(Talk& talk, Fastener& fastener);

}  // namespace tautmark::cli
