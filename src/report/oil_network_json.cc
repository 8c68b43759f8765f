// SPDX-License-Identifier: Apache-2.0
#include "report/oil_network_json.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "drive/drive_fields.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

constexpr double kKilopascal = 1e3;
constexpr double kLiterPerMinute = 1e-3 / 60;

Json range_json(const oil::Interval& range, double unit) {
  return {{"likely", range.median / unit}, {"low", range.low / unit}, {"high", range.high / unit}};
}

std::string_view band_name(oil::AuthorityBand band) {
  switch (band) {
    case oil::AuthorityBand::drifts:
      return "drifts to the stop";
    case oil::AuthorityBand::holds_only:
      return "holds only";
    case oil::AuthorityBand::slow:
      return "slow that way";
    case oil::AuthorityBand::comfortable:
      return "comfortable";
    case oil::AuthorityBand::load_helps:
      break;
  }
  return "the load helps";
}

Json authority_json(const std::optional<oil::Authority>& authority) {
  if (!authority || !authority->margin) return nullptr;
  return {{"margin", *authority->margin},
          {"low", authority->low},
          {"high", authority->high},
          {"band", band_name(authority->band)},
          {"worst", band_name(authority->worst)}};
}

Json place_json(const NodeTold& node) {
  Json out = {{"name", node.name}, {"kPa", range_json(node.pressure, kKilopascal)}};
  if (node.read)
    out["read"] = {{"kPa", in_kPa(node.read->mean)},
                   {"U_kPa", in_kPa(node.read->U)},
                   {"entry", node.read->entry}};
  if (node.least) out["least_kPa"] = in_kPa(*node.least);
  return out;
}

Json way_json(const OilTold& told, const WayTold& way) {
  const auto place = [&](int node) {
    return node == oil::kSump ? Json(nullptr)
                              : Json(told.nodes[static_cast<std::size_t>(node)].name);
  };
  Json out = {{"name", way.name},
              {"kind", ChoiceNames<OilElementKind>::names[static_cast<std::size_t>(way.kind)]},
              {"from", place(way.from)},
              {"to", place(way.to)},
              {"L_min", range_json(way.flow, kLiterPerMinute)}};
  if (way.clearance) out["clearance_mm"] = in_mm(*way.clearance);
  if (!way.journal.empty()) out["journal"] = way.journal;
  return out;
}

Json curve_json(const AuthorityCurve& curve) {
  Json points = Json::array();
  for (const CurvePoint& point : curve.points)
    points.push_back({{"clearance_mm", in_mm(point.clearance)},
                      {"margin", point.margin},
                      {"low", point.low},
                      {"high", point.high}});
  return {{"journal", curve.journal},
          {"points", points},
          {"measured_mm", curve.measured ? Json(in_mm(*curve.measured)) : Json(nullptr)},
          {"measured_U_mm", curve.measured ? Json(in_mm(curve.measured_U)) : Json(nullptr)},
          {"most_mm", curve.most ? Json(in_mm(*curve.most)) : Json(nullptr)}};
}

Json gauges_json(const GaugesTogether& gauges) {
  Json heads = Json::array();
  for (const GaugeRead& head : gauges.heads) heads.push_back(gauge_json(head));
  return {{"gallery", gauge_json(gauges.gallery)},
          {"heads", heads},
          {"lowest", lowest_head(gauges).place}};
}

Json journal_json(const CircuitJournal& journal) {
  return {{"place", journal.place},
          {"bank", journal.bank ? Json(*journal.bank) : Json(nullptr)},
          {"mm", in_mm(journal.clearance)},
          {"U_mm", in_mm(journal.U)},
          {"measured", journal.measured}};
}

Json swing_json(const OilTold& told) {
  if (!told.holding || !told.holding->swing) return nullptr;
  return {{"least_deg", in_cam_deg(told.holding->swing->least)},
          {"most_deg", in_cam_deg(told.holding->swing->most)}};
}

Json back_json(const OilTold& told) {
  if (!told.holding || !told.holding->back) return nullptr;
  const oil::Slew& slew = told.holding->back->slew;
  return {{"deg_per_s", in_cam_deg(slew.in_a_second)},
          {"U_deg_per_s", in_cam_deg(slew.U)},
          {"state", slew_words(told.holding->back->state)}};
}

Json saw_tooth_json(const OilTold& told) {
  if (!told.holding || !told.holding->saw_tooth) return nullptr;
  return {{"height_deg", in_cam_deg(told.holding->saw_tooth->height)},
          {"period_s", told.holding->saw_tooth->period.si()}};
}

}  // namespace

Json gauge_json(const GaugeRead& read) {
  return {{"place", read.place},
          {"kPa", in_kPa(read.mean)},
          {"U_kPa", in_kPa(read.U)},
          {"entry", read.entry}};
}

std::string means_of(oil::ForecastAgainst pressure) {
  switch (pressure) {
    case oil::ForecastAgainst::below:
      return "below the limit of the port";
    case oil::ForecastAgainst::either:
      return "the limit lies inside the range";
    case oil::ForecastAgainst::above:
      return "above the limit, by this estimate";
    case oil::ForecastAgainst::no_limit:
      break;
  }
  return "no limit at this port";
}

std::string_view slew_words(oil::SlewState state) {
  switch (state) {
    case oil::SlewState::held_by_friction:
      return "does not move: friction holds it";
    case oil::SlewState::runs_backwards:
      return "runs backwards although its valve is wide open";
    case oil::SlewState::moves:
      break;
  }
  return "moves";
}

std::string authority_words(const std::optional<oil::Authority>& authority) {
  if (!authority || !authority->margin) return "not told: the definition has no data of it";
  const std::string likely =
      fmt::format("{:.1f} ({:.1f} to {:.1f}), {}", *authority->margin, authority->low,
                  authority->high, band_name(authority->band));
  if (authority->worst == authority->band) return likely;
  return fmt::format("{}, at worst: {}", likely, band_name(authority->worst));
}

Json network_json(const OilTold& told) {
  Json places = Json::array(), ways = Json::array(), options = Json::array();
  Json journals = Json::array(), matters = Json::array(), sensitivities = Json::array();
  for (const ClearanceMatters& one : what_matters(told))
    matters.push_back({{"journal", one.journal}, {"kPa_for_10_um", in_kPa(one.change)}});
  for (const ClearanceSensitivity& one : clearance_sensitivities(told)) {
    Json by_place = Json::array();
    for (const Pressure change : one.for_um) by_place.push_back(in_kPa(change));
    sensitivities.push_back({{"clearance", one.clearance}, {"kPa_for_1_um", by_place}});
  }
  for (const CircuitJournal& one : told.circuit.journals) journals.push_back(journal_json(one));
  for (const NodeTold& node : told.nodes) places.push_back(place_json(node));
  for (const WayTold& way : told.ways) ways.push_back(way_json(told, way));
  for (const OptionTold& option : told.options)
    options.push_back({{"option", option.name},
                       {"head_kPa", range_json(option.head, kKilopascal)},
                       {"gallery_kPa", range_json(option.gallery, kKilopascal)},
                       {"authority", authority_json(option.authority)},
                       {"means", means_of(option.pressure)}});
  return {{"condition", told.gauges.condition},
          {"oil", told.oil},
          {"explained", told.explained},
          {"places", places},
          {"ways", ways},
          {"bank", told.bank ? Json(*told.bank) : Json(nullptr)},
          {"options", options},
          {"matters", matters},
          {"drift", told.holding ? Json{{"deg_per_s", in_cam_deg(told.holding->drift)},
                                        {"U_deg_per_s", in_cam_deg(told.holding->drift_U)}}
                                 : Json(nullptr)},
          {"swing", swing_json(told)},
          {"back", back_json(told)},
          {"saw_tooth", saw_tooth_json(told)},
          {"sensitivities", sensitivities},
          {"choice", told.choice},
          {"highest", told.highest},
          {"measure_next", told.measure_next},
          {"left_out", told.left_out},
          {"from_others_kPa",
           told.from_others ? range_json(*told.from_others, kKilopascal) : Json(nullptr)},
          {"curve", told.curve ? curve_json(*told.curve) : Json(nullptr)},
          {"gauges", gauges_json(told.gauges)},
          {"journals", journals},
          {"assumed", told.circuit.assumed},
          {"evidence", told.evidence}};
}

Json solved_json(const CircuitSolved& solved) {
  Json places = Json::array(), ways = Json::array();
  for (const Pressure at : solved.at) places.push_back(in_kPa(at));
  for (const Flow flow : solved.through) ways.push_back(in_liters_per_min(flow));
  return {{"places", places}, {"ways", ways}, {"authority", authority_json(solved.authority)}};
}

Json wear_json(const WearTold& told) {
  Json suspects = Json::array();
  for (const std::size_t i : told.wear.ranking) {
    const oil::WearHypothesis& one = told.wear.hypotheses[i];
    suspects.push_back({{"name", one.name},
                        {"probability", one.probability},
                        {"times_as_open", range_json(one.factor, 1)}});
  }
  return {{"condition", told.gauges.condition},
          {"explained", told.wear.explained},
          {"suspects", suspects},
          {"measured", told.measured},
          {"said", told.wear.said},
          {"evidence", told.evidence}};
}

Json chart_json(const PressureChart& chart) {
  Json limit = Json::array(), points = Json::array();
  for (const LimitAt& at : chart.limit)
    limit.push_back({{"degC", in_degC(at.oil)},
                     {"kPa", in_kPa(at.pressure)},
                     {"indicative", at.is_indicative}});
  for (const ChartPoint& point : chart.points)
    points.push_back({{"degC", in_degC(point.oil)},
                      {"kPa", in_kPa(point.pressure)},
                      {"U_kPa", in_kPa(point.U)},
                      {"entry", point.label},
                      {"beside_it", point.is_beside_it}});
  return {{"port", chart.port},
          {"speed_per_min", in_per_min(chart.speed)},
          {"oil", chart.grade},
          {"limit", limit},
          {"points", points}};
}

}  // namespace tautmark
