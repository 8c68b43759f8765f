// SPDX-License-Identifier: Apache-2.0
#include "drive/lint_oil.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.h"
#include "drive/drive_fields.h"

namespace tautmark {
namespace {

void check_limits(LintReport& report) {
  const Drive& drive = report.drive();
  const auto places = places_of(drive);
  for (std::size_t i = 0; i < drive.oil->pressures.size(); ++i) {
    const PressureLimit& limit = drive.oil->pressures[i];
    const std::string path = fmt::format("oil.pressures[{}]", i);
    if (limit.limit.value.kind != Kind::pressure)
      report.error(path + ".limit",
                   fmt::format("{} is {}; a pressure limit is a pressure", limit.limit.text,
                               kind_name(limit.limit.value.kind)));
    report.check_at(limit.at, path + ".at", places, PlaceType::oil_port, "oil.ports");
    for (std::size_t other = 0; other < i; ++other) {
      const PressureLimit& before = drive.oil->pressures[other];
      if (folded(before.at) != folded(limit.at) || before.speed != limit.speed ||
          before.oil_temperature != limit.oil_temperature)
        continue;
      report.error(path + ".at",
                   fmt::format("the pressure at {} is limited a second time here, under the same "
                               "conditions",
                               limit.at),
                   {}, fmt::format("oil.pressures[{}].at", other), "the first one is here");
    }
    if (!limit.speed || !limit.oil_temperature)
      report.warning(path,
                     fmt::format("the limit says nothing about {}; a reading can pass at any",
                                 !limit.speed ? "engine speed" : "oil temperature"),
                     !limit.speed ? "speed: 650 ± 25 1/min" : "oil_temperature: at least 90 degC");
    if (!drive.oil->grade)
      report.warning(path, "the drive names no oil grade: pressure readings stay open",
                     "grade: 5W-30");
  }
}

std::string_view kind_name_of(OilElementKind kind) {
  return ChoiceNames<OilElementKind>::names[static_cast<std::size_t>(kind)];
}

// What a way of this kind is nothing without.
void check_needs(LintReport& report, const OilElement& element, const std::string& path) {
  const auto needs = [&](bool is_given, std::string_view key, std::string_view example) {
    if (!is_given)
      report.error(
          path, fmt::format("{}: a {} needs its {}", element.name, kind_name_of(element.kind), key),
          fmt::format("{}: {}", key, example));
  };
  switch (element.kind) {
    case OilElementKind::pump:
      needs(element.per_turn.has_value(), "per_turn", "22 cm³");
      if (element.from)
        report.error(path + ".from", "a pump draws from the sump", "leave from out");
      return;
    case OilElementKind::relief:
      needs(element.opens.has_value(), "opens", "400 kPa");
      needs(element.flow.has_value(), "flow", "12 L/min");
      needs(element.full_at.has_value(), "full_at", "500 kPa");
      if (element.opens && element.full_at && element.full_at->value <= element.opens->value)
        report.error(path + ".full_at",
                     fmt::format("{} passes its flow at {}, which is not above {}, where it opens",
                                 element.name, element.full_at->text, element.opens->text));
      return;
    case OilElementKind::check_valve:
      needs(element.opens.has_value(), "opens", "30 kPa");
      [[fallthrough]];
    case OilElementKind::hole:
      needs(element.diameter.has_value(), "diameter", "1.5 mm");
      return;
    case OilElementKind::clearance:
      needs(element.diameter.has_value(), "diameter", "28 mm");
      needs(element.land.has_value(), "land", "9 mm");
      needs(element.clearance || element.journal, "clearance", "0.060 mm");
      return;
    case OilElementKind::slot:
      needs(element.width.has_value(), "width", "12 mm");
      needs(element.land.has_value(), "land", "4 mm");
      needs(element.clearance.has_value(), "clearance", "0.030 mm");
      return;
  }
}

// A place that only one way reaches: oil can neither come nor go on, so it is a slip of the
// keyboard, or a way is missing.
void check_network(LintReport& report) {
  const Drive& drive = report.drive();
  const std::vector<OilElement>& network = drive.oil->network;
  const auto places = places_of(drive);
  std::map<std::string, std::size_t> first;
  std::map<std::string, int> ways;
  std::vector<std::string> known;
  for (const OilElement& element : network)
    for (const auto& end : {element.from, element.to}) {
      if (!end) continue;
      if (++ways[folded(*end)] == 2) known.push_back(*end);
    }
  for (std::size_t i = 0; i < network.size(); ++i) {
    const OilElement& element = network[i];
    const std::string path = fmt::format("oil.network[{}]", i);
    const auto [before, is_new] = first.emplace(folded(element.name), i);
    if (!is_new)
      report.error(path + ".name",
                   fmt::format("way \"{}\" stands here a second time", element.name), {},
                   fmt::format("oil.network[{}].name", before->second), "the first one is here");
    check_needs(report, element, path);
    if (element.journal) {
      if (find_place(places, *element.journal) == nullptr)
        report.error(path + ".journal",
                     fmt::format("no journal \"{}\" in this drive", *element.journal),
                     "one journal, as in bank 1 / camshaft / journal 1");
      else
        report.check_at(*element.journal, path + ".journal", places, PlaceType::journal,
                        "banks.camshafts.journals");
    }
    if (element.from && element.to && folded(*element.from) == folded(*element.to))
      report.error(path + ".to",
                   fmt::format("{} begins and ends at {}", element.name, *element.to));
    if (!element.from && !element.to)
      report.error(path, fmt::format("{} begins and ends in the sump", element.name),
                   "from: main gallery");
    for (const auto& [end, key] : {std::pair{element.from, "from"}, std::pair{element.to, "to"}}) {
      if (!end || ways[folded(*end)] > 1) continue;
      // What only one other way reaches may be the same place, spelled otherwise.
      std::vector<std::string> others = known;
      for (const OilElement& other : network)
        for (const auto& name : {other.from, other.to})
          if (name && &other != &element && ways[folded(*name)] == 1) others.push_back(*name);
      const auto near = nearest(*end, others);
      report.error(
          fmt::format("{}.{}", path, key),
          fmt::format("only {} reaches \"{}\": oil cannot flow through it", element.name, *end),
          near ? fmt::format("did you mean \"{}\"?", *near)
               : "give the way on, or leave it out for the sump");
    }
  }
}

}  // namespace

void check_oil(LintReport& report) {
  if (!report.drive().oil) return;
  check_limits(report);
  check_network(report);
}

}  // namespace tautmark
