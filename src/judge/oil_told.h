// SPDX-License-Identifier: Apache-2.0
// What the gauges of one engine tell through the oil network of its definition: pressure and flow
// at every place as found, which element's wear explains them, and what each way of repair would
// do to the heads, the gallery and the authority of the phaser.
//
// Nothing is predicted without a fit to this engine's own readings. A forecast is never a pass and
// orders nothing by itself. Ranges are 95 %; they hold for this network and its stated
// uncertainties (oil/identify.h).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "judge/check.h"
#include "judge/gauges_together.h"
#include "judge/oil_circuit.h"
#include "judge/phaser_held.h"
#include "oil/compare_banks.h"
#include "oil/explain.h"
#include "oil/phaser.h"

namespace tautmark {

struct NodeTold {
  std::string name;
  oil::Interval pressure{};  // Pa, as found, fitted to every gauge
  std::optional<GaugeRead> read{};
  std::optional<Pressure> least{};  // the limit that holds here under this condition
  bool is_port = false;             // a gauge can be put to it
};
struct WayTold {
  std::string name;
  OilElementKind kind{};
  int from = oil::kSump, to = oil::kSump;  // of the nodes
  oil::Interval flow{};                    // m³/s
  std::optional<Length> clearance{};       // diametral, cold
  std::string journal{};                   // place, if it is one's
};
struct OptionTold {
  std::string name;
  oil::Interval head{}, gallery{};            // Pa
  std::optional<oil::Authority> authority{};  // to advance, hot, valve wide open
  oil::ForecastAgainst pressure = oil::ForecastAgainst::no_limit;
};

// Authority of the phaser against the clearance of the journal that feeds it, all else as fitted.
struct CurvePoint {
  Length clearance{};  // diametral, cold
  double margin = 0, low = 0, high = 0;
};
struct AuthorityCurve {
  std::string journal;  // place
  std::vector<CurvePoint> points{};
  std::optional<Length> measured{};  // on this engine
  Length measured_U{};
  std::optional<Length> most{};  // limit of the clearance
};

struct OilTold {
  GaugesTogether gauges{};
  OilCircuit circuit{};
  oil::Running running{};        // of the middle
  std::vector<double> fitted{};  // the unknowns of the circuit, most likely together
  std::string oil;               // "5W-30, typical"
  std::vector<NodeTold> nodes{};
  std::vector<WayTold> ways{};
  // Of every journal bank with the lowest head; none: its clearances are not measured.
  std::optional<int> bank{};
  std::vector<OptionTold> options{};
  std::string choice;                  // in words
  std::vector<std::string> highest{};  // names of options: the highest, and what may be as high
  std::vector<std::string> measure_next{};
  std::vector<std::string> heads_unread{};  // the lowest may be among them: nothing is told of it
  std::vector<std::string> left_out{};
  // The lowest head as the other gauges alone put it: whether the network can be trusted.
  std::optional<oil::Interval> from_others{};
  bool explained = false;                 // by the network as it stands
  std::optional<AuthorityCurve> curve{};  // where it was asked for
  std::optional<PhaserTold> phaser{};
  std::optional<PhaserHeld> holding{};
  std::vector<std::string> evidence{};
};
// Or what is missing, in words of what to measure or to state. None of both: the definition tells
// no ways of the oil.
struct OilToldOrMissing {
  std::optional<OilTold> told{};
  std::vector<std::string> missing{};
};
enum class WithCurve { no, yes };
OilToldOrMissing oil_told(const CheckInput& input, WithCurve curve = WithCurve::no);

// Before all bearings are measured: whose wear explains the gauges, from the network with those
// that were, and the others as new.
struct WearTold {
  GaugesTogether gauges{};
  oil::WearExplanation wear{};
  std::vector<std::string> measured{};  // journals: no suspects
  std::vector<std::string> evidence{};
};
// None: no ways in the definition, no gauges together, or every journal of the lowest head is
// measured, which tells more.
std::optional<WearTold> wear_told(const CheckInput& input);

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

}  // namespace tautmark
