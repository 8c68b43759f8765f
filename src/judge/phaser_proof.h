// SPDX-License-Identifier: Apache-2.0
// Which words of a person prove that every phaser is locked. A closed list: whatever else is said,
// a "did not check", an "I think so", proves nothing.
#pragma once

#include <string_view>

namespace tautmark {

// "does not move by hand, both ways", "lock tool fitted and engages", "maker's lock check done";
// several of them with a semicolon between.
bool proves_locked(std::string_view checked_how);

// For whoever has to enter one of them.
inline constexpr std::string_view kPhaserProofs =
    "\"does not move by hand, both ways\", \"lock tool fitted and engages\", or \"maker's lock "
    "check done\"";

}  // namespace tautmark
