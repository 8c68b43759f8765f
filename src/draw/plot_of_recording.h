// SPDX-License-Identifier: Apache-2.0
// The plot of a recording, filled from what was decoded.
//
// Shown of the signals: two engine cycles, those nearest to the middle of the longest piece counted
// without a break in which every cam edge found its place; two turns, when the crank is all there
// is; the whole recording as one row, when it is shorter.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "draw/recording_plot.h"
#include "recording/cam_phase.h"
#include "recording/decode.h"
#include "recording/hypotheses.h"
#include "recording/trains.h"

namespace tautmark {

struct RecordingToPlot {
  std::string label{};  // the file's name
  const SignalTrains* trains = nullptr;
  const Decoded* decoded = nullptr;
  // One per cam channel, all against the same reference, or all against their own means.
  std::vector<CamPhase> phases{};
};

// Of every cam channel the polarity with the smaller jitter; against the references that have its
// channel and polarity, or without any against its own mean.
std::vector<CamPhase> phases_to_plot(const Decoded& decoded,
                                     const std::vector<CamReference>& references = {});

struct PlotContext {
  std::string title{};  // empty: the label
  bool invented = false;
  std::string compared_with{};           // empty: phases are against their own means
  std::vector<std::string> cam_names{};  // in order of channel; empty: named by their channels
  std::vector<std::optional<std::pair<double, double>>> windows{};  // per cam, degrees
  const MeaningReport* meaning = nullptr;
};

// One recording, or two: `before` is drawn pale, and begins where `shown` does.
RecordingPlot plot_of_recording(const RecordingToPlot& shown, const PlotContext& context = {},
                                const RecordingToPlot* before = nullptr);

}  // namespace tautmark
