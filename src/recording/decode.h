// SPDX-License-Identifier: Apache-2.0
// From edge trains to the crank's angle and the cams' edges in it, nothing told beforehand: which
// channel is the crank, which are cams, what the wheel is, where a cycle begins.
//
// Zero of the angle: wheel.h; of equal zeros the one that makes the first edge after the longest
// gap of the first cam smallest. Zero of the cycle: the turn in which that edge lies in [0, 360).
// Recordings of one engine compare only with the same crank
// polarity (the other edge of a tooth is degrees away), reference channel and polarity.
// Refused: no crank, two of them, no edges, an even wheel without a cam (it has no zero).
// Source: signals.md sections 1, 4d.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "recording/angle.h"
#include "recording/classes.h"
#include "recording/trains.h"
#include "recording/wheel.h"

namespace tautmark {

struct DecodeOptions {
  int crank_channel = 0;   // 0: found
  int crank_polarity = 0;  // 0: found; to compare with a recording, that of its crank
  Interpolation interpolation = Interpolation::monotone_cubic;
  // Corrects the teeth by where they really are: learned from this recording (angle.h says when
  // that is refused; a note then says why), or `spacing`, learned from another of the same wheel.
  // Off unless asked for: angles of corrected and of nominal teeth differ by a constant that
  // reaches degrees beside a gap, so a recording compares only with a reference decoded alike, and
  // one recording is seldom long and varied enough to teach what it is then measured with.
  bool learn_spacing = false;
  std::optional<LearnedSpacing> spacing = {};
  std::vector<int> cam_channels = {};  // known to be cams: kept however much they scatter
};

struct DecodedCrank {
  int channel = 0;
  int polarity = 0;
  Wheel wheel;
  std::vector<Knots> pieces;    // between stalls and lost counts
  double time_uncertainty = 0;  // s, standard, of one edge
  std::int64_t missed_teeth = 0, extra_edges = 0;
  SignalKind kind = SignalKind::logic;
  // Level of the signal in the largest gap, +1 high, -1 low; 0: no gap, a coil, or not clear.
  int gap_level = 0;
  std::optional<LearnedSpacing> spacing = {};  // the corrections in the pieces' angles; none
};

struct DecodedCam {
  int channel = 0;
  int polarity = 0;
  CamPlaces places;
  std::vector<CamEdge> edges;   // with the wrong ones, place -1
  double time_uncertainty = 0;  // s
};

struct RejectedChannel {
  int channel = 0;
  std::string name;
  std::string why;
};

struct Decoded {
  DecodedCrank crank;
  double cycle = 720;           // degrees after which cams repeat: 360 when not resolved
  bool cycle_resolved = false;  // false: angles are known modulo 360 only
  int reference_channel = 0, reference_polarity = 0;  // the cam that sets the zeros; 0: none
  std::vector<DecodedCam> cams;                       // in order of channel, rising edges first
  std::vector<RejectedChannel> rejected;
  std::vector<TurnSpeed> speed;
  std::vector<std::string> notes;
};
Result<Decoded> decode_recording(const SignalTrains& trains, const DecodeOptions& options = {});

}  // namespace tautmark
