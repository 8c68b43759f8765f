// SPDX-License-Identifier: Apache-2.0
// What a case says about the wear of one chain and its guides, for the geometry model.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/strand_bounds.h"
#include "judge/check.h"
#include "judge/drive_paths.h"

namespace tautmark {

struct MeasuredWear {
  ChainWear parts;
  double elongation_U = 0;  // k = 2
  std::vector<std::string> evidence;
};

// Empty without a usable chain length, or with one that no wear explains.
std::optional<MeasuredWear> measured_wear(const CheckInput& input, const Chain& chain);

// Free strand between a driven wheel and the driving one, in pitches, from links and teeth alone.
std::optional<LowHigh> strand_from_counts(const Drive& drive, const Chain& chain,
                                          std::string_view wheel);

// How late that alone makes a driven wheel stand, in crank radians. With coordinates both ends are
// the same; without, they span what the counts allow.
struct WornLate {
  double least = 0, most = 0;
  double U = 0;  // k = 2, from the elongation
  bool from_path = false;
};
std::optional<WornLate> worn_late(const Drive& drive, const Chain& chain, const MeasuredWear& wear,
                                  std::string_view wheel);

}  // namespace tautmark
