// SPDX-License-Identifier: Apache-2.0
// `tautmark tighten DRIVE|CASE FASTENER --trace FILE`: one recorded tightening.
#pragma once

#include <optional>
#include <string>

#include "cli/drive_or_case.h"

namespace tautmark::cli {

struct TraceArguments {
  std::string file, plot, paper = "screen", json;
  std::optional<int> step;
  // What the definition lacks, or says of another bolt.
  std::optional<std::string> thread, strength_class, condition;
};

int run_tighten_trace(const DriveOrCase& source, const std::string& fastener,
                      const TraceArguments& arguments);

}  // namespace tautmark::cli
