// SPDX-License-Identifier: Apache-2.0
// The torque traces of a case, each analysed against its fastener and held against the others of
// the same fastener.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "judge/check.h"
#include "judge/trace_expected.h"
#include "tighten/trace.h"

namespace tautmark {

struct TraceOfCase {
  const Entry* entry = nullptr;
  const TorqueTrace* body = nullptr;
  const Fastener* fastener = nullptr;  // null: none of this name in the drive
  std::string problem{};               // why nothing can be said of it; empty: it was used
  std::string decides{};               // what would help
  TraceExpected expected{};
  std::optional<tighten::TraceResult> result{};
  std::optional<OtherTraces> others{};  // the other bolts, where there are enough
};

// In the order of work. `input.drive` may be null.
std::vector<TraceOfCase> case_traces(const CheckInput& input);

// One trace of a file by itself; `others` are gradients of the other bolts.
Parsed<tighten::Trace> read_trace_file(const std::filesystem::path& file, const std::string& shown);
Result<tighten::TraceResult> analysed(const tighten::Trace& trace, tighten::ExpectedStep step,
                                      const std::optional<OtherTraces>& others);

// Gradients of the traces that show no damage, of other bolts of the fastener than that one.
std::vector<Torque> gradients_of_others(const std::vector<TraceOfCase>& traces,
                                        std::string_view fastener, const TraceOfCase* but);

}  // namespace tautmark
