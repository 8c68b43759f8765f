// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "oil/network.h"

namespace tautmark::oil {

// Whether the elements of a network stand where they can: what `solve` refuses whatever the
// numbers.
Result<void> check_places(const Network& network);
// Whether numbers mean something.
Result<void> check_numbers(const Network& network, const Running& running);

// "element \"filter\"", or by number when it has no name.
std::string called(const Network& network, const Element& element);
std::string node_called(const Network& network, int node);

}  // namespace tautmark::oil
