// SPDX-License-Identifier: Apache-2.0
// What only the practice store can do.
#include "serve/handlers.h"
#include "serve/practice.h"

namespace tautmark {
namespace {

Response reset(Shop& practice, Request& request) {
  auto failed = put_demo_back(practice, request.seat);
  return failed ? std::move(*failed) : nothing_more();
}

}  // namespace

std::span<const Handler> practice_handlers() {
  static constexpr Handler kHandlers[] = {{"resetPractice", &reset}};
  return kHandlers;
}

}  // namespace tautmark
