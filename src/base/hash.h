// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

namespace tautmark {

// SHA-256 (FIPS 180-4) in lower-case hexadecimal.
std::string sha256_hex(std::string_view bytes);

}  // namespace tautmark
