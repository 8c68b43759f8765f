// SPDX-License-Identifier: Apache-2.0
// From the words of a drive file to the recording model: which edges a right engine shows, and what
// each camshaft's phase can mean on this drive.
#pragma once

#include <span>
#include <vector>

#include "casework/case.h"
#include "drive/drive.h"
#include "recording/hypotheses.h"
#include "recording/nominal.h"

namespace tautmark {

// Standard uncertainty of a nominal edge when nothing better is known from engines of the family.
inline constexpr double kUsualSpread = 0.5;  // crank degrees

// Camshafts whose edges the drive names. Hints say which channel is what, in the words of the case.
// An edge that does not say so is a rising one.
Nominals nominals_of(const Drive& drive, std::span<const ChannelHint> hints = {});

// What is known of one camshaft by its drive: teeth, chain, strand ratio against the first camshaft
// of its chain (by coordinates, else the middle of what the counts allow), travel of its phaser
// from its base, tolerance of its nominal edges. The phase itself is the caller's.
// Refused: no such camshaft, no teeth.
Result<PhaseEvidence> cam_of_drive(const Drive& drive, std::string_view camshaft);

// One for each cam found: phase, statistical and systematic uncertainty put in.
Result<std::vector<PhaseEvidence>> evidence_of(const Drive& drive, const AgainstNominals& found);

const CamSensor* cam_sensor_of(const Drive& drive, std::string_view camshaft);

}  // namespace tautmark
