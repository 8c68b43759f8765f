// SPDX-License-Identifier: Apache-2.0
// `tautmark tighten`: the fasteners of a definition, or of the engine of a case, as cards.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>

#include "base/text.h"
#include "cli/commands.h"
#include "cli/drive_or_case.h"
#include "cli/terminal.h"
#include "cli/tighten_trace.h"
#include "cli/words.h"
#include "judge/tightening.h"
#include "report/fastener_json.h"

namespace tautmark::cli {
namespace {

using Json = nlohmann::ordered_json;

struct TightenArguments {
  std::string name, fastener, json;
  std::vector<std::string> wrenches, drives;
  TraceArguments trace;
};

// "small: 5..25 N·m", or the range alone.
tl::expected<Instrument, std::string> wrench_of(const std::string& text) {
  const std::size_t colon = text.find(':');
  const std::string range(trimmed(colon == std::string::npos ? text : text.substr(colon + 1)));
  const auto read = read_interval(range, Kind::torque);
  if (!read || !read->upper_si) {
    return tl::make_unexpected(fmt::format(
        "--wrench \"{}\": expected a name and the marked range, as in \"small: 5..25 N·m\"", text));
  }
  Instrument instrument;
  instrument.name =
      colon == std::string::npos ? range : std::string(trimmed(text.substr(0, colon)));
  instrument.range = WrittenAnyRange{*read, range};
  return instrument;
}

std::string card_text(const FastenerCard& card, const TextStyle& style) {
  const Fastener& fastener = *card.fastener;
  std::string head = bold(fastener.name, style);
  if (fastener.bank) head += fmt::format(", bank {}", *fastener.bank);
  if (fastener.thread) head += ", " + *fastener.thread;
  if (fastener.strength_class) head += ", class " + *fastener.strength_class;
  if (fastener.count) head += fmt::format(", {} of them", *fastener.count);
  std::string out = "\n" + head + "\n";
  const auto line = [&](const std::string& text) {
    if (!text.empty()) out += "  " + wrapped(text, style.width - 2, 4) + "\n";
  };
  line(card.use);
  int number = 0;
  for (const StepCard& step : card.steps) {
    line(fmt::format("{}. {}", ++number, step.target));
    line(step.wrench.empty() ? "" : "   " + step.wrench);
    for (const std::string& other : step.no_wrench) line("   not " + other);
  }
  line(card.order);
  for (const std::string& ask : card.asks) line("CHECK: " + ask);
  line(card.clamp_load);
  for (const std::string& caution : card.cautions) line("caution: " + caution);
  return out;
}

struct Cards {
  const LoadedDrive* drive = nullptr;
  std::vector<FastenerCard> cards;
};

std::string cards_text(const Cards& all) {
  const Drive& drive = all.drive->drive;
  const TextStyle style = output_style();
  std::string out = drive.invented.value_or(false) ? "INVENTED ENGINE, NOT FOR REAL WORK\n" : "";
  out += fmt::format("{}{}, {}\n", bold(drive.title.value_or(drive.name), style),
                     drive.revision ? ", revision " + *drive.revision : "",
                     drive.checked_by ? "checked by " + *drive.checked_by : "NOT CHECKED");
  if (all.drive->unconfirmed.contains(std::string(topic::kTorques))) {
    out += fmt::format("{}\n", kTorquesUnconfirmed);
  }
  if (all.cards.empty()) out += "No fasteners in the definition: follow the engine maker.\n";
  for (const FastenerCard& card : all.cards) out += card_text(card, style);
  return out +
         "\nThe engine maker's current data for this exact engine come first. Nothing here "
         "approves "
         "a joint.\n";
}

int run_tighten(const TightenArguments& arguments) {
  auto source = read_drive_or_case(arguments.name, arguments.drives);
  if (!source) return report_input(source.error());
  if (const TraceArguments& trace = arguments.trace; !trace.file.empty()) {
    if (!arguments.fastener.empty()) return run_tighten_trace(*source, arguments.fastener, trace);
    fmt::print(stderr, "--trace wants the FASTENER that was tightened\n");
    return kExitUsage;
  }
  std::vector<Instrument> instruments;
  if (source->work) instruments = source->work->value.value.instruments;
  for (const std::string& text : arguments.wrenches) {
    const auto wrench = wrench_of(text);
    if (!wrench) {
      fmt::print(stderr, "{}\n", wrench.error());
      return kExitUsage;
    }
    instruments.push_back(*wrench);
  }
  if (source->drives.empty()) {
    fmt::print(stderr, "{}: the case names no drive, so there are no fasteners to show\n",
               arguments.name);
    return kExitInput;
  }
  const std::vector<tighten::Wrench> wrenches = torque_wrenches(instruments);
  std::vector<std::string> known;
  Json json = {{"schema", "tightening/1"}, {"drives", Json::array()}};
  std::string text;
  for (const LoadedDrive& drive : source->drives) {
    Cards all{.drive = &drive, .cards = fastener_cards(drive.drive, wrenches)};
    for (const FastenerCard& card : all.cards) known.push_back(card.fastener->name);
    if (!arguments.fastener.empty()) {
      std::erase_if(all.cards, [&](const FastenerCard& card) {
        return folded(card.fastener->name) != folded(arguments.fastener);
      });
      if (all.cards.empty()) continue;
    }
    text += (text.empty() ? "" : "\n") + cards_text(all);
    json["drives"].push_back(tightening_json(drive, all.cards));
  }
  if (text.empty()) {
    const auto near = nearest(arguments.fastener, known);
    fmt::print(stderr, "no fastener \"{}\"{}\n", arguments.fastener,
               near ? fmt::format("; did you mean \"{}\"?", *near)
                    : fmt::format("; known: {}", joined(known, ", ")));
    return kExitUsage;
  }
  if (!arguments.json.empty() && !write_output(arguments.json, json.dump(1) + "\n")) {
    return kExitInput;
  }
  if (arguments.json != "-") std::fputs(text.c_str(), stdout);
  return kExitPass;
}

}  // namespace

namespace {

void add_trace_options(CLI::App& command, TightenArguments& arguments) {
  TraceArguments& trace = arguments.trace;
  command.add_option("--trace", trace.file,
                     "A recorded tightening of FASTENER: torque over angle, as text");
  const auto with_trace = [&](CLI::Option* option) {
    option->needs("--trace")->group("With --trace");
    return option;
  };
  with_trace(
      command.add_option("--step", trace.step, "One of its steps, from 1; else all of them"));
  with_trace(command.add_option("--thread", trace.thread, "Thread with pitch, \"M10x1.25\""));
  with_trace(command.add_option("--class", trace.strength_class, "Strength class, \"10.9\""));
  with_trace(command.add_option("--condition", trace.condition, "\"threads oiled\", \"dry\""));
  with_trace(command.add_option("--plot", trace.plot, "Write the drawing (SVG); - is output"));
  with_trace(command.add_option("--paper", trace.paper, "screen, dark or print (black and white)"))
      ->check(CLI::IsMember({"screen", "dark", "print"}));
}

}  // namespace

void add_tighten(CLI::App& app, int& status) {
  auto arguments = std::make_shared<TightenArguments>();
  CLI::App* command = app.add_subcommand(
      "tighten",
      "Tightening steps in every unit, the wrench to take, what to ask first; a recorded "
      "tightening");
  command
      ->add_option("DRIVE|CASE", arguments->name,
                   "A drive by name or file; or a case: its engine and its list of wrenches")
      ->required();
  command->add_option("FASTENER", arguments->fastener, "This fastener alone, by name");
  command
      ->add_option("--wrench", arguments->wrenches,
                   "A torque wrench at hand with its marked range, \"small: 5..25 N·m\"; may be "
                   "repeated")
      ->allow_extra_args(false);
  command->add_option("--json", arguments->json,
                      "Write tightening/1, of a trace tightening-trace/1; - is standard output");
  add_trace_options(*command, *arguments);
  command
      ->add_option("--drives", arguments->drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
  command->footer(
      "Exit status: 0; of a trace 1 where the bolt must come out, else 3, for a trace approves no "
      "joint; 2 the input could not be used, 64 wrong usage.");
  command->callback([arguments, &status] {
    arguments->trace.json = arguments->json;
    status = run_tighten(*arguments);
  });
}

}  // namespace tautmark::cli
