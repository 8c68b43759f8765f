// SPDX-License-Identifier: Apache-2.0
// Which of several ways of repair gives the highest pressure at a head, over weighted draws in
// which what is common to all of them cancels.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace tautmark::oil {

// In so much of the weight one is above another before it is said so.
inline constexpr double kSure = 0.95;

struct OptionDraws {
  std::string name;
  std::string renews;              // "bores"; two ways to the same new bearing are one choice
  std::span<const double> head{};  // pressure by draw
};
struct Choice {
  std::vector<std::size_t> ranking{};  // by median, highest first
  std::optional<std::size_t> best{};   // one only
  std::vector<std::size_t> rivals{};   // the highest, and what may be as high
  bool can_choose = false;             // all rivals renew the same
  std::string said;
};
// `weights`: sum 1. No options: an empty choice.
Choice choose(std::span<const OptionDraws> options, std::span<const double> weights);

// What could tell rivals apart, or which of the same new bearings succeeded: "bank 2".
std::vector<std::string> to_measure_next(const Choice& choice, const std::string& bank);

}  // namespace tautmark::oil
