// SPDX-License-Identifier: Apache-2.0
// A procedure as a person reads it.
#pragma once

#include <string>

#include "report/procedure_view.h"
#include "report/report.h"

namespace tautmark::cli {

std::string procedure_text(const ProcedureView& view, const TextStyle& style);
// Of a case: where one stands and what is next; of a drive: the steps by name.
std::string brief_procedure(const ProcedureView& view, const TextStyle& style);

}  // namespace tautmark::cli
