// SPDX-License-Identifier: Apache-2.0
// What went wrong in a database, from its own codes to ours. Not for use outside src/store.
#pragma once

#include <soci/error.h>

#include "store/database.h"

namespace tautmark {

// Never holds the text of the command, which may hold what a customer said.
StoreError store_error_of(const soci::soci_error& error, soci::session& session);

// The connection itself is gone: everything of an open transaction is rolled back.
bool is_connection_lost(const soci::soci_error& error, soci::session& session);

// Why a server could not be connected to, in its words: wrong password, no such database, no
// encryption. For who starts the program, not for the pages. Empty: not known.
std::string why_not_connected(const soci::soci_error& error);

// A row that has to be unique is there already.
bool is_duplicate(const soci::soci_error& error);

}  // namespace tautmark
