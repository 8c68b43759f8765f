// SPDX-License-Identifier: Apache-2.0
// Bytes on their way in and out. Pieces come under a key of their own; the row in `blob` makes them
// a file. A key in `upload` is no file: still coming, left behind, or removed.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "store/database.h"

namespace tautmark {

// Inside a transaction of the caller's: the file is none any more, its pieces are to be swept.
void forget_blob(soci::session& session, const std::string& sha256, const std::string& blob_key);

// Takes away what is left behind: uploads nobody has touched for a day or whose program is gone,
// removed files, and files that no case has taken for a day. In short transactions, between which
// others write; leaves the rest for the next when `goes_on` says so.
Stored<void> sweep_blobs(const Database& database, const std::function<bool()>& goes_on = {});

// After a deletion: the same, and the room goes back to the disk. What fails is done by the next.
void sweep_deleted(const Database& database, const std::function<bool()>& goes_on = {});

// Which of these files (SHA-256) no case of the store holds.
Stored<std::vector<std::string>> files_without_case(const Database& database,
                                                    const std::vector<std::string>& sums);

}  // namespace tautmark
