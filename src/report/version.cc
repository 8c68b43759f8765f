// SPDX-License-Identifier: Apache-2.0
#include "report/version.h"

namespace tautmark {

std::string program_version() { return "tautmark " TAUTMARK_VERSION; }

}  // namespace tautmark
