// SPDX-License-Identifier: Apache-2.0
// Paired tablets and their wrong PINs.
#pragma once

#include <optional>
#include <string>

#include "store/accounts.h"

namespace tautmark {

inline constexpr std::string_view kRevoked =
    "this tablet is not paired, or no longer; pair it again at the desk";

std::optional<Device> find_device(soci::session& session, const std::string& device_hash);

// Counts a wrong PIN in advance; refused when the device is none of ours, `busy` during a wait.
Stored<Device> begin_pin_try(const Database& database, const std::string& device_hash,
                             std::int64_t account_id, std::int64_t now);
// Notes in the audit that it was wrong, and revokes the device when it was one too many.
Stored<void> note_wrong_pin(const Database& database, const Device& device,
                            const std::string& subject);
// The PIN was right: the name starts at 0, and so do names that are not there.
void forgive_pins(soci::session& session, const std::string& device_hash, std::int64_t account_id,
                  std::int64_t now);

}  // namespace tautmark
