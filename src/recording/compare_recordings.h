// SPDX-License-Identifier: Apache-2.0
// Two recordings of one engine, before and after: what each cam's phase did.
//
// The second is decoded with the crank channel and polarity of the first, and its zero is brought
// to the first's (zero_in_reference). Where a cam moves in one of them, what lies before its first
// motion is compared, at one speed, when that is 8 cycles in both: a commanded step is no change.
// Channels pair by number; not compared when names or edge patterns say that they were exchanged
// (banks whose patterns differ by a turn only are told by names alone). Crank degrees, change =
// after less before: positive earlier.
//
// Standard uncertainty of a change: of both means (from the means of up to 8 blocks, so that slow
// wander counts), 0.1 degrees for the teeth of the wheel, half a sample step, what a few-tooth
// wheel cannot see when the speeds differ (when they are alike it cancels to a tenth), and 30 µs of
// sensor delay times the difference in speed. Words give twice that. Never seen: a move common to
// all cams by a multiple of 360 degrees over the equal zeros of the wheel; equal and opposite
// errors of crank wheel and chain. Source: signals.md sections 6, 8, 15.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "recording/cam_phase.h"
#include "recording/decode.h"
#include "recording/phase_statistics.h"

namespace tautmark {

struct CompareOptions {
  DecodeOptions decode{};             // of the first
  std::map<int, int> teeth{};         // of the cam sprocket, by channel
  std::map<int, std::string> cams{};  // names, by channel: "bank 2 intake"
};

struct CamChange {
  int channel = 0, polarity = 0;
  std::string name{};
  PhaseStatistics before{}, after{};  // of ψ against the first's means
  double change = 0;                  // degrees
  double uncertainty = 0;             // standard
  double scatter_ratio = 1;           // jitter after over before
  double scatter_chance = 1;          // of a ratio so far from 1 when both are alike (F test)
  bool is_before_motion = false;      // only the quiet stretch before the first motion was used
  std::optional<int> teeth{};         // whole teeth in the change, early positive
  double remainder = 0;               // degrees beside them
  std::string words{};
};

struct Comparison {
  bool is_comparable = false;  // false: `why`, and no changes
  std::string why{};           // "not comparable: cranking at 240 1/min against running at ..."
  std::string before_wheel{}, after_wheel{};
  double before_per_minute = 0, after_per_minute = 0;  // median
  double zero = 0;                                     // of the second in the first, degrees
  std::vector<CamChange> cams{};
  std::vector<std::string> notes{};  // other conditions, cams without a partner, what is invisible
};
// Refused: one of the two cannot be decoded (which one is said), or has no cam.
Result<Comparison> compare_recordings(const SignalTrains& before, const SignalTrains& after,
                                      const CompareOptions& options = {});

}  // namespace tautmark
