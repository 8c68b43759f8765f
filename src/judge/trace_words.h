// SPDX-License-Identifier: Apache-2.0
// What a trace shows, in sentences for the bay.
#pragma once

#include <string>
#include <vector>

#include "tighten/trace_analysis.h"

namespace tautmark {

// "the joint closes at 8.30 N·m"; friction class and slope stand beside each clamp load.
std::vector<std::string> trace_sentences(const tighten::TraceResult& result,
                                         const tighten::ExpectedStep& step);

// A sign that is a fault of the joint as it stands, whatever else it might be.
bool must_come_out(tighten::TraceSign sign);
// What follows from such a sign. `take_new`: the bolt is used once, or that is not said.
std::vector<std::string> what_follows(tighten::TraceSign sign, bool take_new);

}  // namespace tautmark
