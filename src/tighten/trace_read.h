// SPDX-License-Identifier: Apache-2.0
// Reads a tightening trace from the text that an electronic wrench or a spreadsheet writes.
//
//   # M10, cap 3
//   Angle [deg];Torque (N·m);Time / s
//   0,5;1,25;0,01
//
// The first line that is no comment names the columns, each with its unit in brackets, behind a
// slash or as last word; units may also stand alone in the next line. Torque and angle are needed,
// time is taken where it has a unit, every other column is named in the notes. Separator ; tab or
// comma; a decimal comma with ; and tab only, and one decimal sign per file. UTF-8, or a
// single-byte ° and ·. Nothing is guessed and no line is skipped: a unit that is missing is asked
// for, a cell that is no number is an error with its place.
#pragma once

#include <string>
#include <string_view>

#include "base/diagnostic.h"
#include "tighten/trace.h"

namespace tautmark::tighten {

inline constexpr std::size_t kMostTracePoints = 2'000'000;
inline constexpr std::size_t kMostTraceBytes = 256 * 1024 * 1024;
inline constexpr double kMostTraceTurns = 10'000;

Parsed<Trace> read_trace(const std::string& file, std::string_view bytes);

}  // namespace tautmark::tighten
