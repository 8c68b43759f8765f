// SPDX-License-Identifier: Apache-2.0
// A recording against the edges that a definition, a good recording or a caller's sheet names:
// which channel is which camshaft, and how far each is early or late.
//
// Crank degrees after the wheel zero (wheel.h), 0 to 720; advance positive, retard negative. The
// cycle and the wheel's equal zeros are chosen so that all cams together lie nearest to their
// nominal edges: a move common to all of them is known within that multiple only (Decoded::notes).
// A cam whose edges lie otherwise among themselves, or are more or fewer, contradicts; so does a
// crank signal that is inverted, or a coil where the definition means a tooth's edge.
// A cam's edges are matched by their spacing; where the named edges fit at several places of the
// wheel, the nearest counts and `other_places` says how far away the next would be.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "recording/cam_phase.h"

namespace tautmark {

struct NominalEdge {
  double angle = 0;
  int polarity = 1;
};

struct NominalCam {
  std::string cam;                 // "bank 1 / intake camshaft"
  int channel = 0;                 // 0: to be found
  std::vector<NominalEdge> edges;  // of all or of some teeth
};

struct Nominals {
  int crank_channel = 0;    // 0: to be found
  int crank_polarity = 0;   // 0: not said
  std::string crank_wheel;  // "36-1"; empty: not said
  int crank_gap = 0;        // level in the gap, +1 high, -1 low; 0: not said
  bool crank_is_coil = false;
  std::vector<NominalCam> cams;
  std::vector<int> not_used;  // channels
};

struct CamAgainstNominal {
  std::string cam;
  int channel = 0, polarity = 0;  // polarity: the one with the smaller jitter, of those named
  double phase = 0;               // mean ψ
  double statistical = 0;         // its standard uncertainty, sd/√n, or of the edges themselves
  double sd = 0, jitter = 0;
  double first_edge = 0;  // where the first named edge of that polarity was, degrees
  int cycles = 0;
  CamPhase detail;  // ψ cycle by cycle against the nominal
  // ψ if the edges were those of the next tooth of the wheel; 0: none fits
  double other_places = 0;
  // A lasting change inside the recording, earlier positive: then phase, sd and cycles are of what
  // came after it. 0: none.
  double change = 0, change_time = 0;  // degrees, s
};

struct AgainstNominals {
  double zero = 0;                      // wheel zero of the definition, in the recording's angles
  std::vector<CamAgainstNominal> cams;  // in the order of the nominals; those that were found
  std::vector<std::string> missing;     // cams without a channel
  std::vector<std::string> contradictions;  // wheel, polarity, number of edges: in words
  std::vector<std::string> notes;           // how channels were assigned, where not by hint
};
// Refused: no cams in the nominals, a named edge list that fits no channel, channels that cannot be
// told apart (then it says which hint would decide).
Result<AgainstNominals> against_nominals(const Decoded& decoded, const Nominals& nominals);

// Decoding options that the nominals ask for: crank channel and polarity.
DecodeOptions decode_options(const Nominals& nominals);

}  // namespace tautmark
