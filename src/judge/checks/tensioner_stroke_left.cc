// SPDX-License-Identifier: Apache-2.0
// Stroke left = stroke - extension in place. A short extension proves nothing while the plunger may
// have been pushed back: it passes only with ratchet and check valve entered as sound.
#include <fmt/format.h>

#include "base/text.h"
#include "casework/case_fields.h"
#include "judge/against_fit.h"
#include "judge/checks/checks.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "tensioner-extension";

std::optional<Condition> condition_of(const CheckInput& input, const EnginePlace& place,
                                      std::string_view aspect, std::vector<std::string>& evidence) {
  std::optional<Condition> condition;
  for (const auto& [entry, seen] : all_of_kind<Observation>(input.entries)) {
    if (!same_place(seen->place, place.path) || folded(seen->aspect) != aspect || !seen->condition)
      continue;
    evidence.push_back(entry->id);
    // The worst that was seen counts.
    if (!condition || *condition == Condition::sound) condition = seen->condition;
  }
  return condition;
}

Finding judged(const CheckInput& input, const EnginePlace& place, const Dimension& extension) {
  Finding finding;
  finding.evidence = extension.evidence;
  const auto limit = limit_for(input, Measurand::tensioner_stroke_left, place);
  const bool no_stroke =
      place.chain == nullptr || !place.chain->tensioner || !place.chain->tensioner->stroke;
  if (no_stroke || !limit) {
    Finding open = open_finding("", "", OpenBecause::not_in_drive,
                                no_stroke ? "the stroke of the tensioner is not known"
                                          : "no limit for the stroke left is given",
                                {no_stroke ? "enter the full stroke in the drive"
                                           : "enter the maker's limit in the drive"});
    open.evidence = extension.evidence;
    return open;
  }
  if (!extension.impossible.empty()) {
    Finding open =
        open_finding("", "", OpenBecause::implausible, extension.impossible.front().sentence,
                     {"read it again, and enter a correction"});
    open.evidence = extension.evidence;
    return open;
  }
  const double stroke = place.chain->tensioner->stroke->value.si();
  const bool as_ratio = limit->kind == Kind::ratio;
  const double scale = as_ratio ? 1 / stroke : 1;
  const ValueInUse left{
      {(stroke - extension.mean) * scale, extension.budget.u * scale, extension.budget.nu},
      extension.repeat_sd * scale,
      extension.n};
  LimitInUse use = *limit;
  if (as_ratio) use.decimals = 1;
  if (extension.mean > stroke * 1.02 || extension.mean < -0.02 * stroke) {
    Finding open =
        open_finding("", "", OpenBecause::implausible,
                     fmt::format("an extension of {} does not fit a stroke of {}",
                                 quantity_text(extension.mean, *extension.unit, extension.decimals),
                                 place.chain->tensioner->stroke->text),
                     {"measure again from the same face, before the tensioner is relieved"});
    open.evidence = extension.evidence;
    return open;
  }
  decide_finding(finding, left, std::nullopt, use);
  finding.why += fmt::format(" ({} out of {})",
                             quantity_text(extension.mean, *extension.unit, extension.decimals),
                             place.chain->tensioner->stroke->text);
  const auto ratchet = condition_of(input, place, "ratchet", finding.evidence);
  const auto valve = condition_of(input, place, "check valve", finding.evidence);
  if (finding.verdict == Verdict::pass &&
      (ratchet != Condition::sound || valve != Condition::sound)) {
    finding.verdict = Verdict::open;
    const bool bad = (ratchet && *ratchet != Condition::sound && *ratchet != Condition::unknown) ||
                     (valve && *valve != Condition::sound && *valve != Condition::unknown);
    finding.open_because = bad ? OpenBecause::outside_model : OpenBecause::not_measured;
    const auto word = [](const std::optional<Condition>& condition) {
      return condition ? std::string(choice_name(*condition)) : std::string("not entered");
    };
    finding.why += fmt::format(
        "; but ratchet {}, check valve {}: the plunger may have been pushed back, so a short "
        "extension proves nothing",
        word(ratchet), word(valve));
    finding.next = {
        "push test and ratchet test of the tensioner; then the chain length over 40 links"};
  }
  return finding;
}

}  // namespace

std::vector<Finding> tensioner_stroke_left(const CheckInput& input) {
  std::vector<Finding> findings;
  const Measurand quantities[] = {Measurand::tensioner_extension};
  for (const EnginePlace* place : touched_places(input, PlaceType::tensioner, quantities)) {
    const auto extension = dimension_at(input, Measurand::tensioner_extension, *place);
    if (!extension) continue;
    Finding finding = judged(input, *place, *extension);
    finding.check = kCheck;
    finding.subject = place->path;
    finding.cautions = {"a tensioner is spring-loaded: pin it before it is taken out"};
    finding.sources = {"stroke left = stroke - extension in place"};
    if (finding.verdict == Verdict::fail)
      finding.follows.push_back(
          "measure the chain and the guides: the tensioner has no travel left to hold them");
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace tautmark::checks
