// SPDX-License-Identifier: Apache-2.0
// Bytes on their way in and out. Pieces come under a key of their own; the row in `blob` makes them
// a file. A key in `upload` is no file: still coming, left behind, or removed.
#pragma once

#include <string>

#include "store/database.h"

namespace tautmark {

// Inside a transaction of the caller's: the file is none any more, its pieces are to be swept.
void forget_blob(soci::session& session, const std::string& sha256, const std::string& blob_key);

// Takes away what is left behind: uploads nobody has touched for a day or whose program is gone,
// removed files, and files that no case has taken for a day. In short transactions.
Stored<void> sweep_blobs(const Database& database);

}  // namespace tautmark
