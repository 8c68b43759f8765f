// SPDX-License-Identifier: Apache-2.0
// The procedure of a definition, or of the one engine of a case with where its work stands; and
// that as JSON: procedure/1, docs/procedure.md.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <span>
#include <string>
#include <tl/expected.hpp>

#include "drive/load.h"
#include "judge/judge.h"
#include "procedure/walk.h"
#include "tighten/wrench.h"

namespace tautmark {

struct ProcedureView {
  const LoadedDrive& drive;  // outlives the view
  procedure::Plan plan;
  // Of a definition alone there is no walk, and the turning answer is DO NOT TURN.
  std::string case_name;
  std::optional<procedure::Walk> walk;
  TurningAnswer turning;
};

// Or why there is none, in words.
using ProcedureSeen = tl::expected<ProcedureView, std::string>;
ProcedureSeen procedure_of(const LoadedDrive& drive);
// `turning` is the turning answer of this case. Whatever is not TURN ONLY blocks every step that
// turns.
ProcedureSeen procedure_of(const LoadedCase& loaded, const TurningAnswer& turning);

nlohmann::ordered_json procedure_json(const ProcedureView& view);

// One self-contained printable sheet: every step with its gate as boxes to fill in. `wrenches` are
// those of the shop; empty: the wrench is written in by hand.
std::string html_procedure(const ProcedureView& view, std::span<const tighten::Wrench> wrenches);

}  // namespace tautmark
