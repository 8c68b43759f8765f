// SPDX-License-Identifier: Apache-2.0
#include "judge/judge.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "base/text.h"
#include "casework/case_fields.h"
#include "judge/dimension.h"
#include "judge/headline.h"
#include "judge/turning_answer.h"
#include "judge/variants.h"
#include "judge/verdict.h"

namespace tautmark {
namespace {

DriveInUse drive_in_use(const LoadedDrive& drive) {
  DriveInUse use;
  use.name = drive.drive.name;
  use.title = drive.drive.title.value_or(drive.drive.name);
  use.revision = drive.drive.revision.value_or("");
  use.checked_by = drive.drive.checked_by.value_or("");
  use.sha256 = drive.sha256;
  use.differs_from_shop = drive.differs_from_shop;
  if (drive.drive.source)
    for (const auto& part :
         {drive.drive.source->document, drive.drive.source->edition, drive.drive.source->page})
      if (part) use.source += (use.source.empty() ? "" : ", ") + *part;
  return use;
}

std::string definition_words(const LoadedDrive& drive) {
  return fmt::format("definition {}{}, {}", drive.drive.name,
                     drive.drive.revision ? ", revision " + *drive.drive.revision : "",
                     drive.drive.checked_by ? checked_words(drive_in_use(drive)) : "not checked");
}

// What holds for every finding, whatever the check: the definition it rests on, and what a variant
// took over unconfirmed.
void apply_definition(Finding& finding, const Check& check, const LoadedDrive* drive) {
  if (drive == nullptr) return;
  finding.sources.push_back(definition_words(*drive));
  if (finding.verdict == Verdict::open) return;
  for (const std::string_view topic : check.rests_on) {
    if (!drive->unconfirmed.contains(std::string(topic))) continue;
    finding.verdict = Verdict::open;
    finding.open_because = OpenBecause::unconfirmed;
    finding.why += fmt::format(
        "; but the {} of this variant is taken over from its base and confirmed by nobody", topic);
    finding.next.push_back(
        fmt::format("look at the engine, then restate or confirm \"{}\" in the drive file", topic));
  }
}

// A part seen as damaged is not saved by a reading inside its limit.
void apply_seen_damage(Finding& finding, const CheckInput& input) {
  if (finding.verdict != Verdict::pass) return;
  for (const auto& [entry, seen] : all_of_kind<Observation>(input.entries)) {
    if (!seen->condition || !same_place(seen->place, finding.subject)) continue;
    if (*seen->condition != Condition::damaged && *seen->condition != Condition::missing) continue;
    finding.verdict = Verdict::open;
    finding.open_because = OpenBecause::outside_model;
    finding.evidence.push_back(entry->id);
    finding.why += fmt::format("; but {} was entered as {} here ({}): a reading does not save it",
                               seen->aspect, choice_name(*seen->condition), entry->id);
    finding.follows.emplace_back("decide on what was seen, with name and reason");
  }
}

bool is_asked(const Check& check, const JudgeOptions& options) {
  return options.only.empty() ||
         std::find(options.only.begin(), options.only.end(), check.name) != options.only.end();
}

bool has_limit(const LoadedDrive& drive, const Check& check) {
  return std::any_of(drive.drive.fits.begin(), drive.drive.fits.end(),
                     [&](const Fit& fit) { return fit.quantity == check.limited_by; });
}

// Places that a check would look at and the case has not touched, in one line.
std::optional<NotLookedAt> not_looked_at(const Check& check, const CheckInput& input,
                                         const std::vector<Finding>& findings) {
  std::set<std::string> judged;
  for (const Finding& finding : findings) judged.insert(finding.subject);
  // A subject is a place, or a place and what of it: "bank 1 / camshaft, as found".
  const auto is_judged = [&](const std::string& path) {
    return judged.contains(path) ||
           std::any_of(judged.begin(), judged.end(),
                       [&](const std::string& subject) { return subject.starts_with(path + ","); });
  };
  std::vector<std::string> missing;
  std::set<std::string> seen;
  if (input.drive != nullptr && check.only_if_limited && !has_limit(*input.drive, check))
    return std::nullopt;
  if (check.name == "oil-pressure") {
    for (const EnginePlace& place : input.places) {
      if (place.type != PlaceType::oil_port) continue;
      const bool touched =
          std::any_of(judged.begin(), judged.end(),
                      [&](const std::string& subject) { return subject.starts_with(place.path); });
      if (!touched) missing.push_back(place.path);
    }
  }
  if (check.name == "cam-timing")
    for (const EnginePlace& place : input.places)
      if (place.type == PlaceType::camshaft && place.camshaft != nullptr &&
          place.camshaft->sensor && !place.camshaft->sensor->edges.empty() &&
          !is_judged(place.path))
        missing.push_back(place.path);
  if (check.name == "link-counts") {
    for (const EnginePlace& place : input.places)
      if (place.type == PlaceType::chain && !place.chain->strands.empty() &&
          !judged.contains(place.path))
        missing.push_back(place.path);
  }
  for (const Measurand quantity : check.reads) {
    const PlaceType type = measurand_info(quantity).place;
    for (const EnginePlace& place : input.places) {
      if (place.type != type || is_judged(place.path)) continue;
      const std::string where =
          type == PlaceType::journal ? place.path.substr(0, place.path.rfind(" / ")) : place.path;
      if (seen.insert(where).second) missing.push_back(where);
    }
  }
  if (missing.empty()) return std::nullopt;
  std::string words = joined(missing, "; ");
  if (input.drive != nullptr && !check.reads.empty() && !has_limit(*input.drive, check))
    words += " (no limit in the drive)";
  return NotLookedAt{std::string(check.name), std::move(words)};
}

Finding asked_but_empty(const Check& check) {
  return open_finding(
      std::string(check.name), "", OpenBecause::not_measured, "nothing of this was measured",
      {check.reads.empty() ? std::string(check.question)
                           : fmt::format("measure: {}", measurand_info(check.reads.front()).how)});
}

struct OneDrive {
  std::vector<Finding> findings;
  std::vector<NotLookedAt> not_looked_at;
};

OneDrive judged_with(const LoadedCase& loaded, const LoadedDrive* drive,
                     const JudgeOptions& options) {
  OneDrive result;
  const CheckInput input = check_input(loaded, drive);
  for (const Check& check : all_checks()) {
    if (!is_asked(check, options)) continue;
    std::vector<Finding> findings = check.run(input);
    if (findings.empty() && !options.only.empty()) findings.push_back(asked_but_empty(check));
    for (Finding& finding : findings) {
      apply_seen_damage(finding, input);
      apply_definition(finding, check, drive);
    }
    if (auto missing = not_looked_at(check, input, findings))
      result.not_looked_at.push_back(std::move(*missing));
    result.findings.insert(result.findings.end(), findings.begin(), findings.end());
  }
  return result;
}

// Nothing when nobody identified it, or when two entries in force name different variants.
std::optional<std::string> identified_variant(const LoadedCase& loaded) {
  std::set<std::string> named;
  for (const auto& [entry, identification] :
       all_of_kind<Identification>(entries_in_force(loaded.value)))
    named.insert(identification->variant);
  return named.size() == 1 ? std::optional(*named.begin()) : std::nullopt;
}

std::vector<std::string> corrections(const LoadedCase& loaded) {
  std::vector<std::string> lines;
  for (const Entry& entry : loaded.value.entries)
    if (entry.replaces)
      lines.push_back(fmt::format("{} is replaced by {}{}", *entry.replaces, entry.id,
                                  entry.remark ? " (" + *entry.remark + ")" : std::string()));
  return lines;
}

Diagnostics unknown_checks(const JudgeOptions& options) {
  Diagnostics diagnostics;
  std::vector<std::string> known;
  for (const Check& check : all_checks()) known.emplace_back(check.name);
  for (const std::string& name : options.only) {
    if (find_check(name) != nullptr) continue;
    Diagnostic diagnostic;
    diagnostic.place.file = "--only";
    diagnostic.message = fmt::format("no check \"{}\"", name);
    const auto near = nearest(name, known);
    diagnostic.hint = near ? fmt::format("did you mean \"{}\"?", *near)
                           : fmt::format("known: {}", joined(known, ", "));
    diagnostics.push_back(std::move(diagnostic));
  }
  return diagnostics;
}

}  // namespace

std::string checked_words(const DriveInUse& drive) {
  if (drive.checked_by.empty()) return "NOT CHECKED by a second reader";
  return (drive.differs_from_shop ? "says of itself: checked by " : "checked by ") +
         drive.checked_by;
}

std::vector<std::string> definition_cautions(const std::vector<DriveInUse>& drives) {
  std::vector<std::string> cautions;
  for (const DriveInUse& drive : drives)
    if (drive.differs_from_shop)
      cautions.push_back(fmt::format(
          "judged by the definition \"{}\" that lies with the case, which differs from the shop's "
          "own; compare the two before a limit of it is relied on",
          drive.name));
  return cautions;
}

std::vector<const LoadedDrive*> drives_in_use(const LoadedCase& loaded) {
  std::vector<const LoadedDrive*> drives;
  const auto variant = identified_variant(loaded);
  for (const LoadedDrive& drive : loaded.drives)
    if (loaded.drives.size() == 1 || !variant || drive.drive.name == *variant)
      drives.push_back(&drive);
  return drives;
}

Parsed<Judgement> judge(const LoadedCase& loaded, const JudgeOptions& options) {
  Diagnostics diagnostics = unknown_checks(options);
  for (Diagnostic& diagnostic : unknown_instruments(loaded))
    diagnostics.push_back(std::move(diagnostic));
  if (has_errors(diagnostics)) return tl::make_unexpected(diagnostics);

  Judgement judgement;
  judgement.case_name = loaded.value.name;
  judgement.case_title = loaded.value.title.value_or(loaded.value.name);
  judgement.case_sha256 = loaded.sha256;
  judgement.invented = loaded.value.invented.value_or(false);

  const std::vector<const LoadedDrive*> drives = drives_in_use(loaded);
  judgement.identified = drives.size() <= 1;
  for (const LoadedDrive* drive : drives) {
    judgement.drives.push_back(drive_in_use(*drive));
    judgement.invented = judgement.invented || drive->drive.invented.value_or(false);
  }

  if (drives.size() <= 1) {
    OneDrive one = judged_with(loaded, drives.empty() ? nullptr : drives.front(), options);
    judgement.findings = std::move(one.findings);
    judgement.not_looked_at = std::move(one.not_looked_at);
  } else {
    std::vector<VariantFindings> all;
    for (const LoadedDrive* drive : drives) {
      OneDrive one = judged_with(loaded, drive, options);
      all.push_back({drive->drive.name, std::move(one.findings)});
      if (drive == drives.front()) judgement.not_looked_at = std::move(one.not_looked_at);
    }
    judgement.findings = merged_findings(all);
  }
  for (const auto& [entry, decision] : all_of_kind<PersonDecision>(entries_in_force(loaded.value)))
    judgement.persons_decisions.push_back(
        fmt::format("{}: {} ({}{}) [{}]", decision->about, decision->decided, decision->reason,
                    decision->name ? ", decided by " + *decision->name : std::string(), entry->id));
  judgement.corrections = corrections(loaded);
  judgement.only = options.only;
  judgement.turning = turning_answer(loaded, drives);
  set_headline(judgement);
  return judgement;
}

Tally tally(const std::vector<Finding>& findings) {
  Tally tally;
  for (const Finding& finding : findings) {
    if (finding.forecast) ++tally.forecast;
    switch (finding.verdict) {
      case Verdict::pass:
        ++tally.pass;
        break;
      case Verdict::fail:
        ++tally.fail;
        break;
      case Verdict::open:
        ++tally.open;
        break;
    }
  }
  return tally;
}

int exit_status(const Judgement& judgement) {
  const Tally count = tally(judgement.findings);
  if (count.fail > 0) return 1;
  const int measured_open = count.open - count.forecast;
  return measured_open > 0 || count.pass == 0 ? 3 : 0;
}

}  // namespace tautmark
