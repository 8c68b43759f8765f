// SPDX-License-Identifier: Apache-2.0
// Rows of accounts and sessions, for work inside a transaction.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "store/accounts.h"

namespace tautmark {

struct KnownAccount {
  Account account;
  std::string password_hash, pin_hash;
};

// One line of 1 to 60 characters, or abandoned; without blanks at its ends.
std::string checked_name(const std::string& what, const std::string& name);

std::optional<KnownAccount> find_account(soci::session& session, const std::string& name);
// Or abandoned as not_found.
KnownAccount account_row(soci::session& session, const std::string& name);
// Of "select … from account" with `behind` after it.
std::vector<KnownAccount> account_rows(soci::session& session, const std::string& behind,
                                       const std::vector<std::string>& texts);

void end_sessions_of_account(soci::session& session, long long account_id);
void end_sessions_of_device(soci::session& session, const std::string& device_hash);

}  // namespace tautmark
