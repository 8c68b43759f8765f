// SPDX-License-Identifier: Apache-2.0
// What the valve springs do to a camshaft once its chain comes off, and where to park the crank
// before it does. For information: it may go either way, and stays to be held.
//
// Camshafts stand right, chain on, at every crank angle of 720 after `fires_at`'s zero. The least
// push is looked for in the windows of free_camshafts(), friction left out: what friction holds is
// not known before it is tried. Formulas: clearance/cam_torque.h.
#pragma once

#include <string>
#include <vector>

#include "clearance/cam_torque.h"
#include "judge/valve_gaps.h"

namespace tautmark {

struct FreedCamshaft {
  std::string camshaft{};
  Torque most{};                              // largest over a turn
  std::vector<clearance::RestPlace> rests{};  // stable ones only
};

// One camshaft at one place of the crank.
struct Pushed {
  std::string camshaft{};
  clearance::Snap snap{};
};
struct ParkingPlace {
  CrankAngle crank{};  // 0 <= crank < 720
  std::vector<Pushed> camshafts{};
  Torque worst{};
};

struct FreedCamshafts {
  std::vector<FreedCamshaft> camshafts{};
  std::vector<ParkingPlace> parking{};  // the least push of each window and turn, the best first
  std::vector<std::string> not_known{};
};
FreedCamshafts freed_camshafts(const LoadedDrive& loaded, const std::vector<ValvesOfCam>& valves,
                               const FreeCamshafts& free);

// "tends to snap forwards by 23 deg cam, pushed with 5.2 N·m"
std::string push_words(const Pushed& pushed);

}  // namespace tautmark
