// SPDX-License-Identifier: Apache-2.0
// Schemas written by hand of what report/ writes: findings/1, recording/1 (docs/formats) and
// work/1 (docs/procedure.md). Keys
// may come with a newer program, so further ones are allowed; those named must be there and be so.
#pragma once

#include <nlohmann/json.hpp>

namespace tautmark {

// "findings", "finding", "recording_report" and their parts; references by
// "#/components/schemas/".
void add_report_schemas(nlohmann::ordered_json& schemas);
// "authored", "procedure_beside" and their parts.
void add_author_schemas(nlohmann::ordered_json& schemas);
// "work", "procedure" and their parts; "part" is of the drive.
void add_work_schemas(nlohmann::ordered_json& schemas);
// "tightening_trace".
void add_trace_schemas(nlohmann::ordered_json& schemas);
void add_parts_schemas(nlohmann::ordered_json& schemas);
// "clearance", "stop_read", "indicator_read" and their parts.
void add_clearance_schemas(nlohmann::ordered_json& schemas);
// "case_oil", "oil_circuit" and their parts.
void add_oil_schemas(nlohmann::ordered_json& schemas);

}  // namespace tautmark
