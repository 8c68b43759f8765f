// SPDX-License-Identifier: Apache-2.0
// What holds and what does not, inside a transaction of the caller's.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "store/case_rows.h"

namespace tautmark {

// SHA-256 of the lines below, each ended by one line feed:
//   tautmark-audit/1, hash of the note before (64 zeros for the first), number, at, who, what,
//   subject, SHA-256 of detail
std::string audit_hash(std::string_view previous, const AuditEntry& entry);
void each_audit(soci::session& session, std::int64_t after_number, int limit,
                const std::function<void(const AuditEntry&)>& take);

// Sentences about one case; `head_hash` must be the hash of one of its records.
std::vector<std::string> verify_case(const Database& database, soci::session& session,
                                     const CaseRow& row,
                                     const std::optional<std::string>& head_hash);
// Sentences about all cases and the audit, each with the name of its case; every file is read once.
std::vector<std::string> verify_store(const Database& database, soci::session& session);

}  // namespace tautmark
