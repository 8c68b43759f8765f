// SPDX-License-Identifier: Apache-2.0
// From a synthesis file to what the generator takes, with every mistake at its place, and to the
// recording it describes. Crank degrees, s, V, 1/min; advance positive.
#pragma once

#include <string>
#include <vector>

#include "recording/synthesis_fields.h"
#include "recording/synthesise.h"

namespace tautmark {

struct HallSignal {
  double low = 0.2, high = 4.8, noise = 0;  // V
  double rise_time = 0;                     // s, from one level to the other, the edge half way
};
struct ChannelSignal {
  SensorSignal kind = SensorSignal::logic;
  HallSignal hall;  // a logic signal has levels of 0 and 5 V where volts are written
};

struct SynthesisPlan {
  SynthesisSpec spec;
  Synthesis engine;  // its sample rate: 0 where samples are written, they round by themselves
  InductiveSignal inductive;
  std::vector<ChannelSignal> signals;  // [channel - 1]
  std::vector<std::string> names;      // [channel - 1]
  WrittenFormat format{};
  double sample_rate = 0;  // Hz; 0: exact times
  double full_scale = 10;  // V
};

// `to`: the file that will be written; its ending decides the format where the text does not.
Parsed<SynthesisPlan> read_synthesis(const TextFileRef& file, const std::string& to);

// What is written, and its truth. The same plan gives the same bytes everywhere.
struct MadeRecording {
  std::string bytes;
  Synthesised made;
};
Result<MadeRecording> make_recording(const SynthesisPlan& plan);

}  // namespace tautmark
