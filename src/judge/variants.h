// SPDX-License-Identifier: Apache-2.0
// Several candidate variants: each is judged; where they agree the answer stands, where they differ
// every side is shown and none is judged until an identification decides.
#pragma once

#include <string>
#include <vector>

#include "base/finding.h"

namespace tautmark {

struct VariantFindings {
  std::string drive;
  std::vector<Finding> findings;
};

std::vector<Finding> merged_findings(const std::vector<VariantFindings>& variants);

}  // namespace tautmark
