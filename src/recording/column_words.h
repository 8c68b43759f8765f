// SPDX-License-Identifier: Apache-2.0
// What the name of a column, a data set or a variable says about it.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace tautmark {

enum class ColumnRole { signal, time, index, rate, interval, start };

// "Time [s]", "t / ms", "sample", "fs", "dt", ...: by the word before any unit.
ColumnRole column_role(std::string_view name);

// Seconds of one unit of time: "s", "(ms)", "[us]", "µs", "ns"; nothing for other text.
std::optional<double> time_unit(std::string_view text);
// The unit at the end of a name: "Time [ms]", "time_us", "t (s)".
std::optional<double> time_unit_of_name(std::string_view name);

// 1/s: "1 MHz", "20 kHz", "48000", "500000 Hz".
std::optional<double> sample_rate_of(std::string_view text);

// Text from a file as it may be shown: bytes that are no UTF-8 and control characters become "?",
// and what nobody would read is cut off.
std::string printable(std::string_view text);

}  // namespace tautmark
