// SPDX-License-Identifier: Apache-2.0
// Gauges that were read beside each other: at the gallery and at heads, at one speed, one oil
// temperature, and not with an oil known to be another than specified.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "judge/check.h"

namespace tautmark {

struct GaugeRead {
  Pressure mean{};
  Pressure U{};       // 95 %
  std::string shown;  // "88 ± 4 kPa", as findings show it
  std::string place;
  std::string entry;
  std::optional<int> bank{};
};

// Speeds within 5 %, oil within 5 K; of several such conditions the slowest, then the hottest: it
// says most.
struct GaugesTogether {
  GaugeRead gallery{};
  std::vector<GaugeRead> heads{};  // each of another port
  RotationalSpeed speed{};         // of the reading at the gallery
  Temperature oil{};
  std::string condition;  // "650 1/min, oil at 95 degC"
};

// As found: before the first bearing was measured. Now: since the drive was last opened, or all
// where nothing was read since.
enum class GaugesOf { as_found, now };

// None: fewer heads than asked for were read beside the gallery.
std::optional<GaugesTogether> gauges_together(const CheckInput& input, GaugesOf state,
                                              std::size_t least_heads);

// Of gauges with heads.
const GaugeRead& lowest_head(const GaugesTogether& gauges);

// What to measure at a port, in words.
std::string port_to_read(const std::string& place);
// What is to be measured before gauges are together.
std::vector<std::string> ports_to_read(const CheckInput& input, GaugesOf state);

// The least pressure that the definition wants at this port under this condition.
std::optional<Pressure> least_at(const CheckInput& input, const std::string& port,
                                 const GaugesTogether& condition);

}  // namespace tautmark
