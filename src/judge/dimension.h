// SPDX-License-Identifier: Apache-2.0
// All readings of one measurand at one place, as one dimension with its uncertainty.
//
// Directions (vertical, horizontal) are form, not scatter: each keeps its own mean, and the
// dimension is the mean of the directions. Terms of the uncertainty (k = 1, JCGM 100:2008):
//   repeat       pooled scatter within the directions, over √n. One reading alone: the scatter of
//                the same instrument elsewhere in this case, else as large as the gauge's own term
//   resolution   step / √12
//   calibration  declared U / 2, or the program's default for that kind of instrument
//   temperature  of diameters and lengths, see thermal.h
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "judge/check.h"
#include "measure/plausibility.h"
#include "measure/uncertainty.h"

namespace tautmark {

struct DirectionMean {
  std::string name;
  double mean = 0;
  int n = 0;
};

struct Dimension {
  Kind kind{};
  const Unit* unit = nullptr;  // as typed
  int decimals = 3;
  std::vector<DirectionMean> directions;
  double mean = 0;
  double lowest = 0;  // lowest and highest direction; of chain and groove: of the places measured
  double highest = 0;
  Budget budget;         // of the mean
  Budget budget_single;  // of one direction
  double repeat_sd = 0;
  int n = 0;
  std::optional<std::pair<double, double>> between;  // blades: the value is in this interval
  std::vector<std::string> evidence;
  std::vector<std::string> assumptions;      // what was taken for granted, in words
  std::vector<PlausibilityNote> impossible;  // unit slip, not physical, contradiction
  std::vector<std::string> remarks;          // outlier and the like
  std::optional<std::string> outside;        // taken under conditions that the limit does not mean
  double gauge_U = 0;                        // of what the gauge adds, k = 2
};

// Which of the readings count; empty: all.
using ReadingFilter = std::function<bool(const Reading&)>;

// Nothing when the case has no reading of it there.
std::optional<Dimension> dimension_at(const CheckInput& input, Measurand quantity,
                                      const EnginePlace& place, const ReadingFilter& counts = {});

// The readings in force of one measurand at one place.
std::vector<EntryOf<Reading>> readings_at(const CheckInput& input, Measurand quantity,
                                          std::string_view place);

// What is known of the instrument of one reading.
struct InstrumentData {
  double expanded_U = 0;  // k = 2, SI
  double repeatability_sd = 0;
  double resolution = 0;
  bool is_default = false;  // from the program's list, not declared
  std::string words;
};
InstrumentData instrument_data(const Case& value, const std::optional<std::string>& name, Kind kind,
                               double reading, double typed_step);

// Instrument names that are neither in the case nor in the program's list, with their places.
Diagnostics unknown_instruments(const LoadedCase& loaded);

}  // namespace tautmark
