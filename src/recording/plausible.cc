// SPDX-License-Identifier: Apache-2.0
#include "recording/plausible.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "recording/slots.h"

namespace tautmark {
namespace {

constexpr double kSlow = 20, kFast = 20000;        // 1/min: doubtful
constexpr double kSlowest = 1, kFastest = 100000;  // refused
constexpr int kFewTeeth = 6;
constexpr double kAsMany = 0.75;  // of the crank's edges a cycle; real 2 and 4 tooth cranks: 0.5

// Whether every cam has about as many edges a cycle as the crank, or more.
bool only_its_like(const Decoded& decoded) {
  const int teeth = tooth_count(decoded.crank.wheel);
  if (teeth >= kFewTeeth || decoded.cams.empty()) return false;
  const double of_crank = teeth * decoded.cycle / 360;
  return std::all_of(decoded.cams.begin(), decoded.cams.end(), [&](const DecodedCam& cam) {
    return static_cast<double>(cam.places.angles.size()) >= kAsMany * of_crank;
  });
}

}  // namespace

std::optional<Refusal> doubt_engine(Decoded& decoded) {
  std::vector<double> speeds;
  for (const TurnSpeed& turn : decoded.speed) speeds.push_back(turn.per_minute);
  if (!speeds.empty()) {
    const double median = lower_median(std::move(speeds));
    const std::string words =
        fmt::format("a speed of {:.3g} 1/min: is the unit of time right?", median);
    if (!(median >= kSlowest && median <= kFastest)) return Refusal{words};
    if (median < kSlow || median > kFast) decoded.notes.push_back(words);
  }
  if (only_its_like(decoded))
    decoded.notes.push_back(
        fmt::format("the crank's signal may be missing: channel {}, taken for it, has few teeth, "
                    "and the others "
                    "have as many; if it is a cam, speed and angles are wrong",
                    decoded.crank.channel));
  return std::nullopt;
}

}  // namespace tautmark
