// SPDX-License-Identifier: Apache-2.0
#include "report/parts_view.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "casework/case_fields.h"
#include "report/fastener_json.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

template <class T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json aspects_json(const std::vector<BesideOld>& aspects) {
  Json all = Json::array();
  for (const BesideOld one : aspects) all.push_back(choice_name(one));
  return all;
}

Json row_json(const parts::Row& row) {
  Json why = Json::array();
  for (const parts::Why& one : row.why)
    why.push_back(
        {{"words", one.words}, {"entry", one.entry.empty() ? Json(nullptr) : Json(one.entry)}});
  return {{"part", row.part},
          {"bank", or_null(row.bank)},
          {"count", or_null(row.count)},
          {"only_if", row.only_if},
          {"only_if_words", row.only_if_words},
          {"from", row.from},
          {"standing", parts::standing_text(row.standing)},
          {"compare", aspects_json(parts::to_compare(row.part))},
          {"why", std::move(why)}};
}

Json set_json(const parts::SetSeen& seen) {
  const PartSet& set = *seen.set;
  return {{"name", set.name},
          {"bank", or_null(set.bank)},
          {"edition", or_null(set.edition)},
          {"date", set.date ? Json(set.date->text) : Json(nullptr)},
          {"holds", set.holds},
          {"does_not_hold", set.does_not_hold},
          {"compare", aspects_json(parts::to_compare(set))},
          {"ordered", seen.ordered},
          {"opened", seen.opened},
          {"found", seen.found},
          {"alike", aspects_json(seen.alike)},
          {"differs", aspects_json(seen.differs)}};
}

Json drive_json(const PartsOfDrive& of) {
  Json json = {{"drive", of.drive->drive.name}, {"cautions", figure_cautions(*of.drive)},
               {"rows", Json::array()},         {"not_ordered", Json::array()},
               {"open", Json::array()},         {"decided_in_words", of.list.in_words},
               {"conflicts", Json::array()},    {"sets", Json::array()}};
  for (const parts::Row& row : of.list.rows) json["rows"].push_back(row_json(row));
  for (const parts::NotOrdered& row : of.list.not_ordered)
    json["not_ordered"].push_back({{"part", row.part},
                                   {"bank", or_null(row.bank)},
                                   {"words", row.words},
                                   {"entry", row.entry}});
  for (const parts::Open& open : of.list.open)
    json["open"].push_back({{"part", open.part},
                            {"bank", or_null(open.bank)},
                            {"words", open.words},
                            {"entries", open.entries}});
  for (const parts::Conflict& one : of.conflicts)
    json["conflicts"].push_back({{"subject", one.subject},
                                 {"verdict", one.is_proven ? "fail" : "open"},
                                 {"why", one.why},
                                 {"next", one.next},
                                 {"entries", one.entries}});
  for (const parts::SetSeen& set : of.sets) json["sets"].push_back(set_json(set));
  return json;
}

// The place of a subject: "bank 1 / camshaft, as found" is about the first of the two.
std::vector<parts::Doubt> doubts_of(const Judgement& judgement) {
  std::vector<parts::Doubt> doubts;
  for (const Finding& finding : judgement.findings)
    if (finding.verdict != Verdict::pass && !finding.forecast)
      doubts.push_back({finding.subject.substr(0, finding.subject.find(',')),
                        fmt::format("{} {}", finding.check, verdict_word(finding.verdict))});
  return doubts;
}

PartsOfDrive of_drive(const LoadedDrive& drive, const Case* value,
                      const std::vector<parts::Doubt>& doubts) {
  PartsOfDrive of{.drive = &drive,
                  .list = parts::parts_list(drive.drive, value, doubts),
                  .conflicts = parts::definition_conflicts(drive.drive),
                  .sets = parts::sets_of(drive.drive, value)};
  if (value == nullptr) return of;
  for (parts::Conflict& one : parts::conflicts(drive.drive, *value))
    of.conflicts.push_back(std::move(one));
  return of;
}

}  // namespace

PartsView parts_of(const LoadedDrive& drive) {
  PartsView view;
  view.drives.push_back(of_drive(drive, nullptr, {}));
  return view;
}

PartsView parts_of(const LoadedCase& loaded, const Judgement& judgement) {
  PartsView view{.case_name = loaded.value.name};
  const std::vector<parts::Doubt> doubts = doubts_of(judgement);
  for (const LoadedDrive* drive : drives_in_use(loaded))
    view.drives.push_back(of_drive(*drive, &loaded.value, doubts));
  return view;
}

Json parts_json(const PartsView& view) {
  Json json = {{"schema", "parts/1"},
               {"case", view.case_name.empty() ? Json(nullptr) : Json(view.case_name)},
               {"drives", Json::array()}};
  for (const PartsOfDrive& of : view.drives) json["drives"].push_back(drive_json(of));
  return json;
}

Json coverage_json(const parts::Coverage& coverage) {
  Json json = {
      {"schema", "parts-coverage/1"}, {"drives", coverage.drives}, {"rows", Json::array()}};
  for (const parts::CoverageRow& row : coverage.rows) {
    Json cells = Json::array();
    for (const parts::CoverageCell& cell : row.cells)
      cells.push_back({{"covered", parts::covered_text(cell.covered)},
                       {"count", or_null(cell.count)},
                       {"sets", cell.sets}});
    json["rows"].push_back(
        {{"part", row.part}, {"bank", or_null(row.bank)}, {"cells", std::move(cells)}});
  }
  return json;
}

std::string count_text(const parts::Row& row) {
  const std::string certain = row.count ? std::to_string(*row.count) : "?";
  return row.only_if > 0 ? fmt::format("{} (+{})", certain, row.only_if) : certain;
}

}  // namespace tautmark
