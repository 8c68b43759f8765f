// SPDX-License-Identifier: Apache-2.0
// A scan tool's log of the commanded cam angle, and its clock against that of a recording.
//
// Text with separators: a header whose words decide the columns, in any order, and rows of numbers:
// time and commanded angle, the angle the control unit believes and the engine speed where they
// are. A row of units may follow the header. Decimal point or comma is found from the rows.
// Between two rows the last value holds; an empty cell holds the one above it.
//
// Angles: crank degrees, advance positive, whatever the file uses (CommandOptions). Times: s, on
// the log's clock, increasing. Source: signals.md section 7.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "recording/angle.h"

namespace tautmark {

struct CommandOptions {
  std::string cam;  // words of the column wanted: "bank 1 intake"; empty: the only one
  bool is_in_cam_degrees = false;  // the file's angles; crank degrees are twice that
  bool retard_is_positive = false;
};

struct CommandLog {
  std::string file;
  std::vector<double> time;        // s
  std::vector<double> commanded;   // crank degrees, advance positive
  std::vector<double> actual;      // the same; empty: no such column. NaN before the first value
  std::vector<double> per_minute;  // empty: no such column. NaN where the cell is empty
  std::string commanded_name;      // of the column, as written
  std::vector<std::string> notes;
};
// Errors (file, line, column): no header with time and a commanded angle, several commanded angles
// and no word to choose, a cell that is no number, time that does not increase.
Parsed<CommandLog> read_command_log(const std::string& file, std::string_view bytes,
                                    const CommandOptions& options = {});
Parsed<CommandLog> read_command_log_file(const std::string& path,
                                         const CommandOptions& options = {});

// Median time between rows, s; 0 for fewer than 2.
double log_period(const CommandLog& log);
// The last value at or before `time` (log's clock). Empty before the first.
std::optional<double> commanded_at(const CommandLog& log, double time);

struct CommandStep {
  double time = 0;  // log's clock, s: the row that first shows it; it came up to a period earlier
  double from = 0, to = 0;
};
// Changes of at least `least` degrees; changes in rows that follow each other within two periods
// and go the same way are one.
std::vector<CommandStep> command_steps(const CommandLog& log, double least);

// Recording time = log time + offset.
struct ClockOffset {
  double offset = 0;       // s
  double uncertainty = 0;  // s, standard
  double correlation = 0;  // of the engine speeds at the offset; 0: stated, not measured
  int rows = 0;            // compared
  bool is_stated = false;
};
ClockOffset stated_offset(double offset, double uncertainty);

// The offset at which the engine speeds of both correlate best (Pearson), between rows of the log
// too: its speeds against the recording's, interpolated. Uncertainty: of the least-squares fit of
// offset, scale and level, residuals taken as independent.
// Refused: no engine speed in the log, fewer than 8 rows that overlap, a correlation under 0.8, a
// speed that hardly varies, another offset that fits as well.
Result<ClockOffset> align_clocks(const CommandLog& log, std::span<const TurnSpeed> speed);

}  // namespace tautmark
