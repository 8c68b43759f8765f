// SPDX-License-Identifier: Apache-2.0
// What one sensor recording says by itself, and against a drive where `meaning` is given, as text
// and as JSON (`recording/1`).
#pragma once

#include <string>

#include "judge/recording_meaning.h"
#include "recording/decode.h"
#include "recording/trains.h"
#include "report/recording_extras.h"

namespace tautmark {

std::string recording_text(const std::string& name, const SignalTrains& trains,
                           const Decoded& decoded, const RecordingMeaning* meaning = nullptr,
                           const RecordingExtras* extras = nullptr);
std::string recording_json(const std::string& name, const SignalTrains& trains,
                           const Decoded& decoded, const RecordingMeaning* meaning = nullptr,
                           const RecordingExtras* extras = nullptr);

// The part that the drive adds: report/recording_meaning_text.cc.
std::string meaning_text(const RecordingMeaning& meaning);

}  // namespace tautmark
