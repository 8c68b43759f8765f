// SPDX-License-Identifier: Apache-2.0
// What the oil pressure at the heads tells of the cam journals, before parts are ordered. A gauge
// at the gallery sits before the restriction of the heads; only a gauge behind it, one bank beside
// the other, sees a journal that lets the oil go. Forecasts, always open: they compare ways of
// repair and never judge one.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "judge/banks_compared.h"
#include "judge/checks/checks.h"
#include "judge/oil_told.h"
#include "judge/port_reads.h"
#include "judge/verdict.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kHot =
    "hot oil, running engine: keep clear of fan and belts; a hose that lets go sprays";
constexpr double kFarApart = 0.3;  // oil.md 7: common practice

Finding forecast(std::string_view check, std::string subject, std::string why) {
  Finding finding =
      open_finding(std::string(check), std::move(subject), OpenBecause::forecast, std::move(why));
  finding.forecast = true;
  return finding;
}

bool is_read(const CheckInput& input, bool of_bank) {
  for (const auto& [entry, reading] : all_of_kind<PressureReading>(input.entries)) {
    const EnginePlace* place = find_place(input.places, reading->place);
    if (place != nullptr && place->type == PlaceType::oil_port &&
        place->bank.has_value() == of_bank)
      return true;
  }
  return false;
}

bool has_camshafts(const CheckInput& input) {
  return std::ranges::any_of(
      input.places, [](const EnginePlace& place) { return place.type == PlaceType::camshaft; });
}

// The gauge at the gallery alone, or heads that were not read beside each other.
Finding not_compared(const CheckInput& input, std::vector<std::string> missing) {
  std::string subject, gallery;
  std::vector<std::string> next;
  for (const EnginePlace& place : input.places) {
    if (place.type != PlaceType::oil_port) continue;
    if (!place.bank) gallery = place.path;
    if (!place.bank) continue;
    if (subject.empty()) subject = place.path;
    next.push_back(port_to_read(place.path));
  }
  if (next.empty()) {
    subject = gallery;
    next = {
        "a plug behind the restriction of the head that takes a gauge: its pressure, hot idle, "
        "specified oil, with speed and oil temperature; where there is none, the clearance of "
        "journal 1"};
  }
  Finding finding = open_finding(
      "head-pressure", std::move(subject), OpenBecause::not_measured,
      is_read(input, true)
          ? "the heads were not read beside each other: gallery and every head, at one speed, one "
            "oil temperature and with the specified oil"
          : "the gauge at the gallery sits before the restriction of the heads: its pressure, good "
            "or "
            "bad, says nothing of the oil at a camshaft or a phaser");
  finding.next = is_read(input, true) ? std::move(missing) : std::move(next);
  finding.cautions = {std::string(kHot)};
  for (const auto& [entry, reading] : all_of_kind<PressureReading>(input.entries)) {
    const EnginePlace* place = find_place(input.places, reading->place);
    if (place != nullptr && place->type == PlaceType::oil_port)
      finding.evidence.push_back(entry->id);
  }
  return finding;
}

std::string kpa(Pressure pressure) { return fmt::format("{:.0f} kPa", in_kPa(pressure)); }

std::string kpa(double pascals) { return kpa(Pressure::from_si(pascals)); }

// The two heads side by side.
Finding apart(const BankGauges& gauges) {
  const double better = gauges.healthy_head.mean.si(), lower = gauges.head.mean.si();
  const double at_most =
      better > 0
          ? (lower + std::hypot(gauges.head.U.si(), lower / better * gauges.healthy_head.U.si())) /
                better
          : 1;
  const bool far = at_most < 1 - kFarApart;
  const bool alike = at_most >= 1;
  Finding finding = forecast(
      "head-pressure", gauges.head.place,
      fmt::format(
          "{} here, {} at bank {}, {} at the gallery ({}): {}", kpa(gauges.head.mean),
          kpa(gauges.healthy_head.mean), gauges.healthy, kpa(gauges.gallery.mean), gauges.condition,
          far     ? "this head loses its oil behind the restriction, or too little comes through "
                    "it: the gauge at the gallery sees neither"
          : alike ? "the heads are alike within the gauges"
                  : "this head is lower; by more than the 30 % that tell a leak is not proven"));
  if (far)
    finding.next = {
        fmt::format("clearance of journal 1 of bank {}, then of the other journals: "
                    "leakage goes with the cube of the clearance",
                    gauges.bank),
        fmt::format(
            "journals within their limit: the feed of bank {}, its passage, gasket hole and "
            "screen",
            gauges.bank)};
  if (far) finding.follows = {"a new phaser alone stays without oil"};
  finding.evidence = {gauges.gallery.entry, gauges.healthy_head.entry, gauges.head.entry};
  finding.cautions = {std::string(kHot)};
  finding.sources = {
      "more than 30 % between the heads, hot: a leak on the lower one (common "
      "practice, no source)"};
  return finding;
}

std::string check_name(std::string_view option) {
  if (option == "as found") return "what-if-head-as-found";
  if (option == "new phaser only") return "what-if-head-new-phaser";
  if (option.starts_with("new camshaft")) return "what-if-head-new-camshaft";
  return option.starts_with("new head") ? "what-if-head-new-head" : "what-if-head-bearings";
}

void add_limit(oil::ForecastAgainst limit, Finding& finding) {
  if (limit == oil::ForecastAgainst::below)
    finding.follows.emplace_back("would stay below the limit of this port");
  if (limit == oil::ForecastAgainst::either)
    finding.follows.emplace_back("the limit of this port lies inside the range: it cannot tell");
}

Finding option_finding(const BanksCompared& compared, const oil::OptionForecast& option) {
  const Unit& unit = default_unit(Kind::pressure);
  Finding finding = forecast(
      check_name(option.name), compared.gauges.head.place,
      fmt::format("{}: about {} at the head, {:.0f} to {}; its journals leak {:.1f} times as much "
                  "as those of bank {}",
                  option.name, kpa(option.head.likely), in_kPa(option.head.low),
                  kpa(option.head.high), option.leakage.ratio, compared.gauges.healthy));
  const double likely = option.head.likely.si();
  finding.value = shown_value(
      {likely, std::max(option.head.high.si() - likely, likely - option.head.low.si()) / 2}, unit);
  finding.evidence = compared.evidence;
  finding.sources = {compared.told
                         ? "restriction of the head in series with its leakage, fitted to the "
                           "gauges of both banks (first order)"
                         : "p = gallery / (1 + a ((1 - f) + f s)), fitted to the better bank's "
                           "gauge (trade practice, first order)"};
  finding.budget = {compared.best().marked};
  add_limit(option.pressure, finding);
  return finding;
}

Finding choice(const BanksCompared& compared) {
  const oil::BankForecast& best = compared.best();
  Finding finding = forecast("what-if-head-choice", compared.gauges.head.place, best.said);
  finding.evidence = compared.evidence;
  finding.next = best.measure_next;
  finding.follows = compared.options_left_out;
  const auto& alone = compared.alone;
  const bool inside =
      compared.gauges.head.mean >= alone.low && compared.gauges.head.mean <= alone.high;
  finding.budget = {fmt::format(
      "fitted to bank {} alone it puts this head at {:.0f} to {} as found; read were {}{}",
      compared.gauges.healthy, in_kPa(alone.low), kpa(alone.high), kpa(compared.gauges.head.mean),
      inside ? "" : ": something else leaks, or a reading is wrong")};
  if (!compared.not_told.empty()) finding.budget.push_back(compared.not_told);
  finding.budget.push_back(best.marked);
  return finding;
}

// Through the network of the definition, fitted to this engine.
Finding network_option(const OilTold& told, const OptionTold& option) {
  Finding finding = forecast(
      check_name(option.name), lowest_head(told.gauges).place,
      option.authority && option.authority->margin
          ? fmt::format("{}: about {} at the head, {:.0f} to {}; {} at the gallery; the phaser has "
                        "{:.1f} times the torque it needs, {:.1f} to {:.1f}",
                        option.name, kpa(option.head.median), option.head.low * 1e-3,
                        kpa(option.head.high), kpa(option.gallery.median),
                        *option.authority->margin, option.authority->low, option.authority->high)
          : fmt::format("{}: about {} at the head, {:.0f} to {}; {} at the gallery", option.name,
                        kpa(option.head.median), option.head.low * 1e-3, kpa(option.head.high),
                        kpa(option.gallery.median)));
  finding.value = shown_value(
      {option.head.median,
       std::max(option.head.high - option.head.median, option.head.median - option.head.low) / 2},
      default_unit(Kind::pressure));
  finding.evidence = told.evidence;
  finding.sources = {"oil network of the definition, fitted to every gauge of this engine"};
  add_limit(option.pressure, finding);
  return finding;
}

Finding network_choice(const OilTold& told) {
  Finding finding = forecast("what-if-head-choice", lowest_head(told.gauges).place, told.choice);
  finding.evidence = told.evidence;
  finding.next = told.measure_next;
  finding.follows = told.left_out;
  if (told.from_others) {
    const double read = lowest_head(told.gauges).mean.si();
    finding.budget = {fmt::format(
        "fitted to the other gauges alone the network puts this head at {:.0f} to {:.0f} kPa as "
        "found; read were {:.0f} kPa{}",
        told.from_others->low * 1e-3, told.from_others->high * 1e-3, read * 1e-3,
        read >= told.from_others->low && read <= told.from_others->high
            ? ""
            : ": something else leaks, or a reading is wrong")};
  }
  for (const std::string& assumed : told.circuit.assumed) finding.budget.push_back(assumed);
  finding.budget.push_back(
      fmt::format("oil: {}; growth of the bores with heat unknown, none to "
                  "all of it",
                  told.oil));
  return finding;
}

// Oil does not flow to where the pressure is higher.
std::optional<Finding> impossible(const CheckInput& input) {
  const auto together = gauges_together(input, GaugesOf::now, 1);
  const auto wrong = together ? above_gallery(*together) : std::nullopt;
  if (!wrong) return std::nullopt;
  Finding finding =
      forecast("head-pressure", wrong->place,
               fmt::format("{} here, {} at the gallery that feeds it ({}): that cannot be; nothing "
                           "follows from these gauges",
                           kpa(wrong->mean), kpa(together->gallery.mean), together->condition));
  finding.next = {std::string(kBothGaugesAgain)};
  finding.evidence = {together->gallery.entry, wrong->entry};
  finding.cautions = {std::string(kHot)};
  return finding;
}

// No pressure where the pump delivers, as last read: nothing else matters before that.
std::optional<Finding> without_pressure(const CheckInput& input) {
  std::optional<PortRead> last;
  for (PortRead& read : ports_read(input))
    if (!read.gauge.bank && read.speed > 0) last = std::move(read);
  if (!last || last->gauge.mean.si() > 0) return std::nullopt;
  Finding finding = open_finding(
      "head-pressure", last->gauge.place, OpenBecause::implausible,
      fmt::format("no pressure at the gallery ({}): do not run the engine", last->condition));
  finding.next = {
      "level, pick-up and pump; and the same gauge and hose at a port that has pressure: a blocked "
      "hose shows nothing too"};
  finding.evidence = {last->gauge.entry};
  finding.cautions = {std::string(kHot)};
  return finding;
}

}  // namespace

std::vector<Finding> head_pressure(const CheckInput& input) {
  if (!is_read(input, false) && !is_read(input, true)) return {};
  if (auto none = without_pressure(input)) return {std::move(*none)};
  if (auto wrong = impossible(input)) return {std::move(*wrong)};
  const GaugesOrMissing gauges = bank_gauges(input);
  if (gauges.gauges) return {apart(*gauges.gauges)};
  const auto heads =
      std::count_if(input.places.begin(), input.places.end(), [](const EnginePlace& place) {
        return place.type == PlaceType::oil_port && place.bank.has_value();
      });
  if (is_read(input, true) ? heads > 1 : has_camshafts(input))
    return {not_compared(input, gauges.missing)};
  return {};
}

std::vector<Finding> what_if_head_pressure(const CheckInput& input) {
  const OilToldOrMissing network = oil_told(input);
  if (network.told && network.told->explained && !network.told->options.empty()) {
    std::vector<Finding> findings{network_choice(*network.told)};
    for (const OptionTold& option : network.told->options)
      findings.push_back(network_option(*network.told, option));
    return findings;
  }
  const ComparedOrMissing found = banks_compared(input);
  if (!found.compared) return {};
  std::vector<Finding> findings{choice(*found.compared)};
  for (const oil::OptionForecast& option : found.compared->best().options)
    findings.push_back(option_finding(*found.compared, option));
  return findings;
}

}  // namespace tautmark::checks
