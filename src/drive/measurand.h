// SPDX-License-Identifier: Apache-2.0
// What can be measured on a timing drive: one table for drive limits, case readings, job sheets and
// the hints that say what to measure next. A new measurand is one enumerator and one row.
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "base/fields.h"
#include "base/quantity.h"

namespace tautmark {

enum class Measurand {
  journal_diameter,
  bore_diameter,
  journal_clearance,
  journal_out_of_round,
  journal_taper,
  end_play,
  chain_length,
  chain_elongation,
  groove_depth,
  lock_play,
  sink_time,
  tensioner_extension,
  tensioner_stroke_left,
  phase_scatter,
  phase_peak_to_peak,
  bolt_length,
  bolt_diameter,
  compression,
  leak_down,
  center_line_error,
};

enum class PlaceType {
  journal,
  camshaft,
  phaser,
  chain,
  tensioner,
  guide,
  oil_port,
  fastener,
  cylinder
};
std::string_view place_type_name(PlaceType type);

struct MeasurandInfo {
  Measurand measurand;
  std::string_view name;
  PlaceType place;
  std::span<const Kind> kinds;  // what a limit or a reading of it may be
  bool can_be_read;             // entered as a reading; otherwise it follows from another reading
  // Plausible size in SI for anything on a piston engine; outside it a unit slip is likelier than
  // the value. Common practice, no source; wide on purpose.
  double plausible_lower;
  double plausible_upper;
  std::string_view how;  // how to measure it, in one sentence
};

const MeasurandInfo& measurand_info(Measurand measurand);
std::span<const MeasurandInfo> all_measurands();
bool accepts_kind(const MeasurandInfo& info, Kind kind);

template <>
struct ChoiceNames<Measurand> {
  static constexpr std::string_view names[] = {
      "journal diameter",      "bore diameter", "journal clearance",  "journal out-of-round",
      "journal taper",         "end play",      "chain length",       "chain elongation",
      "groove depth",          "lock play",     "sink time",          "tensioner extension",
      "tensioner stroke left", "phase scatter", "phase peak to peak", "bolt length",
      "bolt diameter",         "compression",   "leak-down",          "center line error"};
};

}  // namespace tautmark
