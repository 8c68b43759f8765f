// SPDX-License-Identifier: Apache-2.0
// The table of checks, in the order in which reports show them. A new check is a file in checks/
// and a row here.
#include <algorithm>

#include "judge/check.h"
#include "judge/checks/checks.h"

namespace tautmark {

std::span<const Check> all_checks() {
  using M = Measurand;
  static const Check kChecks[] = {
      {.name = "oil-pressure",
       .group = "Oil pressure",
       .question =
           "Is the oil pressure at each port inside its limit, under the limit's own conditions?",
       .run = &checks::oil_pressure},
      {.name = "journal-diameter",
       .group = "Camshaft journals and bearings",
       .question = "Are the journals inside their limit?",
       .run = &checks::journal_diameter,
       .reads = {M::journal_diameter},
       .limited_by = M::journal_diameter},
      {.name = "bore-diameter",
       .group = "Camshaft journals and bearings",
       .question = "Are the bearing bores inside their limit?",
       .run = &checks::bore_diameter,
       .reads = {M::bore_diameter},
       .limited_by = M::bore_diameter},
      {.name = "journal-clearance",
       .group = "Camshaft journals and bearings",
       .question = "Is the clearance of each bearing inside its limit?",
       .run = &checks::journal_clearance,
       .reads = {M::journal_clearance, M::bore_diameter, M::journal_diameter},
       .limited_by = M::journal_clearance},
      {.name = "journal-out-of-round",
       .group = "Camshaft journals and bearings",
       .question = "Are the journals round?",
       .run = &checks::journal_out_of_round,
       .reads = {M::journal_diameter},
       .limited_by = M::journal_out_of_round,
       .only_if_limited = true},
      {.name = "journal-taper",
       .group = "Camshaft journals and bearings",
       .question = "Are the journals free of taper?",
       .run = &checks::journal_taper,
       .reads = {M::journal_diameter},
       .limited_by = M::journal_taper,
       .only_if_limited = true},
      {.name = "end-play",
       .group = "Camshafts",
       .question = "Is the end play of each camshaft inside its limit?",
       .run = &checks::end_play,
       .reads = {M::end_play},
       .limited_by = M::end_play},
      {.name = "phaser-lock-play",
       .group = "Phasers",
       .question = "Is the play of the locked phaser inside its limit?",
       .run = &checks::lock_play,
       .reads = {M::lock_play},
       .limited_by = M::lock_play},
      {.name = "chain-elongation",
       .group = "Chains, guides, tensioners",
       .question = "Is the chain's elongation inside its limit?",
       .run = &checks::chain_elongation,
       .reads = {M::chain_length},
       .limited_by = M::chain_elongation,
       .rests_on = {topic::kChainPitch}},
      {.name = "guide-groove",
       .group = "Chains, guides, tensioners",
       .question = "Is the groove in each guide inside its limit?",
       .run = &checks::groove_depth,
       .reads = {M::groove_depth},
       .limited_by = M::groove_depth},
      {.name = "tensioner-sink-time",
       .group = "Chains, guides, tensioners",
       .question = "Does the primed tensioner hold?",
       .run = &checks::sink_time,
       .reads = {M::sink_time},
       .limited_by = M::sink_time},
      {.name = "tensioner-extension",
       .group = "Chains, guides, tensioners",
       .question = "Is enough stroke left?",
       .run = &checks::tensioner_stroke_left,
       .reads = {M::tensioner_extension},
       .limited_by = M::tensioner_stroke_left,
       .rests_on = {topic::kTensionerSide}},
      {.name = "no-codes",
       .group = "Cam phase",
       .question = "What does it say that no trouble code was stored?",
       .run = &checks::no_codes},
      {.name = "cam-timing",
       .group = "Cam phase",
       .question = "Is each camshaft on time, by crank and cam sensors?",
       .run = &checks::cam_timing,
       .rests_on = {topic::kSensorEdges, topic::kPhaserBase}},
      {.name = "timing-meaning",
       .group = "Cam phase",
       .question = "What do the cam phases mean together?",
       .run = &checks::timing_meaning,
       .rests_on = {topic::kSensorEdges, topic::kPhaserBase, topic::kChainPitch}},
      {.name = "phase-stability",
       .group = "Cam phase",
       .question = "Does each camshaft hold its phase at constant command?",
       .run = &checks::phase_stability,
       .reads = {M::phase_scatter, M::phase_peak_to_peak},
       .limited_by = M::phase_scatter,
       .only_if_limited = true},
      {.name = "phaser-behaviour",
       .group = "Cam phase",
       .question = "Does a phaser move as it should in the recording?",
       .run = &checks::phaser_behaviour,
       .rests_on = {topic::kPhaserBase}},
      {.name = "sensor-signals",
       .group = "Cam phase",
       .question = "Are the sensor signals fit to be judged?",
       .run = &checks::sensor_signals},
      {.name = "link-counts",
       .group = "Marks and link counts",
       .question = "Do the link counts between the marks stand as they should?",
       .run = &checks::link_counts,
       .rests_on = {topic::kChainLinks, topic::kLinkCounts, topic::kMarks, topic::kRotation}},
      {.name = "marks-seen",
       .group = "Marks and link counts",
       .question = "Do the sprocket marks stand right against the casting?",
       .run = &checks::marks_seen,
       .rests_on = {topic::kMarks, topic::kRotation}},
      {.name = "torque-trace",
       .group = "Fasteners",
       .question = "Does the trace of a tightening show damage, another bolt, a step not done?",
       .run = &checks::torque_trace},
      {.name = "fastener-reuse",
       .group = "Fasteners",
       .question = "Was a fastener that is used once put in again?",
       .run = &checks::fastener_reuse},
      {.name = "procedure-gates",
       .group = "Work step by step",
       .question = "Was every gate of the procedure passed as it must be?",
       .run = &checks::procedure_gates},
      {.name = "readings-plausible",
       .group = "Readings",
       .question = "Can the readings be what they claim to be?",
       .run = &checks::readings_plausible},
      {.name = "what-if-worn-timing",
       .group = "What the wear does",
       .question = "How late does the measured wear alone make each camshaft?",
       .run = &checks::what_if_worn_timing,
       .rests_on = {topic::kChainPitch, topic::kChainLinks}},
      {.name = "what-if-worn-stroke",
       .group = "What the wear does",
       .question = "How far must the plunger stand out with the measured wear?",
       .run = &checks::what_if_worn_stroke,
       .rests_on = {topic::kChainPitch, topic::kChainLinks}},
      {.name = "what-if",
       .group = "What-if, before ordering parts",
       .question = "What would the clearance be with new parts?",
       .run = &checks::what_if_clearance},
      {.name = "what-if-hot",
       .group = "What-if, before ordering parts",
       .question = "What is the clearance at running temperature?",
       .run = &checks::what_if_hot},
  };
  return kChecks;
}

const Check* find_check(std::string_view name) {
  for (const Check& check : all_checks())
    if (check.name == name) return &check;
  return nullptr;
}

const Check* check_judging(Measurand quantity) {
  const auto reads = [&](const Check& check) {
    return std::find(check.reads.begin(), check.reads.end(), quantity) != check.reads.end();
  };
  for (const Check& check : all_checks())
    if (!check.reads.empty() && check.limited_by == quantity) return &check;
  for (const Check& check : all_checks())
    if (reads(check)) return &check;
  return nullptr;
}

}  // namespace tautmark
