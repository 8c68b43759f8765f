// SPDX-License-Identifier: Apache-2.0
#include "drive/lint_oil.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "base/text.h"
#include "drive/lint_oil_way.h"

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

double share_of(const OilElement& way) { return way.uncertainty ? way.uncertainty->value.si() : 0; }

// Ways that are off together are so by what the first of them says; a word that stands once binds
// nothing.
void check_alike(LintReport& report) {
  const std::vector<OilElement>& network = report.drive().oil->network;
  std::map<std::string, std::vector<std::size_t>> by_word;
  for (std::size_t i = 0; i < network.size(); ++i)
    if (network[i].alike) by_word[folded(*network[i].alike)].push_back(i);
  for (const auto& [word, ways] : by_word) {
    const std::string path = fmt::format("oil.network[{}]", ways.front());
    const OilElement& first = network[ways.front()];
    if (ways.size() == 1) {
      std::vector<std::string> others;
      for (const auto& [other, with] : by_word)
        if (other != word) others.push_back(*network[with.front()].alike);
      if (const auto near = nearest(*first.alike, others))
        report.warning(path + ".alike", fmt::format("no other way is alike \"{}\"", *first.alike),
                       fmt::format("did you mean \"{}\"?", *near));
    }
    for (const std::size_t i : ways)
      if (share_of(network[i]) != share_of(first))
        report.error(fmt::format("oil.network[{}].alike", i),
                     fmt::format("{} and {} are alike \"{}\", and their uncertainties are not",
                                 network[i].name, first.name, *first.alike),
                     first.uncertainty ? fmt::format("uncertainty: {}", first.uncertainty->text)
                                       : "no uncertainty",
                     path + ".name", "the first one is here");
  }
}

// The same size stated elsewhere in the definition, and another.
void check_against(LintReport& report, const std::vector<EnginePlace>& places,
                   const OilElement& way, const std::string& path) {
  constexpr double kApart = 0.1;
  const Drive& drive = report.drive();
  const auto& opens = drive.oil->relief_opens;
  const auto agrees = [&](const OilElement& relief) {
    return relief.kind == OilElementKind::relief && relief.opens &&
           std::abs(relief.opens->value / opens->value - 1) <= kApart;
  };
  if (way.kind == OilElementKind::relief && opens && way.opens &&
      std::ranges::none_of(drive.oil->network, agrees))
    report.warning(path + ".opens", fmt::format("{} opens at {}, and relief_opens says {}",
                                                way.name, way.opens->text, opens->text));
  const EnginePlace* place = way.journal ? find_place(places, *way.journal) : nullptr;
  const Fit* fit = place != nullptr ? fit_for(drive, Measurand::journal_diameter, *place) : nullptr;
  if (fit == nullptr || !way.diameter || !fit->new_range || !fit->new_range->value.lower_si) return;
  const double stated = *fit->new_range->value.lower_si;
  if (std::abs(way.diameter->value.si() / stated - 1) > kApart)
    report.warning(path + ".diameter",
                   fmt::format("{} has a journal of {}, which is new at {}", way.name,
                               way.diameter->text, fit->new_range->text));
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
    check_oil_way(report, element, path);
    if (element.journal) {
      if (find_place(places, *element.journal) == nullptr)
        report.error(path + ".journal",
                     fmt::format("no journal \"{}\" in this drive", *element.journal),
                     "one journal, as in bank 1 / camshaft / journal 1");
      else
        report.check_at(*element.journal, path + ".journal", places, PlaceType::journal,
                        "banks.camshafts.journals");
    }
    check_against(report, places, element, path);
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
  check_alike(report);
}

}  // namespace tautmark
