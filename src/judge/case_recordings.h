// SPDX-License-Identifier: Apache-2.0
// The sensor recordings of a case, decoded once and held against the drive's nominal edges.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "judge/check.h"
#include "recording/decode.h"
#include "recording/nominal.h"
#include "recording/signal_health.h"
#include "recording/trains.h"

namespace tautmark {

// One camshaft in one entry. Degrees: crank, advance positive.
struct CamSeen {
  CamAgainstNominal against;  // of typed edges without `detail`
  std::string doubtful;       // what is wrong with its signal or the crank's: not to be judged
};

struct RecordingSeen {
  const Entry* entry = nullptr;
  const SensorRecording* body = nullptr;
  std::string problem;  // why nothing can be said of it; empty: it was used
  std::string decides;  // what would help
  std::vector<CamSeen> cams;
  std::vector<std::string> missing;         // camshafts without a channel
  std::vector<std::string> contradictions;  // against the definition
  std::vector<std::string> notes;
  std::optional<SignalTrains> trains;  // of a file
  std::optional<Decoded> decoded;
  std::vector<HealthFinding> health;  // of the signals
};

// In the order of work. Files that are gone, changed since they were entered, or cannot be decoded
// have a `problem`. Without nominal edges in the drive there are no cams.
std::vector<RecordingSeen> case_recordings(const CheckInput& input);

// The last usable recording of a camshaft, and the ones before it; nothing: none.
struct CamHistory {
  const RecordingSeen* in = nullptr;
  const CamSeen* seen = nullptr;
};
std::vector<CamHistory> history_of(const std::vector<RecordingSeen>& recordings,
                                   std::string_view camshaft);

// Whether a file is another than that of the sum; false where no sum was entered.
bool changed_since(const std::optional<std::string>& sha256, const std::filesystem::path& file);

// The entry after `entry` that took the drive apart or put parts in; null: none. What was recorded
// before it says nothing of the drive as it stands.
const Entry* opened_after(const CheckInput& input, const Entry* entry);

}  // namespace tautmark
