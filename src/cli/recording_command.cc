// SPDX-License-Identifier: Apache-2.0
// `tautmark recording`: one sensor recording by itself.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <memory>

#include "cli/commands.h"
#include "recording/decode.h"
#include "recording/read.h"
#include "report/recording_report.h"

namespace tautmark::cli {
namespace {

struct RecordingArguments {
  std::string file, json;
  double sample_rate = 0;
  int crank = 0, logic_channels = 0;
};

int run_recording(const RecordingArguments& arguments) {
  RecordingOptions options;
  if (arguments.sample_rate > 0) options.sample_rate = arguments.sample_rate;
  if (arguments.logic_channels > 0) options.packed_logic_channels = arguments.logic_channels;
  const auto trains = read_recording(arguments.file, options);
  if (!trains) return report_input(trains.error());
  DecodeOptions decoding;
  decoding.crank_channel = arguments.crank;
  const auto decoded = decode_recording(*trains, decoding);
  if (!decoded) {
    fmt::print(stderr, "{}: {}\n", arguments.file, decoded.error().why);
    return kExitInput;
  }
  const std::string name = std::filesystem::path(arguments.file).filename().string();
  if (!arguments.json.empty() &&
      !write_output(arguments.json, recording_json(name, *trains, *decoded)))
    return kExitInput;
  if (arguments.json != "-") std::fputs(recording_text(name, *trains, *decoded).c_str(), stdout);
  return kExitPass;
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
  recording
      ->add_option("--logic-channels", arguments->logic_channels,
                   "The file is bare packed logic samples of so many channels, one bit each")
      ->check(CLI::Range(1, 64));
  recording->footer(
      "Channels count from 1, the time column excluded. Angles are crank degrees after the first\n"
      "tooth behind the largest gap. Nothing is judged without edges known to be right.\n"
      "Exit status: 0, or 2 when the recording could not be used.");
  recording->callback([arguments, &status] { status = run_recording(*arguments); });
}

}  // namespace tautmark::cli
