// SPDX-License-Identifier: Apache-2.0
// The oil network of one engine at the middle of what its gauges told: with other clearances, and
// how it answers to them.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "judge/oil_told.h"

namespace tautmark {

// The same network with the clearances that someone asks about, at the middle of what the gauges
// told: for sliders. Refuses as oil_circuit does, and clearances that are not above 0.
struct CircuitSolved {
  std::vector<Pressure> at{};   // by node of the circuit
  std::vector<Flow> through{};  // by way
  // To advance; its range is of load and friction alone.
  std::optional<oil::Authority> authority{};
};
Result<CircuitSolved> solved_with(const OilTold& told, std::span<const KnownClearance> asked);

// What 0.01 mm more of a journal's clearance does to the lowest head: the five that matter most,
// from 50 Pa. Of one journal at a time, at the middle of what the gauges told. Empty where the
// network explains nothing.
struct ClearanceMatters {
  std::string journal;  // place
  Pressure change{};    // below 0: the head loses
};
std::vector<ClearanceMatters> what_matters(const OilTold& told);

// How every pressure answers to every clearance: linear (oil/sensitivity.h), by one micrometer of
// diametral clearance, of a slot its height. One that grows by a third needs a new solution. In the
// order of the ways. Empty where the network explains nothing.
struct ClearanceSensitivity {
  std::string clearance;           // place of a journal, else name of a way
  std::vector<Pressure> for_um{};  // by node of the circuit; below 0: it loses
};
std::vector<ClearanceSensitivity> clearance_sensitivities(const OilTold& told);

}  // namespace tautmark
