// SPDX-License-Identifier: Apache-2.0
// The truth beside a made recording, as JSON (`recording-truth/1`,
// docs/formats/recording-truth.md).
#pragma once

#include <string>

#include "recording/synthesis_file.h"

namespace tautmark {

std::string recording_truth_json(const std::string& name, const SynthesisPlan& plan,
                                 const Synthesised& made);

}  // namespace tautmark
