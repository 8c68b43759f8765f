// SPDX-License-Identifier: Apache-2.0
// The oil circuit of an engine: pressures at its places, flows on the ways between them and to the
// sump. Everything is computed before; here it is only laid out and drawn.
//
// Pressures in kPa over the ambient one, flows in L/min from `from` to `to`, clearances in mm,
// radial or diametral as the name says. Any tree or mesh: the places hang from the pump along the
// largest flows, what drains hangs as a short way on a tank, a way across ends in a lettered tag at
// both of its places. Places whose names begin with "bank 1", "bank 2" ... stand side by side,
// numbered ways of one kind and about one flow ("piston jet 1", "piston jet 2") are drawn as one.
// Nothing overlaps, whatever the graph is.
//
// The sheet is that of drive_svg.h: 800 units wide, the height follows (about 700 to 2500 units).
// Places carry data-node, ways data-ways (indices). The same circuit gives the same bytes. A number
// that is not finite is written as "?".
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "draw/recording_plot.h"

namespace tautmark {

inline constexpr int kDrawnSump = -1;

struct DrawnNode {
  std::string name{};
  double pressure = 0;
  std::optional<double> low{}, high{};  // 95 %
  std::optional<double> gauge{};        // as read there
  std::optional<double> limit{};        // at least
  bool below_limit = false;
};

enum class DrawnWayKind { pump, relief, hole, check_valve, clearance, slot, screen };

struct DrawnWay {
  std::string name{};
  DrawnWayKind kind = DrawnWayKind::hole;
  int from = kDrawnSump, to = kDrawnSump;  // index of the node
  double flow = 0;                         // all of them together
  std::optional<double> clearance{};
  int count = 1;  // alike, side by side
};

struct CircuitDrawing {
  std::string title{};
  bool invented = false;
  std::string headline{};                                    // what it says, over the drawing
  std::vector<std::pair<std::string, std::string>> facts{};  // of the title block: caption, words
  std::vector<DrawnNode> nodes{};
  std::vector<DrawnWay> ways{};
  std::vector<std::string> notes{};
};

std::string oil_circuit_svg(const CircuitDrawing& circuit, const PlotOptions& options = {});

}  // namespace tautmark
