// SPDX-License-Identifier: Apache-2.0
// What an answer through the oil network of a definition follows from, and what both answers
// (oil_told.h, wear_told.h) are made of.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "judge/gauges_together.h"
#include "judge/oil_circuit.h"
#include "judge/oil_condition.h"
#include "judge/repair_options.h"
#include "oil/library.h"

namespace tautmark {

// Of the oil in the engine when the gallery was read.
struct OilThen {
  double thinned = 0;                   // share of the viscosity that smelled fuel may have taken
  std::string fuel;                     // entry; empty: none was smelled
  bool out_of_grade = false;            // by a laboratory
  std::optional<OilSpoiled> spoiled{};  // no limit holds then
  bool is_assumed = true;               // nobody says that it was the specified one
  bool operator==(const OilThen&) const = default;
};

// All that the answer follows from: the places of an engine follow from its definition.
struct OilQuestion {
  Drive drive{};
  GaugesTogether gauges{};                 // as found
  std::map<int, RepairOptions> repairs{};  // by bank
  OilThen oil{};
  bool operator==(const OilQuestion&) const = default;
};
// A definition without ways, or no gauges together: none.
std::optional<OilQuestion> oil_question(const CheckInput& input);
bool tells_ways(const CheckInput& input);
inline constexpr std::size_t kQuestionsRemembered = 8;

// Why nothing can be told at all, in words of what is wanted; empty: it can.
std::string wanted_first(const OilQuestion& asked);

// The circuit with what was measured of it, and what is assumed of its oil.
Result<OilCircuit> circuit_of(const LoadedDrive& loaded, const OilQuestion& asked);

struct OilKnown {
  oil::OilAt at;
  std::string name;  // "5W-30, typical"
};
Result<OilKnown> specified_oil(const Drive& drive, Temperature at);

// The circuit outlives the answer.
oil::Identification asked_of(const OilCircuit& circuit, const oil::Running& running,
                             const std::vector<GaugeRead>& gauges);

}  // namespace tautmark
