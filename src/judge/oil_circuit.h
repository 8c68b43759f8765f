// SPDX-License-Identifier: Apache-2.0
// The ways of the oil in a definition as a network that can be solved (oil/network.h), with what of
// it is not exactly known as unknowns of an identification (oil/identify.h).
//
//   clearance of a journal   diametral, cold: measured on this engine, else the `clearance` of the
//                            definition, else the middle of its new range; one error common to the
//                            journals of a bank (one gauge), one to all new parts, one to
//                            all bearings repaired, normal
//   hot, radial              c/2 + share · (d/2)(α_bore - α_journal)(T - 20 °C), for bores of a
//                            head and camshafts of known material; share between 0 and 1, one for
//                            all (oil/hot_clearance.h); other clearances are taken as written
//   a way's `uncertainty`    a factor, ln normal, common to all that are `alike`
//   viscosity                a factor, ln normal: oils of one grade, and the thermometer; fuel in
//   it
//                            makes it thinner by nothing up to a share
//
// Signs and units: oil/network.h. Nothing is solved here.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "drive/load.h"
#include "drive/places.h"
#include "oil/identify.h"

namespace tautmark {

struct CircuitJournal {
  std::string place;
  std::optional<int> bank{};
  Length diameter{};
  Length clearance{};  // diametral, cold, mean of the circumference
  Length U{};          // 95 %, or half of its new range
  double growth = 0;   // radial, m per K above 20 °C at share 1; 0 where a material is not known
  bool measured = false;
  std::size_t error = 0;  // of the unknowns: its logarithm, times U/2, comes on top
};

struct CircuitWay {
  OilElement written{};
  std::optional<std::size_t> journal{};  // of OilCircuit::journals
  std::optional<std::size_t> factor{};   // of the unknowns
  Length radial{};                       // hot, in `network`; 0 where it is no gap
};

struct OilCircuit {
  oil::Network network{};  // of the middle of everything, at `at`
  Temperature at{};
  std::vector<CircuitWay> ways{};  // by element of the network
  std::vector<CircuitJournal> journals{};
  std::vector<oil::Unknown> unknowns{};  // the four below, then what the ways have
  std::vector<std::string> assumed{};
};
inline constexpr std::size_t kViscosityUnknown = 0, kGrowthUnknown = 1, kNewPartsUnknown = 2,
                             kRepairedUnknown = 3;

// A clearance as measured or as asked for.
struct KnownClearance {
  std::string place;
  Length clearance{};
  Length U{};
};

// Refuses, naming the way: what the lint refuses of its sizes, a journal without any clearance.
// An empty network is refused too. `thinned`: share of the viscosity that fuel may have taken.
Result<OilCircuit> oil_circuit(const LoadedDrive& loaded, std::span<const KnownClearance> known,
                               Temperature oil, double thinned = 0);

// By name as written, ports in any spelling; none: no way reaches it.
std::optional<std::size_t> node_of(const OilCircuit& circuit, std::string_view place);

// Of one journal, with the unknowns as `values` has them.
Length hot_radial(const OilCircuit& circuit, const CircuitJournal& journal,
                  std::span<const double> values);

// Writes unknowns (as `circuit.unknowns` has them) into a network made of `circuit.network`; the
// journals may have other clearances than the circuit's (a new part).
void apply_to(const OilCircuit& circuit, std::span<const CircuitJournal> journals,
              std::span<const double> values, oil::NetworkSolver& solver);
void apply_to(const OilCircuit& circuit, std::span<const double> values, oil::Running& running);

// What is wrong with the ways of a definition taken together: nothing that pumps, nothing that
// drains, a shut end. Errors at the way in the file. Nothing for a definition without ways.
Diagnostics oil_lint(const LoadedDrive& loaded);

}  // namespace tautmark
