// SPDX-License-Identifier: Apache-2.0
// `tautmark recording`: one sensor recording by itself.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <memory>

#include "cli/commands.h"
#include "cli/recording_drive.h"
#include "cli/recording_modes.h"
#include "cli/recording_more.h"
#include "recording/decode.h"
#include "recording/read.h"
#include "report/recording_report.h"

namespace tautmark::cli {
namespace {

struct RecordingArguments {
  std::string file, json, plot, paper = "screen";
  DriveArguments drive;
  MoreArguments more;
  double sample_rate = 0;
  SynthesiseArguments synthesise;
  LiveArguments live;
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
  const auto asked = asked_of_drive(arguments.drive);
  if (!asked) return asked.error();
  const auto decoded = decoded_as_asked(*trains, *asked, decoding);
  if (!decoded) {
    fmt::print(stderr, "{}: {}\n", arguments.file, decoded.error().why);
    return kExitInput;
  }
  const auto before = before_asked(arguments.more, options, *decoded);
  if (!before) return before.error();
  std::vector<HealthFinding> health = signal_health(*trains, *decoded);
  const auto meaning = meaning_asked(*asked, *decoded, health);
  const RecordingMeaning* means = meaning ? &*meaning : nullptr;
  const auto extras =
      extras_of(arguments.more, *trains, *decoded, std::move(health), *asked, means, *before);
  if (!extras) return extras.error();
  const std::string name = std::filesystem::path(arguments.file).filename().string();
  if (!arguments.json.empty() &&
      !write_output(arguments.json, recording_json(name, *trains, *decoded, means, &*extras)))
    return kExitInput;
  if (!arguments.plot.empty() &&
      !write_output(arguments.plot, drawing_of(name, *trains, *decoded, means, *asked,
                                               arguments.more, *before, arguments.paper)))
    return kExitInput;
  if (arguments.json != "-" && arguments.plot != "-")
    std::fputs(recording_text(name, *trains, *decoded, means, &*extras).c_str(), stdout);
  return exit_status(meaning);
}

// Options of the ways that make a recording.
void add_modes(CLI::App& recording, RecordingArguments& arguments, CLI::Option* file) {
  SynthesiseArguments& make = arguments.synthesise;
  LiveArguments& live = arguments.live;
  CLI::Option* spec = recording.add_option(
      "--synthesise", make.spec, "Make a recording with known truth from this synthesis file");
  CLI::Option* now = recording.add_flag("--live", live.live, "Capture now, then read the capture");
  CLI::Option* list = recording.add_flag("--list", live.list, "Name the capture devices found");
  recording.add_option("--to", make.to, "The recording that is made; - is standard output");
  recording.add_option("--truth", make.truth, "Write recording-truth/1 as JSON")->needs(spec);
  recording.add_option("--seed", make.seed, "Other chances than the file's")->needs(spec);
  recording.add_flag("--overwrite", make.overwrite, "Replace files that are there");
  recording.add_option("--driver", live.driver, "Of the capture device, see --list");
  recording.add_option("--channels", live.channels, "To capture, as the device names them")
      ->delimiter(',')
      ->needs(now);
  recording.add_option("--seconds", live.seconds, "How long to capture; until Ctrl-C if unsaid")
      ->check(CLI::Range(0.1, 3600.0))
      ->needs(now);
  for (CLI::Option* mode : {spec, now, list}) mode->excludes(file);
  spec->excludes(now)->excludes(list);
}

int run_any(RecordingArguments& arguments) {
  if (!arguments.synthesise.spec.empty()) {
    if (arguments.synthesise.to.empty()) throw CLI::RequiredError("--synthesise: --to FILE");
    return run_synthesise(arguments.synthesise);
  }
  LiveArguments& live = arguments.live;
  if (live.live || live.list) {
    live.to = arguments.synthesise.to;
    live.overwrite = arguments.synthesise.overwrite;
    live.sample_rate = arguments.sample_rate;
    return run_live(live, [&arguments](const std::string& file) {
      arguments.file = file;
      return run_recording(arguments);
    });
  }
  if (arguments.file.empty()) throw CLI::RequiredError("FILE, --synthesise or --live");
  if (!arguments.synthesise.to.empty() || arguments.synthesise.overwrite || !live.driver.empty())
    throw CLI::RequiredError("--to, --overwrite and --driver: --synthesise or --live");
  return run_recording(arguments);
}

}  // namespace

void add_recording(CLI::App& app, int& status) {
  auto arguments = std::make_shared<RecordingArguments>();
  CLI::App* recording =
      app.add_subcommand("recording", "A recording of crank and cam sensors, by itself");
  CLI::Option* file = recording->add_option("FILE", arguments->file,
                                            "The recording; its format is found by content");
  add_modes(*recording, *arguments, file);
  recording->add_option("--json", arguments->json,
                        "Write recording/1 as JSON; - is standard output");
  recording->add_option("--plot", arguments->plot,
                        "Write a drawing (SVG): signals, phases, histograms; - is standard output");
  recording->add_option("--paper", arguments->paper, "screen, dark or print (black and white)")
      ->check(CLI::IsMember({"screen", "dark", "print"}));
  recording
      ->add_option("--sample-rate", arguments->sample_rate,
                   "Samples per second: for files with neither time nor rate, and of --live")
      ->check(CLI::PositiveNumber);
  recording->add_option("--crank", arguments->crank, "The crank's channel, when it is not found")
      ->check(CLI::Range(1, 64));
  recording
      ->add_option("--logic-channels", arguments->logic_channels,
                   "The file is bare packed logic samples of so many channels, one bit each")
      ->check(CLI::Range(1, 64));
  add_drive_options(*recording, arguments->drive);
  add_more_options(*recording, arguments->more);
  recording->footer(
      "Channels count from 1, the time column excluded. Angles are crank degrees after the first\n"
      "tooth behind the largest gap. Nothing is judged without a drive, and nothing passes unless\n"
      "the drive names its sensor edges and --phasers base is said.\n"
      "Exit status: 0, or 2 when the recording could not be used or made; with --drive 0 every\n"
      "camshaft is inside its window, 1 one is outside, 3 nothing failed and something is open,\n"
      "64 wrong usage.");
  recording->callback([arguments, &status] { status = run_any(*arguments); });
}

}  // namespace tautmark::cli
