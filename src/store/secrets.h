// SPDX-License-Identifier: Apache-2.0
// Passwords and tokens by libsodium. Nothing secret is kept: only hashes leave.
#pragma once

#include <string>
#include <string_view>

#include "store/database.h"

namespace tautmark {

// Argon2id, INTERACTIVE (64 MiB, about 0.1 s), with its salt and cost inside. `busy` when two
// others are being hashed for too long.
Stored<std::string> password_hash(std::string_view secret);
// An empty hash, or none of ours, costs the same and is never right.
Stored<bool> is_password(const std::string& hash, std::string_view secret);

std::string new_token();                         // 32 random bytes as base64url
std::string token_hash(std::string_view token);  // SHA-256 in hexadecimal
// "K7QM-4TRX" and what is left of it when somebody types it: "K7QM4TRX".
std::string new_code();
std::string plain_code(std::string_view typed);

}  // namespace tautmark
