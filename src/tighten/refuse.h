// SPDX-License-Identifier: Apache-2.0
// For the .cc files of this module: a refusal in one line.
#pragma once

#include <string>
#include <utility>

#include "base/diagnostic.h"

namespace tautmark::tighten {

inline tl::unexpected<Refusal> refused(std::string why) {
  return tl::unexpected<Refusal>(Refusal{std::move(why)});
}

}  // namespace tautmark::tighten
