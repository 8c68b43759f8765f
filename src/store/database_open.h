// SPDX-License-Identifier: Apache-2.0
// Connecting to either database, and bringing its tables up to date. Not for use outside src/store.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "store/database.h"

namespace tautmark {

struct OpenedSessions {
  std::vector<std::unique_ptr<soci::session>> sessions;
  bool is_read_only = false;
};
Stored<OpenedSessions> open_sessions(const StoreAddress& address, OpenFor mode, int sessions);

// A fresh connection of the same session. Throws soci::soci_error.
void reconnect(soci::session& session, const StoreAddress& address, bool is_read_only);

std::string sql_for(DatabaseKind kind, std::string_view text);

// The row in `setting` of a store into which a copy has begun; gone with the copy's last step. With
// it the store is opened for nothing but another copy.
inline constexpr std::string_view kCopyingMark = "copying";
bool is_half_copied(soci::session& session);

}  // namespace tautmark
