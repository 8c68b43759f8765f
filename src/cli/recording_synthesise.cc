// SPDX-License-Identifier: Apache-2.0
// `tautmark recording --synthesise`: a recording with known truth.
#include <fmt/format.h>

#include <cstdio>
#include <filesystem>

#include "cli/commands.h"
#include "cli/recording_modes.h"
#include "recording/synthesis_verdict.h"
#include "report/recording_truth.h"

namespace tautmark::cli {

bool write_recording(const std::string& file, const std::string& bytes, bool overwrite) {
  return file == "-" || overwrite ? write_output(file, bytes) : write_new_file(file, bytes);
}

int run_synthesise(const SynthesiseArguments& arguments) {
  if (!arguments.truth.empty() && arguments.truth == arguments.to) {
    fmt::print(stderr, "--to and --truth name the same file\n");
    return kExitUsage;
  }
  const auto file = load_text_file(arguments.spec, arguments.spec);
  if (!file) return report_input(file.error());
  auto plan = read_synthesis(*file, arguments.to);
  if (!plan) return report_input(plan.error());
  if (arguments.seed) plan->engine.seed = *arguments.seed;
  const auto made = make_recording(*plan);
  if (!made) {
    fmt::print(stderr, "{}: error: {}\n", arguments.spec, made.error().why);
    return kExitInput;
  }
  if (!write_recording(arguments.to, made->bytes, arguments.overwrite)) return kExitInput;
  const std::string name = std::filesystem::path(arguments.to).filename().string();
  if (!arguments.truth.empty() &&
      !write_recording(arguments.truth, recording_truth_json(name, *plan, made->made),
                       arguments.overwrite))
    return kExitInput;
  // Without the answer: the truth file has it.
  if (arguments.to != "-" && arguments.truth != "-")
    fmt::print("{}: {}, {} channels, {:.3f} s, seed {}; invented, not a real engine\n",
               arguments.to, choice_name(plan->format), plan->names.size(),
               made->made.trains.last_time, plan->engine.seed);
  return kExitPass;
}

}  // namespace tautmark::cli
