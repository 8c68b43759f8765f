// SPDX-License-Identifier: Apache-2.0
// `tautmark recording --drive`: the words of the command line to what the drive asks of a
// recording.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "drive/load.h"
#include "judge/recording_meaning.h"

namespace CLI {
class App;
}  // namespace CLI

namespace tautmark::cli {

struct DriveArguments {
  std::string drive;
  std::vector<std::string> channels, drives;
  PhasersAt phasers = PhasersAt::unknown;
};
void add_drive_options(CLI::App& command, DriveArguments& arguments);
// --channel, as it is written here and in `drive learn`.
inline constexpr const char* kChannelHelp =
    "What a channel is: \"2=bank 1 / camshaft\", \"1=crank\", \"3=not used\"; may be repeated";
// The sentence says what is wrong.
tl::expected<std::vector<ChannelHint>, std::string> channel_hints(
    const std::vector<std::string>& texts, const Drive& drive);

struct AskedOfDrive {
  LoadedDrive drive;
  Nominals nominals;
  PhasersAt phasers = PhasersAt::unknown;
};
// Nothing without a drive; the exit status when something was wrong, which is printed.
tl::expected<std::optional<AskedOfDrive>, int> asked_of_drive(const DriveArguments& arguments);

Result<Decoded> decoded_as_asked(const SignalTrains& trains, std::optional<AskedOfDrive> asked,
                                 const DecodeOptions& options);
std::optional<RecordingMeaning> meaning_asked(const std::optional<AskedOfDrive>& asked,
                                              const Decoded& decoded,
                                              std::span<const HealthFinding> health);
int exit_status(const std::optional<RecordingMeaning>& meaning);

}  // namespace tautmark::cli
