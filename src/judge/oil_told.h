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

}  // namespace tautmark
