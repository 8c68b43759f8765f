// SPDX-License-Identifier: Apache-2.0
// One recording against one drive: how far each camshaft is early or late, whether that is inside
// the drive's window, and what it can mean.
//
// Crank degrees, advance positive. U of a phase is 2 u, u² the sum of the squares of: statistical;
// systematic (few crank teeth); 0.1 (spacing of the crank's teeth, 0.07 rms measured, signals.md
// section 5); spread/√engines where the edge was learned.
// A window passes or fails at 95 % with that u (measure/decision.h). It stays open
//   while the phaser is not stated to be at its base (a drive that names none may have left it
//   out), unless no position of the phaser explains what fails; while the recording contradicts the
//   definition; where the limit names no document of maker or shop.
// A pass is forbidden under 8 cycles, while the cam does not hold still, and where the crank's
// wheel repeats within less than 90 degrees: a jump of all cams hides in that. A fail needs 3
// cycles. Without nominal edges nothing ever passes. Source: signals.md section 8.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/finding.h"
#include "drive/load.h"
#include "judge/drive_sensors.h"
#include "recording/signal_health.h"

namespace tautmark {

struct CamMeaning {
  std::string cam;
  std::optional<CamAgainstNominal> found;  // empty: no channel shows it
  double U = 0;                            // degrees, k = 2
  std::optional<double> window;            // degrees to either side
  Verdict verdict = Verdict::open;
  std::string says;          // "2.2° late (crank), 1.1° cam: inside ± 3.0° of the definition"
  std::string open_because;  // set exactly when open
};

struct RecordingMeaning {
  std::string drive;
  std::vector<CamMeaning> cams;             // every camshaft of which edges are named
  std::optional<MeaningReport> hypotheses;  // empty: see notes
  std::vector<std::string> contradictions, notes;
  std::string refused;  // why nothing could be compared, and what would decide; empty: it was
};

// Decodes as the drive asks; where it asks for an edge that gives no wheel, as the recording does.
Result<Decoded> decode_by_drive(const SignalTrains& trains, const Nominals& nominals);

// `health` of the signals: what is bad there is judged by nothing.
RecordingMeaning meaning_of(const LoadedDrive& drive, const Decoded& decoded,
                            const Nominals& nominals, PhasersAt phasers,
                            std::span<const HealthFinding> health = {});

// The first thing that forbids judging angles between this channel and the crank's; empty: none.
std::string signal_doubt(std::span<const HealthFinding> health, const Decoded& decoded,
                         int channel);
// Whether a meaning leaves a pass standing: right, or wear, and it explains the phases.
bool is_harmless(const MeaningReport& report);

// Standard uncertainty of a phase against its nominal edge, degrees: as said above.
double phase_uncertainty(const CamSensor& sensor, const CamAgainstNominal& found);

// Why a phase cannot pass, whatever the number is; empty: it can.
std::string pass_forbidden(const Decoded& decoded, const CamAgainstNominal& found);

// Fail if one fails, pass if all pass, else open.
Verdict verdict_of(const RecordingMeaning& meaning);

// "crank" and "not used" are known everywhere. A sentence says what is wrong with the hints; empty:
// nothing.
std::string wrong_hints(const Drive& drive, std::span<const ChannelHint> hints);

std::string_view meaning_name(Meaning meaning);  // "jump and elongation"

}  // namespace tautmark
