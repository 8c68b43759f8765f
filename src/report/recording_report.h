// SPDX-License-Identifier: Apache-2.0
// What one sensor recording says by itself, as text and as JSON (`recording/1`).
#pragma once

#include <string>

#include "recording/decode.h"
#include "recording/trains.h"

namespace tautmark {

std::string recording_text(const std::string& name, const SignalTrains& trains,
                           const Decoded& decoded);
std::string recording_json(const std::string& name, const SignalTrains& trains,
                           const Decoded& decoded);

}  // namespace tautmark
