// SPDX-License-Identifier: Apache-2.0
// Torque traces on their way into a case. Not for use outside src/serve.
#pragma once

#include <optional>

#include "base/diagnostic.h"
#include "serve/case_reading.h"

namespace tautmark {

// More is no recorded tightening: 16 MB are half a million points.
inline constexpr std::int64_t kMostTraceUpload = std::int64_t{16} << 20;

// 422 with line and column, in words and as mistakes.
Response no_trace(const Diagnostics& found);

// Why the bytes of a stored file are no torque trace; empty: they are one.
std::optional<Response> unreadable_trace(Shop& shop, const StoredFile& file);

}  // namespace tautmark
