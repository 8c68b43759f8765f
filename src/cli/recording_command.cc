// SPDX-License-Identifier: Apache-2.0
// `tautmark recording`: one sensor recording by itself.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <memory>

#include "cli/commands.h"
#include "cli/recording_drive.h"
#include "recording/decode.h"
#include "recording/read.h"
#include "report/recording_report.h"

namespace tautmark::cli {
namespace {

struct RecordingArguments {
  std::string file, json;
  DriveArguments drive;
  double sample_rate = 0;
  int crank = 0;
};

int run_recording(const RecordingArguments& arguments) {
  RecordingOptions options;
  if (arguments.sample_rate > 0) options.sample_rate = arguments.sample_rate;
  const auto trains = read_recording(arguments.file, options);
  if (!trains) return report_input(trains.error());
  DecodeOptions decoding;
  decoding.crank_channel = arguments.crank;
  const auto asked = asked_of_drive(arguments.drive);
  if (!asked) return asked.error();
  const auto decoded = decoded_as_asked(*trains, *asked, decoding);
  if (!decoded) {
    fmt::print(stderr, "{}: {}\n", arguments.file, decoded.error().why);
    return kExitInput;
  }
  const auto meaning = meaning_asked(*asked, *decoded);
  const RecordingMeaning* means = meaning ? &*meaning : nullptr;
  const std::string name = std::filesystem::path(arguments.file).filename().string();
  if (!arguments.json.empty() &&
      !write_output(arguments.json, recording_json(name, *trains, *decoded, means)))
    return kExitInput;
  if (arguments.json != "-")
    std::fputs(recording_text(name, *trains, *decoded, means).c_str(), stdout);
  return exit_status(meaning);
}

}  // namespace

void add_recording(CLI::App& app, int& status) {
  auto arguments = std::make_shared<RecordingArguments>();
  CLI::App* recording =
      app.add_subcommand("recording", "A recording of crank and cam sensors, by itself");
  recording->add_option("FILE", arguments->file, "The recording; its format is found by content")
      ->required();
  recording->add_option("--json", arguments->json,
                        "Write recording/1 as JSON; - is standard output");
  recording
      ->add_option("--sample-rate", arguments->sample_rate,
                   "Samples per second, for files with neither time nor rate")
      ->check(CLI::PositiveNumber);
  recording->add_option("--crank", arguments->crank, "The crank's channel, when it is not found")
      ->check(CLI::Range(1, 64));
  add_drive_options(*recording, arguments->drive);
  recording->footer(
      "Channels count from 1, the time column excluded. Angles are crank degrees after the first\n"
      "tooth behind the largest gap. Nothing is judged without a drive, and nothing passes unless\n"
      "the drive names its sensor edges and --phasers base is said.\n"
      "Exit status: 0, or 2 when the recording could not be used; with --drive 0 every camshaft "
      "is\n"
      "inside its window, 1 one is outside, 3 nothing failed and something is open, 64 wrong "
      "usage.");
  recording->callback([arguments, &status] { status = run_recording(*arguments); });
}

}  // namespace tautmark::cli
