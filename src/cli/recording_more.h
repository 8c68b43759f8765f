// SPDX-License-Identifier: Apache-2.0
// `tautmark recording`: the command log and the earlier recording that it is held against.
#pragma once

#include <optional>
#include <string>

#include "cli/recording_drive.h"
#include "recording/read.h"
#include "report/recording_extras.h"

namespace CLI {
class App;
}  // namespace CLI

namespace tautmark::cli {

struct MoreArguments {
  std::string before, command_log, command_cam;
  std::optional<PositiveIs> command_positive;
  std::optional<DegreesOf> command_degrees;
  std::optional<double> command_offset;  // s, recording less log
};
void add_more_options(CLI::App& command, MoreArguments& arguments);

struct Before {
  SignalTrains trains;
  Decoded decoded;
};
// Nothing without --before; the exit status when something was wrong, which is printed.
tl::expected<std::optional<Before>, int> before_asked(const MoreArguments& arguments,
                                                      const RecordingOptions& options,
                                                      const Decoded& decoded);

tl::expected<RecordingExtras, int> extras_of(const MoreArguments& arguments,
                                             const SignalTrains& trains, const Decoded& decoded,
                                             std::vector<HealthFinding> health,
                                             const std::optional<AskedOfDrive>& asked,
                                             const RecordingMeaning* meaning,
                                             const std::optional<Before>& before);

// The drawing: against the drive's edges, else against the earlier recording, else by itself.
std::string drawing_of(const std::string& name, const SignalTrains& trains, const Decoded& decoded,
                       const RecordingMeaning* meaning, const std::optional<AskedOfDrive>& asked,
                       const MoreArguments& arguments, const std::optional<Before>& before,
                       const std::string& paper);

}  // namespace tautmark::cli
