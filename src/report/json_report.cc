// SPDX-License-Identifier: Apache-2.0
#include <nlohmann/json.hpp>

#include "report/finding_json.h"
#include "report/report.h"
#include "report/version.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

Json or_null(const std::optional<double>& value) { return value ? Json(*value) : Json(nullptr); }

Json value_json(const FindingValue& value) {
  return {{"value", value.value},
          {"unit", value.unit},
          {"U", value.U},
          {"k", value.k},
          {"shown", value.shown}};
}

Json limit_json(const FindingLimit& limit) {
  Json json;
  if (limit.lower) json["lower"] = *limit.lower;
  if (limit.upper) json["upper"] = *limit.upper;
  json["unit"] = limit.unit;
  json["applies_to"] = limit.applies_to.empty() ? Json(nullptr) : Json(limit.applies_to);
  json["origin"] = origin_text(limit.origin);
  json["source"] = limit.source;
  json["checked_by"] = limit.checked_by.empty() ? Json(nullptr) : Json(limit.checked_by);
  json["shown"] = limit.shown;
  return json;
}

}  // namespace

Json finding_json(const Finding& finding) {
  Json json;
  json["check"] = finding.check;
  json["subject"] = finding.subject;
  json["verdict"] = verdict_word(finding.verdict);
  json["value"] = finding.value ? value_json(*finding.value) : Json(nullptr);
  json["limit"] = finding.limit ? limit_json(*finding.limit) : Json(nullptr);
  json["probability_within"] = or_null(finding.probability_within);
  json["why"] = finding.why;
  json["open_because"] =
      finding.open_because ? Json(open_because_text(*finding.open_because)) : Json(nullptr);
  json["forecast"] = finding.forecast;
  json["evidence"] = finding.evidence;
  json["follows"] = finding.follows;
  json["next"] = finding.next;
  json["cautions"] = finding.cautions;
  json["sources"] = finding.sources;
  json["budget"] = finding.budget;
  if (!finding.variants.empty()) {
    json["variants"] = Json::array();
    for (const VariantAnswer& variant : finding.variants)
      json["variants"].push_back(
          {{"drive", variant.drive}, {"verdict", variant.verdict}, {"limit", variant.limit}});
  }
  return json;
}

std::string json_report(const Judgement& judgement, std::optional<std::int64_t> after_record) {
  Json json;
  json["schema"] = "findings/1";
  const auto only = judgement.drives.size() == 1 ? &judgement.drives.front() : nullptr;
  json["drive"] = only != nullptr ? Json(only->name) : Json(nullptr);
  json["drive_sha256"] = only != nullptr ? Json(only->sha256) : Json(nullptr);
  json["drives"] = Json::array();
  for (const DriveInUse& drive : judgement.drives)
    json["drives"].push_back(
        {{"name", drive.name},
         {"title", drive.title},
         {"revision", drive.revision},
         {"source", drive.source},
         {"checked_by", drive.checked_by.empty() ? Json(nullptr) : Json(drive.checked_by)},
         {"sha256", drive.sha256},
         {"differs_from_shop", drive.differs_from_shop}});
  json["case"] = judgement.case_name;
  json["case_sha256"] = judgement.case_sha256;
  json["after_record"] = after_record ? Json(*after_record) : Json(nullptr);
  json["program"] = program_version();
  json["invented"] = judgement.invented;
  const Tally count = tally(judgement.findings);
  json["summary"] = {{"pass", count.pass}, {"fail", count.fail}, {"open", count.open}};
  json["forecasts"] = count.forecast;
  json["headline"] = {judgement.stop_or_caution, judgement.proven, judgement.next};
  json["turning"] = {
      {"answer", judgement.turning.answer},       {"because", judgement.turning.because},
      {"instead", judgement.turning.instead},     {"changes_it", judgement.turning.changes_it},
      {"next", judgement.turning.next},           {"say", judgement.turning.say},
      {"holds_for", judgement.turning.holds_for}, {"cautions", judgement.turning.cautions},
      {"moves", judgement.turning.moves}};
  Json& never = json["turning"]["never"] = Json::array();
  for (const NeverCard& card : judgement.turning.never)
    never.push_back({{"asked", card.asked},
                     {"because", card.because},
                     {"instead", card.instead},
                     {"changes_it", card.changes_it},
                     {"say", card.say}});
  json["findings"] = Json::array();
  for (const Finding& finding : judgement.findings)
    json["findings"].push_back(finding_json(finding));
  json["not_looked_at"] = Json::array();
  for (const NotLookedAt& area : judgement.not_looked_at)
    json["not_looked_at"].push_back({{"check", area.check}, {"places", area.words}});
  json["only"] = judgement.only;
  json["corrections"] = judgement.corrections;
  json["persons_decisions"] = judgement.persons_decisions;
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace tautmark
