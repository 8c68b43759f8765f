// SPDX-License-Identifier: Apache-2.0
// How to set an adjustable camshaft sprocket so that a measured phase is corrected.
//
// A camshaft that is `early` by x crank deg must be turned back against its sprocket by x/2 cam
// deg; one that is late, forward. Turns are seen in the running direction of the camshaft.
//   slots            turn by exactly that
//   vernier pair     hub_holes in the hub, sprocket_holes in the sprocket, each evenly round; the
//                    pin goes through one pair that stands in line. Moving it by i holes of the hub
//                    and j of the sprocket (running direction) turns the hub by
//                    j 360/sprocket_holes - i 360/hub_holes cam deg: every multiple of 360/lcm
//   offset bushings  or keys: a set of cam offsets, each fitted either way round, or none
// What is left over is said; nothing here knows whether the valves have room: that is the map's.
// Source: closed form.
#pragma once

#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::clearance {

// Positive: turn the camshaft forward against its sprocket.
CamAngle turn_to_correct(CrankAngle early);

struct VernierSetting {
  int hub_holes_on = 0;  // from the hole the pin is in now; negative: against running direction
  int sprocket_holes_on = 0;
  CamAngle turn{};           // what this setting does
  CamAngle smallest_step{};  // 360/lcm
  CrankAngle left_early{};   // phase that stays
};

// The setting that leaves least, with the fewest holes moved among equals. Refuses fewer than 2
// holes, more than 400, a phase that is not within a cycle.
Result<VernierSetting> vernier_setting(CrankAngle early, int hub_holes, int sprocket_holes);

struct OffsetSetting {
  CamAngle turn{};  // of the bushing or key, forward positive; 0: none is better than any
  CrankAngle left_early{};
};

// Refuses offsets that are negative or not finite, a phase that is not within a cycle.
Result<OffsetSetting> offset_setting(CrankAngle early, const std::vector<CamAngle>& offsets);

}  // namespace tautmark::clearance
