// SPDX-License-Identifier: Apache-2.0
// The rows of signals of a plot: which cycles are shown is told in plot_of_recording.h.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "draw/recording_plot.h"
#include "recording/decode.h"
#include "recording/trains.h"

namespace tautmark {

// `cam_names` by channel. Empty when nothing was counted.
std::vector<PlotRow> rows_of(const SignalTrains& trains, const Decoded& decoded,
                             const std::map<int, std::string>& cam_names);

}  // namespace tautmark
