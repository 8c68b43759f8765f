// SPDX-License-Identifier: Apache-2.0
// Parts of signal_health, and what they share.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "recording/signal_health.h"

namespace tautmark::recording {

using Findings = std::vector<HealthFinding>;

std::string channel_words(const SignalTrains& trains, int channel);

// The one of `faults` on which more fall than chance explains.
struct Culprit {
  std::size_t index = 0;
  double chance = 1;
};
std::optional<Culprit> culprit_of(const std::vector<int>& faults);

void add_tooth_findings(const SignalTrains& trains, const Decoded& decoded,
                        const HealthOptions& options, Findings& out);
void add_place_findings(const SignalTrains& trains, const Decoded& decoded,
                        const HealthOptions& options, Findings& out);

}  // namespace tautmark::recording
