// SPDX-License-Identifier: Apache-2.0
// Recorded tightenings of a case: what each shows, drawn, and one that is not kept yet judged
// before it is; tightening-trace/1, docs/tightening.md.
#include <fmt/format.h>

#include <nlohmann/json.hpp>
#include <set>

#include "base/text.h"
#include "casework/view.h"
#include "drive/places.h"
#include "judge/judge.h"
#include "report/trace_report.h"
#include "serve/case_reading.h"
#include "serve/handlers.h"
#include "serve/stored_traces.h"
#include "tighten/trace_read.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

// The case with the files of the traces of one fastener, and those judged by its definition.
struct TracesRead {
  CaseInHand in_hand;
  std::string no_drive;  // why there is no definition; empty: there is one
  const LoadedDrive* drive = nullptr;
  std::vector<TraceOfCase> traces;
};

Answered<CaseInHand> with_traces(Shop& shop, const CaseRead& read, const std::string& fastener) {
  std::set<std::string> names;
  for (const Entry& entry : read.loaded.value.entries)
    if (const auto* trace = std::get_if<TorqueTrace>(&entry.body);
        trace != nullptr && folded(trace->fastener) == folded(fastener))
      names.insert(trace->file);
  return case_in_hand(shop, read, names);
}

void judge_traces(TracesRead& read, const std::string& fastener) {
  const auto drive = drive_of_fastener(drives_in_use(read.in_hand.loaded), fastener);
  if (drive)
    read.drive = *drive;
  else
    read.no_drive = drive.error();
  CheckInput input;
  input.value = &read.in_hand.loaded.value;
  input.folder = read.in_hand.loaded.file.parent_path();
  input.drive = read.drive;
  read.traces = case_traces(input);
}

struct TraceAsked {
  TraceJudged judged;
  std::int64_t after_record = 0;  // the last one of the case that it rests on
};

// The entry with the others of its fastener; 404 where it is none in force.
Answered<TraceAsked> trace_asked(Shop& shop, Request& request) {
  const auto in_case = read_case(shop, request.parts.at("case"));
  if (!in_case) return answer_with(in_case.error());
  const TorqueTrace* body = nullptr;
  for (const Entry* entry : entries_in_order_of_work(in_case->loaded.value))
    if (entry->id == request.parts.at("entry")) body = std::get_if<TorqueTrace>(&entry->body);
  if (body == nullptr)
    return answer_with(problem(404, "Not there", "no torque trace in force has this number"));
  TracesRead read;
  auto in_hand = with_traces(shop, *in_case, body->fastener);
  if (!in_hand) return answer_with(in_hand.error());
  read.in_hand = std::move(*in_hand);
  judge_traces(read, body->fastener);
  for (const TraceOfCase& seen : read.traces) {
    if (seen.entry->id != request.parts.at("entry")) continue;
    tighten::Trace trace;
    const auto file = read.in_hand.loaded.file.parent_path() / seen.body->file;
    if (seen.problem.empty())
      if (auto again = read_trace_file(file, seen.body->file)) trace = std::move(*again);
    TraceJudged judged = judged_of_case(read.drive, seen, std::move(trace));
    if (!read.no_drive.empty()) judged.expected.missing.push_back(read.no_drive);
    return TraceAsked{std::move(judged), in_case->kept->summary.head_seq};
  }
  return answer_with(problem(404, "Not there", "no torque trace in force has this number"));
}

Response trace_response(const TraceJudged& judged, const Json& entry, const Json& after_record) {
  Json json = trace_json(judged, true);
  json["entry"] = entry;
  json["after_record"] = after_record;
  return json_response(json.dump(-1, ' ', false, Json::error_handler_t::replace));
}

Response case_trace(Shop& shop, Request& request) {
  const auto found = trace_asked(shop, request);
  if (!found) return found.error();
  return trace_response(found->judged, request.parts.at("entry"), found->after_record);
}

Response case_trace_plot(Shop& shop, Request& request) {
  const std::string said = asked(request, "paper");
  const auto paper = paper_named(said.empty() ? "screen" : said);
  if (!paper) return problem(400, "Wrong question", "the paper is screen, dark or print");
  const auto found = trace_asked(shop, request);
  if (!found) return found.error();
  if (!found->judged.result)
    return problem(404, "Not there", "nothing is drawn before what is asked is known");
  return text_response("image/svg+xml", trace_drawing(found->judged, *paper));
}

struct TraceSaid {
  std::string fastener;
  std::optional<int> bolt, step;
  FastenerSaid of;
};
Answered<TraceSaid> trace_said(const Request& request) {
  constexpr std::int64_t kMost = 1000;
  const auto bolt = number_asked(request, "bolt", 0, 1, kMost);
  if (!bolt) return answer_with(bolt.error());
  const auto step = number_asked(request, "step", 0, 1, kMost);
  if (!step) return answer_with(step.error());
  const auto bank = number_asked(request, "bank", 0, 1, kMost);
  if (!bank) return answer_with(bank.error());
  TraceSaid said{.fastener = asked(request, "fastener"), .bolt = {}, .step = {}, .of = {}};
  if (*bolt > 0) said.bolt = static_cast<int>(*bolt);
  if (*step > 0) said.step = static_cast<int>(*step);
  const auto text = [&](std::string_view name) -> std::optional<std::string> {
    std::string words = asked(request, name);
    return words.empty() ? std::nullopt : std::optional(std::move(words));
  };
  said.of = {text("thread"), text("class"), text("condition"), {}};
  if (*bank > 0) said.of.bank = static_cast<int>(*bank);
  return said;
}

Response read_it(Shop& shop, Request& request) {
  const auto said = trace_said(request);
  if (!said) return said.error();
  const auto in_case = read_case(shop, request.parts.at("case"));
  if (!in_case) return in_case.error();
  auto trace = tighten::read_trace("trace", request.body);
  if (!trace) return no_trace(trace.error());
  TracesRead read;
  auto in_hand = with_traces(shop, *in_case, said->fastener);
  if (!in_hand) return in_hand.error();
  read.in_hand = std::move(*in_hand);
  judge_traces(read, said->fastener);
  if (read.drive == nullptr) return problem(422, "Not judged", read.no_drive);
  TorqueTrace body;
  body.fastener = said->fastener;
  body.bolt = said->bolt;
  TraceOfCase self;
  self.body = &body;
  self.fastener = fastener_named(read.drive->drive, said->fastener, said->of.bank);
  if (self.fastener == nullptr)
    return problem(422, "Not judged",
                   fmt::format("the definition has no \"{}\" of bank {}", said->fastener,
                               said->of.bank.value_or(0)));
  auto judged = judge_trace(*read.drive, said->fastener, said->step, said->of, std::move(*trace),
                            other_traces(gradients_of_others(read.traces, said->fastener, &self)));
  if (!judged) return problem(422, "No trace", judged.error().why);
  judged->bolt = said->bolt;
  return trace_response(*judged, nullptr, nullptr);
}

}  // namespace

Response no_trace(const Diagnostics& found) {
  Response response = problem_of(found);
  auto json = Json::parse(std::get<std::string>(response.body), nullptr, false);
  if (json.is_discarded()) return response;
  json["title"] = "No trace";
  const Diagnostic& first = found.front();
  std::string where;
  if (first.place.line > 0) where += fmt::format("line {}", first.place.line);
  if (first.place.column > 0) where += fmt::format(", column {}", first.place.column);
  json["detail"] = fmt::format("it cannot be read as a torque trace and was not kept: {}{}{}{}",
                               where, where.empty() ? "" : ": ", first.message,
                               first.hint.empty() ? "" : "; " + first.hint);
  response.body = json.dump(-1, ' ', false, Json::error_handler_t::replace);
  return response;
}

std::optional<Response> unreadable_trace(Shop& shop, const StoredFile& file) {
  if (file.bytes > kMostTraceUpload)
    return problem(422, "No trace",
                   fmt::format("a torque trace has at most {} MB", kMostTraceUpload >> 20));
  const auto in_hand = file_in_hand(shop, file);
  if (!in_hand) return in_hand.error();
  const auto trace = read_trace_file(in_hand->path, "trace");
  if (trace) return std::nullopt;
  return no_trace(trace.error());
}

std::span<const Handler> trace_handlers() {
  static constexpr Handler kHandlers[] = {
      {"caseTrace", &case_trace},
      {"caseTracePlot", &case_trace_plot},
      {"readTrace", &read_it, nullptr, kMostTraceUpload},
  };
  return kHandlers;
}

}  // namespace tautmark
