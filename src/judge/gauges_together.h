// SPDX-License-Identifier: Apache-2.0
// Gauges that were read beside each other: at the gallery and at heads, at one speed, one oil
// temperature, and not with an oil known to be another than specified.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "judge/port_reads.h"

namespace tautmark {

// Speeds within 5 %, oil within 5 K; of several such conditions the slowest, then the hottest: it
// says most.
struct GaugesTogether {
  GaugeRead gallery{};
  std::vector<GaugeRead> heads{};  // each of another port
  RotationalSpeed speed{};         // of the reading at the gallery
  Temperature oil{};
  std::string condition;  // "650 1/min, oil at 95 degC"
  bool operator==(const GaugesTogether&) const = default;
};

// None: fewer heads than asked for were read beside the gallery.
std::optional<GaugesTogether> gauges_together(const CheckInput& input, GaugesOf state,
                                              std::size_t least_heads);

// Of gauges with heads.
const GaugeRead& lowest_head(const GaugesTogether& gauges);

// The highest head, if it lies above the gallery by more than both gauges can be wrong.
inline constexpr std::string_view kBothGaugesAgain =
    "both gauges open to the air: each must show 0; then both ports again, the gauges exchanged";
std::optional<GaugeRead> above_gallery(const GaugesTogether& gauges);

// Why neither of them is used: of those that hold now, a head above its gallery; none: no such
// pair.
struct GaugesCannotBe {
  GaugeRead head{}, gallery{};
  std::string why;
};
std::optional<GaugesCannotBe> gauges_cannot_be(const std::optional<GaugesTogether>& gauges);
bool is_one_of(const GaugesCannotBe& gauges, const std::string& entry);

// What is to be measured before gauges are together.
std::vector<std::string> ports_to_read(const CheckInput& input, GaugesOf state);

// The least pressure that the definition wants at this port under this condition; none of an oil
// that was not sound when the gallery was read (oil_condition.h).
std::optional<Pressure> least_at(const CheckInput& input, const std::string& port,
                                 const GaugesTogether& condition);

}  // namespace tautmark
