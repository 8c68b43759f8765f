// SPDX-License-Identifier: Apache-2.0
// An order of the steps that follows from their conditions alone: every step once, each when its
// needs and the rules of machine.h hold, starting with a whole engine. Where they leave it free the
// written order stays.
//
// Built forward, one step at a time: the first written step that may be done and ends nothing that
// a step written before it still waits for; if there is none, the first that may be done at all. A
// procedure in a workable order keeps it; one out of order is not always put right (an order may
// exist that this search does not find), and is never called right when it is not.
#pragma once

#include <string>
#include <vector>

#include "procedure/machine.h"

namespace tautmark::procedure {

enum class OrderTrouble {
  nobody_gives,  // no step gives what it needs
  ended,         // what it needs was given, and then ended by another step for good
  circle,        // steps that wait for each other
  waits,         // it waits for a step that is itself never reached
};
struct OrderFault {
  OrderTrouble trouble{};
  std::size_t step = 0;
  Fact missing{};
  // ended: the step that ended it; circle: the loop, from `step` on; waits: the step waited for.
  std::vector<std::size_t> others{};
};
struct Order {
  std::vector<std::size_t> steps{};  // indices of the plan; shorter than it when there are faults
  std::vector<OrderFault> faults{};  // one of each step that is never reached
};
Order order_of(const Plan& plan);

// Done alone, on an engine of which nothing is known, it leaves this fact.
bool provides(const Plan& plan, const Step& step, const Fact& fact);

// "the loop: fit the chain → set the marks → fit the chain".
std::string fault_text(const Plan& plan, const OrderFault& fault);

}  // namespace tautmark::procedure
