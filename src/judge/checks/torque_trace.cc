// SPDX-License-Identifier: Apache-2.0
// Each recorded tightening by itself. A trace never passes: it can show that a joint must come
// apart again, and nothing that approves one. What a sign looks like as well stands in its caution.
#include <fmt/format.h>

#include "base/text.h"
#include "judge/case_traces.h"
#include "judge/checks/checks.h"
#include "judge/trace_words.h"
#include "judge/verdict.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "torque-trace";

std::string subject_of(const TorqueTrace& body) {
  std::string words = body.fastener;
  if (body.bolt) words += fmt::format(", no. {}", *body.bolt);
  if (body.step) words += fmt::format(", step {}", *body.step);
  return words;
}

Finding open_trace(const TraceOfCase& seen, OpenBecause because, std::string why,
                   std::vector<std::string> next) {
  return open_finding(std::string(kCheck), subject_of(*seen.body), because, std::move(why),
                      std::move(next));
}

// Nothing where the trace was analysed.
std::optional<Finding> without_result(const TraceOfCase& seen) {
  if (!seen.problem.empty())
    return open_trace(seen, OpenBecause::not_measured, seen.problem, {seen.decides});
  if (seen.fastener == nullptr)
    return open_trace(seen, OpenBecause::not_in_drive, "no definition names this fastener",
                      {"enter the fastener with its steps in the drive file"});
  if (!seen.expected.step)
    return open_trace(
        seen, OpenBecause::not_in_drive,
        fmt::format("not judged, the definition lacks: {}", joined(seen.expected.missing, "; ")),
        {"read it off the bolt and the maker's data, enter it in the drive file"});
  return std::nullopt;
}

Finding of_signs(const TraceOfCase& seen) {
  Finding finding = open_trace(seen, OpenBecause::outside_model, {}, {});
  std::vector<std::string> why;
  const auto& signs = seen.result->findings;
  const bool is_overturned = std::any_of(signs.begin(), signs.end(), [](const auto& one) {
    return one.sign == tighten::TraceSign::turned_too_far;
  });
  for (const tighten::TraceFinding& sign : signs) {
    why.push_back(fmt::format("{}: {}", tighten::trace_sign_name(sign.sign), sign.why));
    finding.cautions.push_back(fmt::format(
        "{} looks the same as {}", tighten::trace_sign_name(sign.sign), sign.not_told_from));
    if (!must_come_out(sign.sign) || finding.verdict == Verdict::fail) continue;
    finding.verdict = Verdict::fail;
    finding.open_because.reset();
    finding.follows =
        what_follows(sign.sign, seen.fastener->single_use.value_or(true) || is_overturned);
  }
  finding.why = joined(why, "; ");
  if (finding.verdict == Verdict::open)
    finding.next = {"look at bolt, thread and joint before it is covered"};
  return finding;
}

Finding of_trace(const TraceOfCase& seen) {
  const tighten::TraceResult& result = *seen.result;
  Finding finding =
      !result.findings.empty()
          ? of_signs(seen)
          : open_trace(seen, OpenBecause::outside_model,
                       result.open.empty()
                           ? "no sign of damage found; a trace approves no joint"
                           : "no sign of damage found, not decided: " + joined(result.open, "; "),
                       {});
  if (!seen.others)
    finding.next.push_back(fmt::format(
        "traces of {} other bolts of this fastener show whether this one differs", kLeastOthers));
  else if (result.gradient)
    if (std::string differs = differs_from_others(*result.gradient, *seen.others); !differs.empty())
      finding.why += "; " + differs;
  if (result.by_torque && finding.verdict == Verdict::open)
    finding.cautions.push_back(
        fmt::format("clamp load {:.1f} to {:.1f} kN, friction {:.2f} to {:.2f} assumed",
                    result.by_torque->low.si() / 1e3, result.by_torque->high.si() / 1e3,
                    seen.expected.step->friction.low, seen.expected.step->friction.high));
  if (!result.cannot_be_told.empty())
    finding.cautions.push_back("no trace shows " + joined(result.cannot_be_told, "; "));
  finding.cautions.insert(finding.cautions.end(), seen.expected.assumed.begin(),
                          seen.expected.assumed.end());
  finding.sources = {
      "torque over angle, half-gradient yield point; VDI 2230 (torque and clamp load)",
      "thresholds of this program, set on simulated traces"};
  return finding;
}

}  // namespace

std::vector<Finding> torque_trace(const CheckInput& input) {
  std::vector<Finding> findings;
  for (const TraceOfCase& seen : case_traces(input)) {
    auto without = without_result(seen);
    Finding finding = without ? std::move(*without) : of_trace(seen);
    finding.evidence = {seen.entry->id};
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace tautmark::checks
