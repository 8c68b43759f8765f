// SPDX-License-Identifier: Apache-2.0
// What to assume about a gauge when its own certificate is not at hand.
//
// Every number here is a program default: conservative for a shop gauge in fair condition, of no
// maker and no standard, to be replaced by the certificate of the instrument in hand. A budget made
// from it says so.
//
//   expanded_U        k = 2, what remains after zeroing or setting on a master
//   repeatability_sd  scatter of single readings by one person
//   resolution        smallest step that is read, not the graduation if that is interpolated
//
// All three are SI of the kind, or fractions of the reading where `relative` is set.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "measure/uncertainty.h"

namespace tautmark {

struct InstrumentType {
  std::string_view name;
  Kind kind = Kind::length;
  bool relative = false;
  double expanded_U = 0;
  double repeatability_sd = 0;
  double resolution = 0;
  std::string_view note;
};

std::span<const InstrumentType> instrument_types();

// The entry of that name for that kind of quantity; "unknown" exists for every kind that is
// measured. What people call it is understood ("mike", "feeler gage"); the entry keeps its own
// name. Refused, with the names that do exist for the kind: anything else.
Result<InstrumentType> instrument_type(std::string_view name, Kind kind);

// Every word that instrument_type understands for that kind, to suggest one that was meant.
std::vector<std::string> instrument_words(Kind kind);

// The same numbers for one reading: fractions multiplied out, relative = false.
Result<InstrumentType> instrument_at(const InstrumentType& type, double reading);

// The entries of a kind whose expanded_U at this reading is at most needed_U, best last.
std::vector<InstrumentType> instruments_within(Kind kind, double reading, double needed_U);

// Budget of the mean of repeats at one position:
//   repeat       the larger of the scatter s seen (nu = n - 1) and the repeatability of the type
//                (infinite nu), over √n; a lucky equal pair does not make a gauge better
//   resolution   step / √12
//   calibration  expanded_U / 2
// and the terms in `more` (temperature, zero, form). Refused: as summarize and combine.
struct ReadingResult {
  double value = 0;  // mean
  int n = 0;
  double repeat_sd = 0;  // of a single reading, as used
  bool repeat_sd_is_default = true;
  Budget budget;
};

Result<ReadingResult> reading_result(std::span<const double> repeats, const InstrumentType& type,
                                     std::vector<Contribution> more = {});

}  // namespace tautmark
