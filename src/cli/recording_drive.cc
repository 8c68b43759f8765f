// SPDX-License-Identifier: Apache-2.0
#include "cli/recording_drive.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <map>

#include "base/text.h"
#include "cli/commands.h"

namespace tautmark::cli {

void add_drive_options(CLI::App& command, DriveArguments& arguments) {
  static const std::map<std::string, PhasersAt> kStates = {{"base", PhasersAt::base},
                                                           {"commanded", PhasersAt::commanded},
                                                           {"none-fitted", PhasersAt::none_fitted},
                                                           {"unknown", PhasersAt::unknown}};
  auto* drive = command.add_option("--drive", arguments.drive,
                                   "Drive whose sensor edges it is held against: a name or a file");
  command.add_option("--channel", arguments.channels, kChannelHelp)
      ->allow_extra_args(false)
      ->needs(drive);
  command
      .add_option("--phasers", arguments.phasers,
                  "Where the phasers were: base, commanded, unknown")
      ->transform(CLI::CheckedTransformer(kStates, CLI::ignore_case).description(""))
      ->needs(drive);
  command
      .add_option("--drives", arguments.drives,
                  "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false)
      ->needs(drive);
}

tl::expected<std::vector<ChannelHint>, std::string> channel_hints(
    const std::vector<std::string>& texts, const Drive& drive) {
  std::vector<ChannelHint> hints;
  for (const std::string& text : texts) {
    const std::size_t equals = text.find('=');
    const auto number = read_integer(trimmed(text.substr(0, equals)));
    if (equals == std::string::npos || !number || *number < 1 || *number > 64)
      return tl::make_unexpected(fmt::format(
          "--channel {}: for example --channel \"2=bank 1 / camshaft\"; channels count from 1",
          text));
    hints.push_back({static_cast<int>(*number), std::string(trimmed(text.substr(equals + 1)))});
  }
  if (std::string wrong = wrong_hints(drive, hints); !wrong.empty())
    return tl::make_unexpected("--channel: " + wrong);
  return hints;
}

tl::expected<std::optional<AskedOfDrive>, int> asked_of_drive(const DriveArguments& arguments) {
  if (arguments.drive.empty()) return std::nullopt;
  auto loaded = load_drive(arguments.drive, drive_folders(arguments.drives, arguments.drive));
  if (!loaded) return tl::make_unexpected(report_input(loaded.error()));
  const auto hints = channel_hints(arguments.channels, loaded->drive);
  if (!hints) {
    fmt::print(stderr, "{}\n", hints.error());
    return tl::make_unexpected(kExitUsage);
  }
  Nominals nominals = nominals_of(loaded->drive, *hints);
  return AskedOfDrive{std::move(*loaded), std::move(nominals), arguments.phasers};
}

Result<Decoded> decoded_as_asked(const SignalTrains& trains, std::optional<AskedOfDrive> asked,
                                 const DecodeOptions& options) {
  if (!asked) return decode_recording(trains, options);
  if (options.crank_channel != 0) asked->nominals.crank_channel = options.crank_channel;
  return decode_by_drive(trains, asked->nominals);
}

std::optional<RecordingMeaning> meaning_asked(const std::optional<AskedOfDrive>& asked,
                                              const Decoded& decoded,
                                              std::span<const HealthFinding> health) {
  if (!asked) return std::nullopt;
  return meaning_of(asked->drive, decoded, asked->nominals, asked->phasers, health);
}

int exit_status(const std::optional<RecordingMeaning>& meaning) {
  if (!meaning) return kExitPass;
  switch (verdict_of(*meaning)) {
    case Verdict::pass:
      return kExitPass;
    case Verdict::fail:
      return kExitFail;
    case Verdict::open:
      break;
  }
  return kExitOpen;
}

}  // namespace tautmark::cli
