// SPDX-License-Identifier: Apache-2.0
// What a phaser does between its chambers at the middle of what the gauges told: how it drifts and
// swings on a constant command, how fast it comes back, and the saw-tooth that both make of the
// dead band of its control.
//
// By the ways between its chambers alone, so drift and swing are the least; the saw-tooth is the
// most, for its valve is taken as wide open through all of the delay. Air in oil is hardly ever
// known: the swing is told from 0.5 to 5 % of it (oil.md 5.5). Forecasts, never a verdict.
#pragma once

#include <optional>
#include <string>

#include "drive/drive.h"
#include "oil/identify.h"
#include "oil/phaser.h"
#include "oil/phaser_hold.h"
#include "oil/phaser_hunt.h"
#include "oil/phaser_slew.h"

namespace tautmark {

// A phaser whose both chambers are places of the network.
struct PhaserTold {
  std::string place;                    // of its camshaft
  std::size_t advance = 0, retard = 0;  // nodes
  Phaser written{};
  int events = 0;                // valve events of its camshaft in one of its turns; 0: not told
  oil::AuthorityInputs asked{};  // without the difference of pressure
};

struct ChambersAt {
  oil::Interval leakage{};     // between them, m³/(s·Pa)
  oil::Interval difference{};  // Pa, valve wide open to advance, nothing moves
  Pressure mean{};             // of both, gauge
  RotationalSpeed crankshaft{};
  oil::PhaserSupply supply{};  // valve wide open to advance
};

// Half of its width to the middle, the longer side.
double relative_U(const oil::Interval& range);

struct PhaserHeld {
  CamAngle drift{}, drift_U{};  // in a second, 95 %; positive to retard
  // Whole swing with the valve events; where the definition has `range` and `cam_torque_swing`.
  struct Swing {
    CamAngle least{}, most{};
  };
  std::optional<Swing> swing{};
  std::optional<oil::NetworkSlew> back{};  // to advance
  // Where the definition has `control_band` and `control_delay`, and it comes back.
  std::optional<oil::SawTooth> saw_tooth{};
};

// None: the definition states no bias spring, nothing passes between the chambers, or the load does
// not turn it to retard.
std::optional<PhaserHeld> phaser_held(const PhaserTold& phaser, const ChambersAt& at);

}  // namespace tautmark
