// SPDX-License-Identifier: Apache-2.0
// The steps of several procedures laid side by side by their names.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "drive/drive.h"

namespace tautmark::procedure {

// A longest common subsequence, as pairs of places in `a` and `b`, both rising. Of several the one
// that stays longest with the beginning of both. Wagner and Fischer's table: time and memory go
// with the product of the lengths that differ.
std::vector<std::pair<std::size_t, std::size_t>> longest_common(std::span<const std::string> a,
                                                                std::span<const std::string> b);

struct AlignedStep {
  std::string name{};                            // as the first one writes it that has it
  std::vector<std::optional<std::size_t>> at{};  // its place in each procedure; empty: not in it
  std::vector<bool> moved{};                     // there, and elsewhere among the others' steps
};
// Names are compared without regard to case and blanks; of a name that one procedure has twice the
// first counts. Rows stand in the order of the first procedure, what others add behind the step
// that it follows there.
std::vector<AlignedStep> aligned_steps(std::span<const Drive* const> drives);

}  // namespace tautmark::procedure
