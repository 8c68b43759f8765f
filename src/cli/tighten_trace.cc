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
#include "draw/trace_plot.h"
#include "judge/case_traces.h"
#include "judge/trace_words.h"

namespace tautmark::cli {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

// One tightening with all that is known of it.
struct Analysed {
  Drive drive{};
  Fastener fastener{};
  TraceExpected expected{};
  tighten::Trace trace{};
  std::optional<tighten::TraceResult> result{};
  std::optional<OtherTraces> others{};
  std::string differs{};
};

void take_over(Fastener& fastener, const TraceArguments& arguments) {
  if (arguments.thread) fastener.thread = arguments.thread;
  if (arguments.strength_class) fastener.strength_class = arguments.strength_class;
  if (arguments.condition) fastener.condition = arguments.condition;
}

// Candidates that tell the fastener differently leave open which one is meant.
tl::expected<LoadedDrive, std::string> drive_with(const DriveOrCase& source,
                                                  const std::string& fastener) {
  std::vector<std::string> known;
  const LoadedDrive* found = nullptr;
  for (const LoadedDrive& drive : source.drives) {
    for (const Fastener& one : drive.drive.fasteners) known.push_back(one.name);
    const Fastener* here = fastener_named(drive.drive, fastener);
    if (here == nullptr) continue;
    if (found != nullptr && !(*here == *fastener_named(found->drive, fastener)))
      return tl::make_unexpected(
          fmt::format("{} differs between {} and {}: name the drive instead of the case", fastener,
                      found->drive.name, drive.drive.name));
    found = &drive;
  }
  if (found != nullptr) return *found;
  const auto near = nearest(fastener, known);
  return tl::make_unexpected(fmt::format(
      "no fastener \"{}\"; {}", fastener,
      near ? fmt::format("did you mean \"{}\"?", *near) : "known: " + joined(known, ", ")));
}

std::optional<OtherTraces> others_of(const DriveOrCase& source, const LoadedDrive& drive,
                                     const Analysed& asked, const std::string& file) {
  if (!source.work) return std::nullopt;
  const CheckInput input = check_input(source.work->value, &drive);
  const std::vector<TraceOfCase> traces = case_traces(input);
  const auto self = std::find_if(traces.begin(), traces.end(), [&](const TraceOfCase& trace) {
    std::error_code code;
    return fs::equivalent(input.folder / trace.body->file, file, code);
  });
  return other_traces(
      gradients_of_others(traces, asked.fastener.name, self == traces.end() ? nullptr : &*self));
}

Json number_or_null(const auto& value, auto in) { return value ? Json(in(*value)) : Json(nullptr); }

Json spot_json(const std::optional<tighten::TraceSpot>& spot) {
  if (!spot) return nullptr;
  return {{"angle_deg", in_deg(spot->angle)}, {"torque_Nm", spot->torque.si()}};
}

Json load_json(const std::optional<tighten::TracePreload>& load) {
  if (!load) return nullptr;
  return {{"low_N", load->low.si()}, {"high_N", load->high.si()}};
}

std::string_view answer_name(const Analysed& one) {
  if (!one.result) return "not judged";
  switch (one.result->answer) {
    case tighten::TraceAnswer::signs_found:
      return "signs found";
    case tighten::TraceAnswer::not_decided:
      return "not decided";
    case tighten::TraceAnswer::nothing_found:
      return "nothing found";
  }
  return "";
}

bool take_new(const Analysed& one) { return one.fastener.single_use.value_or(true); }

Json values_json(const tighten::TraceResult& r) {
  const auto si = [](const auto& quantity) { return quantity.si(); };
  const auto degrees = [](Angle angle) { return in_deg(angle); };
  return {{"prevailing_Nm", number_or_null(r.prevailing, si)},
          {"closed", spot_json(r.snug)},
          {"gradient_Nm_per_deg", number_or_null(r.gradient, si)},
          {"gradient_U_Nm_per_deg", number_or_null(r.gradient_expanded, si)},
          {"origin_deg", number_or_null(r.origin, degrees)},
          {"clamp_angle_deg", number_or_null(r.clamp_angle, degrees)},
          {"yield", spot_json(r.yield)},
          {"plastic_angle_deg", number_or_null(r.plastic_angle, degrees)},
          {"end", spot_json(r.end)},
          {"clamp_load_by_torque", load_json(r.by_torque)},
          {"clamp_load_by_angle", load_json(r.by_angle)},
          {"strokes", r.strokes}};
}

Json json_of(const Analysed& one, const TraceArguments& arguments) {
  Json json = {{"schema", "tightening-trace/1"},
               {"drive", one.drive.name},
               {"fastener", one.fastener.name},
               {"file", fs::path(arguments.file).filename().string()},
               {"step", arguments.step ? Json(*arguments.step) : Json(nullptr)},
               {"answer", answer_name(one)},
               {"missing", one.expected.missing},
               {"assumed", one.expected.assumed},
               {"notes", one.trace.notes},
               {"signs", Json::array()}};
  if (!one.result) return json;
  for (const tighten::TraceFinding& sign : one.result->findings) {
    const bool out = must_come_out(sign.sign);
    json["signs"].push_back(
        {{"sign", tighten::trace_sign_name(sign.sign)},
         {"why", sign.why},
         {"looks_the_same", sign.not_told_from},
         {"take_out", out},
         {"follows", out ? what_follows(sign.sign, take_new(one)) : std::vector<std::string>{}}});
  }
  json["open"] = one.result->open;
  json["cannot_be_told"] = one.result->cannot_be_told;
  json["differs"] = one.differs;
  json["others"] = one.others ? Json{{"count", one.others->count},
                                     {"gradient_Nm_per_deg", one.others->gradient.si()},
                                     {"spread", one.others->spread}}
                              : Json(nullptr);
  json["values"] = values_json(*one.result);
  return json;
}

std::string text_of(const Analysed& one, const TraceArguments& arguments) {
  const TextStyle style = output_style();
  std::string out =
      one.drive.invented.value_or(false) ? "INVENTED ENGINE, NOT FOR REAL WORK\n" : "";
  out += fmt::format("{}, {}: {}\n", bold(one.fastener.name, style),
                     fs::path(arguments.file).filename().string(), answer_name(one));
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
      for (const std::string& follows : what_follows(sign.sign, take_new(one)))
        line("  " + follows);
    }
    if (!one.differs.empty()) line("CHECK: " + one.differs);
    for (const std::string& open : one.result->open) line("open: " + open);
    line("no trace shows " + joined(one.result->cannot_be_told, "; "));
  }
  for (const std::string& assumed : one.expected.assumed) line("assumed: " + assumed);
  for (const std::string& note : one.trace.notes) line("in the file: " + note);
  return out + "\nA trace approves no joint. The engine maker's data come first.\n";
}

std::string plot_of(const Analysed& one, const TraceArguments& arguments) {
  const tighten::ExpectedStep& step = *one.expected.step;
  TracePlot plot{.title = one.fastener.name + ", " + fs::path(arguments.file).filename().string(),
                 .invented = one.drive.invented.value_or(false),
                 .trace = one.trace,
                 .result = *one.result,
                 .target = step.target,
                 .snug = step.snug};
  plot.facts = {{"engine", one.drive.title.value_or(one.drive.name)},
                {"bolt", fmt::format("{}, {}", step.thread.shown, step.strength.name)},
                {"friction", fmt::format("{:.2f} to {:.2f}, {}", step.friction.low,
                                         step.friction.high, step.friction.condition)},
                {"answer", std::string(answer_name(one))}};
  if (one.others)
    plot.band = GradientBand{one.others->gradient * (1 - std::min(0.9, 3 * one.others->spread)),
                             one.others->gradient * (1 + 3 * one.others->spread),
                             fmt::format("by {} other bolts of this fastener", one.others->count)};
  return trace_svg(plot, {.paper = *paper_named(arguments.paper)});
}

int status_of(const Analysed& one) {
  if (!one.result) return kExitOpen;
  const auto& signs = one.result->findings;
  return std::any_of(signs.begin(), signs.end(),
                     [](const auto& sign) { return must_come_out(sign.sign); })
             ? kExitFail
             : kExitOpen;
}

}  // namespace

int run_tighten_trace(const DriveOrCase& source, const std::string& fastener,
                      const TraceArguments& arguments) {
  auto drive = drive_with(source, fastener);
  if (!drive) {
    fmt::print(stderr, "{}\n", drive.error());
    return kExitUsage;
  }
  for (Fastener& one : drive->drive.fasteners)
    if (folded(one.name) == folded(fastener)) take_over(one, arguments);
  Analysed one{.drive = drive->drive, .fastener = *fastener_named(drive->drive, fastener)};
  one.expected = trace_expected(one.fastener, arguments.step);
  auto trace = read_trace_file(arguments.file, arguments.file);
  if (!trace) return report_input(trace.error());
  one.trace = std::move(*trace);
  if (one.expected.step) {
    one.others = others_of(source, *drive, one, arguments.file);
    if (one.others) one.expected.step->slope = slope_of(*one.others, *one.expected.step);
    auto result = tighten::analyse_trace(one.trace, *one.expected.step);
    if (!result) {
      fmt::print(stderr, "{}: {}\n", arguments.file, result.error().why);
      return kExitInput;
    }
    one.result = std::move(*result);
    if (one.others && one.result->gradient)
      one.differs = differs_from_others(*one.result->gradient, *one.others);
  }
  if (!arguments.json.empty() &&
      !write_output(arguments.json, json_of(one, arguments).dump(1) + "\n"))
    return kExitInput;
  if (!arguments.plot.empty()) {
    if (!one.result)
      fmt::print(stderr, "nothing is drawn before what is asked is known\n");
    else if (!write_output(arguments.plot, plot_of(one, arguments)))
      return kExitInput;
  }
  if (arguments.json != "-" && arguments.plot != "-")
    std::fputs(text_of(one, arguments).c_str(), stdout);
  return status_of(one);
}

}  // namespace tautmark::cli
