// SPDX-License-Identifier: Apache-2.0
// A procedure as a person reads it, and as JSON (procedure/1, docs/procedure.md).
#pragma once

#include <optional>
#include <string>

#include "drive/load.h"
#include "judge/judge.h"
#include "procedure/walk.h"
#include "report/report.h"

namespace tautmark::cli {

struct ProcedureView {
  const LoadedDrive& drive;
  const procedure::Plan& plan;
  // Of a case; of a drive alone none.
  std::string case_name{};
  std::optional<procedure::Walk> walk{};
  std::optional<TurningAnswer> turning{};
};

std::string procedure_text(const ProcedureView& view, const TextStyle& style);
// Of a case: where one stands and what is next; of a drive: the steps by name.
std::string brief_procedure(const ProcedureView& view, const TextStyle& style);
std::string procedure_json(const ProcedureView& view);

}  // namespace tautmark::cli
