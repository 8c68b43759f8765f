// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <utility>

#include "base/diagnostic.h"

namespace tautmark::oil {

inline tl::unexpected<Refusal> refuse(std::string why) {
  return tl::make_unexpected(Refusal{std::move(why)});
}

}  // namespace tautmark::oil
