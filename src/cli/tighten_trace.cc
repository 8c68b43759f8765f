// SPDX-License-Identifier: Apache-2.0
#include "cli/tighten_trace.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "base/text.h"
#include "cli/commands.h"
#include "cli/terminal.h"
#include "cli/words.h"
#include "judge/trace_words.h"
#include "report/trace_report.h"

namespace tautmark::cli {
namespace {

namespace fs = std::filesystem;

std::optional<OtherTraces> others_of(const DriveOrCase& source, const LoadedDrive& drive,
                                     const std::string& fastener, const std::string& file) {
  if (!source.work) return std::nullopt;
  const CheckInput input = check_input(source.work->value, &drive);
  const std::vector<TraceOfCase> traces = case_traces(input);
  const auto self = std::find_if(traces.begin(), traces.end(), [&](const TraceOfCase& trace) {
    std::error_code code;
    return fs::equivalent(input.folder / trace.body->file, file, code);
  });
  return other_traces(
      gradients_of_others(traces, fastener, self == traces.end() ? nullptr : &*self));
}

std::string text_of(const TraceJudged& one) {
  const TextStyle style = output_style();
  std::string out = one.invented ? "INVENTED ENGINE, NOT FOR REAL WORK\n" : "";
  out += fmt::format("{}, {}: {}\n", bold(one.fastener, style), one.file, trace_answer(one));
  const auto line = [&](const std::string& text) {
    out += "  " + wrapped(text, style.width - 2, 4) + "\n";
  };
  for (const std::string& missing : one.expected.missing) line("ASKED: " + missing);
  if (!one.expected.missing.empty())
    line("read it off the bolt or the maker's data; --thread, --class and --condition take it");
  if (one.result) {
    for (const std::string& sentence : trace_sentences(*one.result, *one.expected.step))
      line(sentence);
    for (const tighten::TraceFinding& sign : one.result->findings) {
      line(fmt::format("{}: {}. Looks the same: {}", tighten::trace_sign_name(sign.sign), sign.why,
                       sign.not_told_from));
      if (!must_come_out(sign.sign)) continue;
      for (const std::string& follows : what_follows(sign.sign, one.take_new)) line("  " + follows);
    }
    if (!one.differs.empty()) line("CHECK: " + one.differs);
    for (const std::string& open : one.result->open) line("open: " + open);
    line("no trace shows " + joined(one.result->cannot_be_told, "; "));
  }
  for (const std::string& assumed : one.expected.assumed) line("assumed: " + assumed);
  for (const std::string& note : one.trace.notes) line("in the file: " + note);
  return out + "\nA trace approves no joint. The engine maker's data come first.\n";
}

// True: written, or not asked for.
bool write_files(const TraceJudged& one, const TraceArguments& arguments) {
  if (!arguments.json.empty() && !write_output(arguments.json, trace_json(one).dump(1) + "\n"))
    return false;
  if (arguments.plot.empty()) return true;
  if (one.result)
    return write_output(arguments.plot, trace_drawing(one, *paper_named(arguments.paper)));
  fmt::print(stderr, "nothing is drawn before what is asked is known\n");
  return true;
}

}  // namespace

int run_tighten_trace(const DriveOrCase& source, const std::string& fastener,
                      const TraceArguments& arguments) {
  std::vector<const LoadedDrive*> drives;
  for (const LoadedDrive& drive : source.drives) drives.push_back(&drive);
  const auto drive = drive_of_fastener(drives, fastener);
  if (!drive) {
    fmt::print(stderr, "{}\n", drive.error());
    return kExitUsage;
  }
  auto trace = read_trace_file(arguments.file, arguments.file);
  if (!trace) return report_input(trace.error());
  auto one = judge_trace(**drive, fastener, arguments.step,
                         {arguments.thread, arguments.strength_class, arguments.condition},
                         std::move(*trace), others_of(source, **drive, fastener, arguments.file));
  if (!one) {
    fmt::print(stderr, "{}: {}\n", arguments.file, one.error().why);
    return kExitInput;
  }
  one->file = fs::path(arguments.file).filename().string();
  if (!write_files(*one, arguments)) return kExitInput;
  if (arguments.json != "-" && arguments.plot != "-") std::fputs(text_of(*one).c_str(), stdout);
  return is_take_out(*one) ? kExitFail : kExitOpen;
}

}  // namespace tautmark::cli
