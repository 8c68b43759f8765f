// SPDX-License-Identifier: Apache-2.0
#include "report/oil_json.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "judge/checks/checks.h"
#include "report/finding_json.h"
#include "report/oil_network_json.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

Json forecast_json(const oil::BankForecast& forecast) {
  Json options = Json::array();
  for (const oil::OptionForecast& option : forecast.options)
    options.push_back({{"option", option.name},
                       {"leakage", option.leakage.ratio},
                       {"leakage_U", option.leakage.expanded},
                       {"head_kPa", in_kPa(option.head.likely)},
                       {"low_kPa", in_kPa(option.head.low)},
                       {"high_kPa", in_kPa(option.head.high)},
                       {"means", means_of(option.pressure)}});
  Json highest = Json::array();
  for (const std::size_t i : forecast.rivals) highest.push_back(forecast.options[i].name);
  return {{"options", options},
          {"best", forecast.best ? Json(forecast.options[*forecast.best].name) : Json(nullptr)},
          {"highest", highest},
          {"said", forecast.said},
          {"measure_next", forecast.measure_next},
          {"estimate", forecast.marked}};
}

Json banks_json(const BanksCompared& compared) {
  const BankGauges& gauges = compared.gauges;
  return {{"bank", gauges.bank},
          {"better_bank", gauges.healthy},
          {"condition", gauges.condition},
          {"gallery", gauge_json(gauges.gallery)},
          {"head", gauge_json(gauges.head)},
          {"better_head", gauge_json(gauges.healthy_head)},
          {"from_better_bank", forecast_json(compared.from_healthy)},
          {"with_both_banks", compared.told ? forecast_json(*compared.told) : Json(nullptr)},
          {"explained", compared.explained},
          {"not_told", compared.not_told},
          {"left_out", compared.options_left_out},
          {"evidence", compared.evidence}};
}

std::string port_place(const OilPort& port) {
  return port.bank ? fmt::format("bank {} / {}", *port.bank, port.name) : port.name;
}

}  // namespace

OilShown oil_shown(const LoadedDrive& drive, const LoadedCase* engine) {
  OilShown shown{.drive = &drive};
  if (engine == nullptr) {
    shown.banks.missing = {"readings of this engine: a definition alone has no pressures"};
    return shown;
  }
  const CheckInput input = check_input(*engine, &drive);
  for (auto* check : {&checks::oil_pressure, &checks::pressure_at_reference,
                      &checks::oil_in_it_found, &checks::head_pressure, &checks::oil_wear,
                      &checks::phaser_again, &checks::phaser_oil, &checks::tensioner_oil}) {
    std::vector<Finding> found = check(input);
    std::move(found.begin(), found.end(), std::back_inserter(shown.findings));
  }
  shown.banks = banks_compared(input);
  shown.network = oil_told(input, WithCurve::yes);
  shown.wear = wear_told(input);
  shown.charts = pressure_charts(input);
  return shown;
}

std::string limit_words(const PressureLimit& limit) {
  return fmt::format("{}: {}{}{}", limit.at, limit.limit.text,
                     limit.speed ? ", at " + limit.speed->text : "",
                     limit.oil_temperature ? ", oil " + limit.oil_temperature->text : "");
}

std::vector<OilRow> oil_rows(const BanksCompared& compared) {
  std::vector<OilRow> rows;
  for (const oil::OptionForecast& option : compared.best().options)
    rows.push_back({option.name, fmt::format("{:.2f}", option.leakage.ratio),
                    fmt::format("{:.0f} kPa ({:.0f} to {:.0f})", in_kPa(option.head.likely),
                                in_kPa(option.head.low), in_kPa(option.head.high)),
                    means_of(option.pressure)});
  return rows;
}

std::vector<std::string> oil_cautions() {
  return {"Estimates compare ways of repair; none is a pass, and none alone orders a head.",
          "The limits, the ports and the way to read them are the engine maker's.",
          "Hot oil, running engine: keep clear of fan and belts; a hose that lets go sprays."};
}

nlohmann::ordered_json oil_json(const OilShown& shown) {
  const Drive& drive = shown.drive->drive;
  Json findings = Json::array();
  for (const Finding& finding : shown.findings) findings.push_back(finding_json(finding));
  Json charts = Json::array();
  for (const PressureChart& chart : shown.charts) charts.push_back(chart_json(chart));
  Json ports = Json::array(), limits = Json::array();
  if (drive.oil) {
    for (const OilPort& port : drive.oil->ports) ports.push_back(port_place(port));
    for (const PressureLimit& limit : drive.oil->pressures) limits.push_back(limit_words(limit));
  }
  return {{"drive", drive.name},
          {"grade", drive.oil && drive.oil->grade ? Json(*drive.oil->grade) : Json(nullptr)},
          {"ports", ports},
          {"limits", limits},
          {"findings", findings},
          {"banks", shown.banks.compared ? banks_json(*shown.banks.compared) : Json(nullptr)},
          {"missing", shown.banks.missing},
          {"network", shown.network.told ? network_json(*shown.network.told) : Json(nullptr)},
          {"network_missing", shown.network.missing},
          {"wear", shown.wear ? wear_json(*shown.wear) : Json(nullptr)},
          {"charts", charts},
          {"cautions", oil_cautions()}};
}

}  // namespace tautmark
