// SPDX-License-Identifier: Apache-2.0
// One step of the printed procedure.
#pragma once

#include <string>

#include "report/procedure_view.h"
#include "tighten/wrench.h"

namespace tautmark::html {

// What is done, its cautions, what must hold before (of the definition and of the rules that hold
// whatever it says), every bolt with its figures, the wrench and the order; and boxes for what the
// gate wants. Of a case with what was entered.
std::string step_block(const ProcedureView& view, std::size_t step,
                       std::span<const tighten::Wrench> wrenches);

// Bolts where they are, numbered as they are tightened; empty where pattern or order is not known.
std::string order_drawing(const Fastener& fastener);

}  // namespace tautmark::html
