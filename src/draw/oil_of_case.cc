// SPDX-License-Identifier: Apache-2.0
#include "draw/oil_of_case.h"

#include <fmt/format.h>

#include "drive/places.h"

namespace tautmark {
namespace {

DrawnWayKind drawn_kind(OilElementKind kind) {
  switch (kind) {
    case OilElementKind::pump:
      return DrawnWayKind::pump;
    case OilElementKind::relief:
      return DrawnWayKind::relief;
    case OilElementKind::hole:
      return DrawnWayKind::hole;
    case OilElementKind::check_valve:
      return DrawnWayKind::check_valve;
    case OilElementKind::clearance:
    case OilElementKind::bearing:
      return DrawnWayKind::clearance;
    case OilElementKind::slot:
      return DrawnWayKind::slot;
    case OilElementKind::screen:
      break;
  }
  return DrawnWayKind::screen;
}

// Places and ways without their numbers.
CircuitDrawing drawing_of(const LoadedDrive& loaded, const OilTold& told) {
  const Drive& drive = loaded.drive;
  CircuitDrawing out{.title = drive.title.value_or(drive.name),
                     .invented = drive.invented.value_or(false)};
  out.facts = {{"at", told.gauges.condition}, {"oil", told.oil}};
  for (const NodeTold& node : told.nodes) {
    DrawnNode drawn{.name = node.name};
    if (node.least) drawn.limit = in_kPa(*node.least);
    out.nodes.push_back(std::move(drawn));
  }
  for (std::size_t i = 0; i < told.ways.size(); ++i) {
    const WayTold& way = told.ways[i];
    DrawnWay drawn{.name = way.name, .kind = drawn_kind(way.kind), .from = way.from, .to = way.to};
    // A plate pressed against another says nothing by its height.
    if (drawn.kind == DrawnWayKind::clearance && way.clearance)
      drawn.clearance = in_mm(*way.clearance);
    drawn.count = told.circuit.ways[i].written.count.value_or(1);
    out.ways.push_back(std::move(drawn));
  }
  return out;
}

}  // namespace

CircuitDrawing circuit_drawing_of(const LoadedDrive& loaded, const OilTold& told) {
  constexpr double kKilopascal = 1e3, kLiterPerMinute = 1e-3 / 60;
  CircuitDrawing out = drawing_of(loaded, told);
  for (std::size_t i = 0; i < out.nodes.size(); ++i) {
    const NodeTold& node = told.nodes[i];
    DrawnNode& drawn = out.nodes[i];
    drawn.pressure = node.pressure.median / kKilopascal;
    drawn.low = node.pressure.low / kKilopascal;
    drawn.high = node.pressure.high / kKilopascal;
    if (node.read) drawn.gauge = in_kPa(node.read->mean);
    drawn.below_limit = node.least && node.pressure.high < node.least->si();
  }
  for (std::size_t i = 0; i < out.ways.size(); ++i)
    out.ways[i].flow = told.ways[i].flow.median / kLiterPerMinute;
  out.notes.emplace_back("Fitted to the gauges that were read; ranges are 95 %. An estimate.");
  return out;
}

CircuitDrawing circuit_drawing_of(const LoadedDrive& loaded, const OilTold& told,
                                  const CircuitSolved& solved,
                                  std::span<const KnownClearance> asked) {
  CircuitDrawing out = drawing_of(loaded, told);
  for (std::size_t i = 0; i < out.nodes.size(); ++i) {
    out.nodes[i].pressure = in_kPa(solved.at[i]);
    out.nodes[i].below_limit = told.nodes[i].least && solved.at[i] < *told.nodes[i].least;
  }
  for (std::size_t i = 0; i < out.ways.size(); ++i) {
    out.ways[i].flow = in_liters_per_min(solved.through[i]);
    for (const KnownClearance& one : asked)
      if (same_place(told.ways[i].journal, one.place)) out.ways[i].clearance = in_mm(one.clearance);
  }
  out.notes.emplace_back(
      "What if: clearances as they were set on the page, all else as fitted to the gauges. No "
      "gauge "
      "has read this.");
  return out;
}

AuthorityDrawing authority_drawing_of(const LoadedDrive& loaded, const OilTold& told,
                                      const AuthorityCurve& curve) {
  AuthorityDrawing out{.title = loaded.drive.title.value_or(loaded.drive.name),
                       .invented = loaded.drive.invented.value_or(false),
                       .facts = {{"at", told.gauges.condition}, {"oil", told.oil}},
                       .journal = curve.journal};
  for (const CurvePoint& point : curve.points)
    out.points.push_back({in_mm(point.clearance), point.margin, point.low, point.high});
  if (curve.measured) {
    out.measured_mm = in_mm(*curve.measured);
    out.measured_U_mm = in_mm(curve.measured_U);
  }
  if (curve.most) out.most_mm = in_mm(*curve.most);
  return out;
}

PressureDrawing pressure_drawing_of(const LoadedDrive& loaded, const PressureChart& chart) {
  PressureDrawing out{.title = loaded.drive.title.value_or(loaded.drive.name),
                      .invented = loaded.drive.invented.value_or(false),
                      .facts = {},
                      .port = chart.port,
                      .speed = fmt::format("{:.0f} 1/min", in_per_min(chart.speed)),
                      .oil = chart.grade};
  for (const LimitAt& at : chart.limit)
    out.limit.push_back({in_degC(at.oil), in_kPa(at.pressure), at.is_indicative});
  for (const ChartPoint& point : chart.points)
    out.points.push_back({in_degC(point.oil), in_kPa(point.pressure), in_kPa(point.U), point.label,
                          point.is_beside_it});
  return out;
}

}  // namespace tautmark
