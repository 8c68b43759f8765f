// SPDX-License-Identifier: Apache-2.0
#include "judge/case_traces.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "drive/places.h"
#include "judge/case_recordings.h"
#include "recording/mapped_file.h"
#include "tighten/trace_read.h"

namespace tautmark {
namespace {

constexpr std::string_view kSaveAgain =
    "save the trace as text with torque, angle and their units, and enter it anew";

void set_problem(TraceOfCase& seen, std::string problem, std::string decides) {
  seen.problem = std::move(problem);
  seen.decides = std::move(decides);
}

void analyse(TraceOfCase& seen, const tighten::Trace& trace) {
  auto result = analysed(trace, *seen.expected.step, seen.others);
  if (!result) {
    return set_problem(seen, fmt::format("{}: {}", seen.body->file, result.error().why),
                       "record from before the head touches to the end of the step");
  }
  seen.result = std::move(*result);
}

bool shows_damage(const tighten::TraceResult& result) {
  using enum tighten::TraceSign;
  return std::any_of(result.findings.begin(), result.findings.end(), [](const auto& finding) {
    return finding.sign == cross_threaded || finding.sign == stripped || finding.sign == bottomed ||
           finding.sign == not_straight;
  });
}

// Nothing where the file cannot be used; then the trace has a `problem`.
std::optional<tighten::Trace> read_for(const CheckInput& input, TraceOfCase& seen) {
  const std::filesystem::path file = input.folder / seen.body->file;
  if (changed_since(seen.body->sha256, file)) {
    set_problem(seen,
                fmt::format("{} is not the file that was entered: its SHA-256 sum is another",
                            seen.body->file),
                "find the file as it was recorded, or enter the trace anew");
    return std::nullopt;
  }
  auto trace = read_trace_file(file, seen.body->file);
  if (trace) return std::move(*trace);
  const Diagnostic& first = trace.error().front();
  const std::string line = first.place.line > 0 ? fmt::format(", line {}", first.place.line) : "";
  set_problem(seen, fmt::format("{}{}: {}", seen.body->file, line, first.message),
              first.hint.empty() ? std::string(kSaveAgain) : first.hint);
  return std::nullopt;
}

}  // namespace

Parsed<tighten::Trace> read_trace_file(const std::filesystem::path& file,
                                       const std::string& shown) {
  const auto mapped = MappedFile::open(file.string());
  if (!mapped) {
    Diagnostic diagnostic;
    diagnostic.place.file = shown;
    diagnostic.message = mapped.error().why;
    return tl::make_unexpected(Diagnostics{diagnostic});
  }
  return tighten::read_trace(shown, mapped->bytes());
}

Result<tighten::TraceResult> analysed(const tighten::Trace& trace, tighten::ExpectedStep step,
                                      const std::optional<OtherTraces>& others) {
  if (others) step.slope = slope_of(*others, step);
  return tighten::analyse_trace(trace, step);
}

std::vector<Torque> gradients_of_others(const std::vector<TraceOfCase>& traces,
                                        std::string_view fastener, const TraceOfCase* but) {
  std::vector<Torque> gradients;
  for (const TraceOfCase& other : traces) {
    if (!other.result || !other.result->gradient || shows_damage(*other.result)) continue;
    if (folded(other.body->fastener) != folded(fastener)) continue;
    // Of the other bank; one that is only read for now, or of no definition, has no fastener.
    if (but != nullptr && but->fastener != nullptr && but->fastener != other.fastener) continue;
    const bool is_same_bolt = but != nullptr && but->body->bolt == other.body->bolt &&
                              (but->body->bolt || but->body->file == other.body->file);
    if (&other != but && !is_same_bolt) gradients.push_back(*other.result->gradient);
  }
  return gradients;
}

std::vector<TraceOfCase> case_traces(const CheckInput& input) {
  std::vector<TraceOfCase> all;
  std::vector<std::optional<tighten::Trace>> traces;
  for (const Entry* entry : entries_in_order_of_work(*input.value)) {
    const auto* body = std::get_if<TorqueTrace>(&entry->body);
    if (body == nullptr) continue;
    TraceOfCase seen{.entry = entry, .body = body};
    traces.push_back(read_for(input, seen));
    if (input.drive != nullptr)
      seen.fastener = fastener_named(input.drive->drive, body->fastener, body->bank);
    if (seen.fastener != nullptr) seen.expected = trace_expected(*seen.fastener, body->step);
    if (traces.back() && seen.expected.step) analyse(seen, *traces.back());
    all.push_back(std::move(seen));
  }
  std::vector<std::optional<OtherTraces>> others;
  for (const TraceOfCase& seen : all)
    others.push_back(other_traces(gradients_of_others(all, seen.body->fastener, &seen)));
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (!others[i] || !all[i].result) continue;
    all[i].others = others[i];
    analyse(all[i], *traces[i]);
  }
  return all;
}

}  // namespace tautmark
