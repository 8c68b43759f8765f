// SPDX-License-Identifier: Apache-2.0
// What a person should find in a made recording, from what was put in. Crank degrees, advance
// positive inside, words outside.
#pragma once

#include <string>
#include <vector>

#include "recording/synthesis_file.h"

namespace tautmark {

struct PlantedFault {
  std::string what;  // jump, elongation, wheel slipped, crank wheel slipped, phaser stuck, ...
  std::string channel;
  int teeth = 0;       // of a jump; advance positive
  double degrees = 0;  // at the end of the recording, advance positive; of a swing its amplitude
  double from = 0, until = 0;  // s
  std::string says;            // "intake 1 tooth late from 4 s on: 18.9° late (crank), 9.5° cam"
};

// `meaning`: right; jump, elongation, jump and elongation; slipped; crank reference; phaser;
// sensor (only wiring and sensors are at fault); several (of these families).
struct ExpectedVerdict {
  std::string meaning;
  std::string says;
  std::vector<PlantedFault> faults;
};
ExpectedVerdict expected_verdict(const SynthesisPlan& plan);

}  // namespace tautmark
