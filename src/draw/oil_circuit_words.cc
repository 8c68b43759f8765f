// SPDX-License-Identifier: Apache-2.0
// Words and numbers of an oil circuit.
#include <algorithm>
#include <cmath>
#include <string>

#include "base/quantity_text.h"
#include "draw/labels.h"
#include "draw/oil_circuit_parts.h"

namespace tautmark::draw {
namespace {

constexpr double kLabelWidth = kColumnWidth - kColumnLabel - 5;
constexpr double kLeastFlow = 0.005;  // L/min: less is written as less

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// "rod 7": "rod", 7.
struct Numbered {
  std::string stem;
  int number = -1;
};
Numbered numbered(const std::string& name) {
  std::size_t end = name.size();
  while (end > 0 && is_digit(name[end - 1])) --end;
  constexpr std::size_t kMostDigits = 4;
  if (end == name.size() || end < 2 || name[end - 1] != ' ' || name.size() - end > kMostDigits)
    return {name};
  return {name.substr(0, end - 1), std::stoi(name.substr(end))};
}

std::string without_bank(std::string_view name, std::string_view bank) {
  if (bank.empty() || bank_of(name) != bank) return std::string(name);
  std::string_view rest = name.substr(bank.size());
  while (!rest.empty() && (rest.front() == ' ' || rest.front() == ',' || rest.front() == '/'))
    rest.remove_prefix(1);
  return std::string(rest.empty() ? name : rest);
}

std::string numbers_words(std::vector<int> numbers) {
  std::sort(numbers.begin(), numbers.end());
  const int span = numbers.back() - numbers.front();
  const std::string first = std::to_string(numbers.front()), last = std::to_string(numbers.back());
  if (numbers.size() == 2) return first + " and " + last;
  if (span + 1 == static_cast<int>(numbers.size())) return first + " to " + last;
  std::string words;
  for (const int number : numbers) words += (words.empty() ? "" : ", ") + std::to_string(number);
  return words;
}

double each(const DrawnWay& way) { return std::abs(way.flow) / std::max(way.count, 1); }

// One that is worn must stay by itself.
bool is_like(const DrawnWay& a, const DrawnWay& b) {
  constexpr double kFlowApart = 0.25, kClearanceApart = 0.15;
  if (a.kind != b.kind || a.from != b.from || a.to != b.to) return false;
  if (a.clearance.has_value() != b.clearance.has_value()) return false;
  if (a.clearance &&
      !(std::abs(*a.clearance - *b.clearance) <= kClearanceApart * std::abs(*a.clearance)))
    return false;
  if (each(a) < kLeastFlow && each(b) < kLeastFlow) return true;
  return a.flow * b.flow > 0 && std::abs(each(a) - each(b)) <= kFlowApart * each(a);
}

std::string clearance_words(const CircuitDrawing& circuit, const CircuitColumn& column) {
  double least = HUGE_VAL, most = -HUGE_VAL;
  for (const std::size_t i : column.ways) {
    const auto& clearance = circuit.ways[i].clearance;
    if (!clearance || !std::isfinite(*clearance)) return {};
    least = std::min(least, *clearance);
    most = std::max(most, *clearance);
  }
  constexpr int kDecimals = 3;
  const std::string low = number_text(least, kDecimals), high = number_text(most, kDecimals);
  return (low == high ? low : low + " to " + high) + " mm";
}

std::string kind_words(DrawnWayKind kind) {
  switch (kind) {
    case DrawnWayKind::pump:
      return "pump";
    case DrawnWayKind::relief:
      return "relief valve";
    case DrawnWayKind::check_valve:
      return "check valve";
    case DrawnWayKind::clearance:
      return "clearance";
    case DrawnWayKind::slot:
      return "slot";
    case DrawnWayKind::screen:
      return "screen";
    case DrawnWayKind::hole:
      break;
  }
  return "hole";
}

}  // namespace

std::string pressure_words(double kpa) {
  if (!std::isfinite(kpa)) return "?";
  constexpr double kWhole = 99.5, kTenth = 9.95;
  const double size = std::abs(kpa);
  return number_text(kpa, size >= kWhole ? 0 : size >= kTenth ? 1 : 2);
}

// Of what is known less well: no tenths from 10 on.
std::string rough_words(double kpa) {
  constexpr double kWhole = 9.95;
  return std::isfinite(kpa) && std::abs(kpa) >= kWhole ? number_text(kpa, 0) : pressure_words(kpa);
}

std::string flow_words(double flow) {
  if (!std::isfinite(flow)) return "? L/min";
  const double size = std::abs(flow);
  if (size == 0) return "0 L/min";
  if (size < kLeastFlow) return "<0.01 L/min";
  constexpr double kTenth = 9.95;
  return number_text(size, size >= kTenth ? 1 : 2) + " L/min";
}

std::string node_name(const CircuitDrawing& circuit, int node) {
  if (node < 0 || static_cast<std::size_t>(node) >= circuit.nodes.size()) return "the sump";
  const std::string& name = circuit.nodes[node].name;
  return name.empty() ? "place " + std::to_string(node + 1) : name;
}

std::string bank_of(std::string_view name) {
  constexpr std::string_view kBank = "bank ";
  if (!name.starts_with(kBank)) return {};
  std::size_t end = kBank.size();
  while (end < name.size() && is_digit(name[end])) ++end;
  return end > kBank.size() ? std::string(name.substr(0, end)) : std::string();
}

CircuitPlate plate_of(const CircuitDrawing& circuit, int index, std::string_view bank) {
  const DrawnNode& node = circuit.nodes[index];
  constexpr double kBeside = 11, kNameWidth = 150, kUnit = 34, kGauge = 30;
  constexpr std::size_t kMostLines = 3;
  CircuitPlate plate;
  plate.name =
      wrapped(without_bank(node_name(circuit, index), bank), kNameWidth / kPlateName, true);
  if (plate.name.size() > kMostLines) plate.name.resize(kMostLines);
  plate.pressure = pressure_words(node.pressure);
  if (node.low && node.high && std::isfinite(*node.low) && std::isfinite(*node.high))
    plate.range = rough_words(*node.low) + " to " + rough_words(*node.high);
  if (node.gauge) plate.gauge = "read " + rough_words(*node.gauge);
  if (node.below_limit)
    plate.low = node.limit ? "LOW: at least " + rough_words(*node.limit) : "LOW";
  double width = text_width(plate.pressure, true) * kPressureSize + kUnit;
  for (const std::string& line : plate.name)
    width = std::max(width, text_width(line, true) * kPlateName);
  width = std::max(width, text_width(plate.range) * kRangeSize);
  if (!plate.gauge.empty())
    width = std::max(width, text_width(plate.gauge, true) * kRangeSize + kGauge);
  if (!plate.low.empty()) width = std::max(width, text_width(plate.low, true) * kRangeSize + 18);
  plate.width = width + 2 * kBeside;
  plate.height = 2 * kPlateAir + kPlateNameLine * static_cast<double>(plate.name.size()) +
                 kPressureLine + (plate.range.empty() ? 0 : kRangeLine) +
                 (plate.gauge.empty() ? 0 : kRangeLine + 5) +
                 (plate.low.empty() ? 0 : kRangeLine + 4);
  return plate;
}

void add_label(const CircuitDrawing& circuit, std::string_view bank, CircuitColumn& column) {
  const DrawnWay& first = circuit.ways[column.ways.front()];
  constexpr std::size_t kMostLines = 5;
  std::string name = without_bank(first.name, bank);
  int count = 0;
  for (const std::size_t i : column.ways) count += std::max(circuit.ways[i].count, 1);
  if (column.ways.size() > 1) {
    std::vector<int> numbers;
    const std::string stem = numbered(first.name).stem;
    bool are_numbered = true;
    for (const std::size_t i : column.ways) {
      const Numbered own = numbered(circuit.ways[i].name);
      are_numbered = are_numbered && own.number >= 0 && own.stem == stem;
      numbers.push_back(own.number);
    }
    name = are_numbered ? without_bank(stem, bank) + " " + numbers_words(numbers)
                        : name + " and " + std::to_string(column.ways.size() - 1) + " more";
  }
  column.more.clear();
  column.name = wrapped(name, kLabelWidth / kNameSize);
  if (column.name.size() > kMostLines) column.name.resize(kMostLines);
  const bool is_valve =
      column.kind == DrawnWayKind::relief || column.kind == DrawnWayKind::check_valve;
  column.flow_words =
      is_valve && std::abs(column.flow) < kLeastFlow ? "shut" : flow_words(column.flow);
  if (count > 1) column.more.push_back(std::to_string(count) + " together");
  if (const std::string gap = clearance_words(circuit, column); !gap.empty())
    for (const std::string& line : wrapped(gap, kLabelWidth / kNameSize))
      column.more.push_back(line);
  if (column.end == CircuitColumn::End::tag) {
    const std::string other =
        node_name(circuit, first.from) + " to " + node_name(circuit, first.to);
    for (const std::string& line : wrapped(other, kLabelWidth / kNameSize))
      if (column.more.size() < kMostLines) column.more.push_back(line);
  }
  column.label_height =
      kFlowLine + kNameLine * static_cast<double>(column.name.size() + column.more.size());
}

std::vector<CircuitColumn> columns_of(const CircuitDrawing& circuit, int node,
                                      const std::vector<std::size_t>& ways, std::string_view bank) {
  std::vector<CircuitColumn> columns;
  for (const std::size_t i : ways) {
    const DrawnWay& way = circuit.ways[i];
    const Numbered own = numbered(way.name);
    const auto same = std::find_if(columns.begin(), columns.end(), [&](const CircuitColumn& c) {
      const DrawnWay& first = circuit.ways[c.ways.front()];
      return own.number >= 0 && numbered(first.name).stem == own.stem && is_like(first, way);
    });
    if (same == columns.end()) {
      columns.push_back({.ways = {i}, .kind = way.kind, .flow = flow_from(way, node)});
    } else {
      same->ways.push_back(i);
      same->flow += flow_from(way, node);
    }
  }
  for (CircuitColumn& column : columns) add_label(circuit, bank, column);
  return columns;
}

std::string circuit_words(const CircuitDrawing& circuit) {
  std::string words = circuit.headline;
  const auto sentence = [&](const std::string& one) { words += (words.empty() ? "" : " ") + one; };
  for (std::size_t i = 0; i < circuit.nodes.size(); ++i) {
    const DrawnNode& node = circuit.nodes[i];
    std::string one =
        node_name(circuit, static_cast<int>(i)) + ": " + pressure_words(node.pressure) + " kPa";
    if (node.low && node.high)
      one += ", " + rough_words(*node.low) + " to " + rough_words(*node.high);
    if (node.gauge) one += ", read " + rough_words(*node.gauge);
    if (node.below_limit) one += ", low";
    if (node.limit) one += ", at least " + rough_words(*node.limit);
    sentence(one + ".");
  }
  for (const DrawnWay& way : circuit.ways) {
    std::string one = way.name + ", " + kind_words(way.kind) + " from " +
                      node_name(circuit, way.from) + " to " + node_name(circuit, way.to) + ": " +
                      (way.flow < 0 ? "back " : "") + flow_words(way.flow);
    if (way.count > 1) one += ", " + std::to_string(way.count) + " together";
    if (way.clearance && std::isfinite(*way.clearance))
      one += ", " + number_text(*way.clearance, 3) + " mm";
    sentence(one + ".");
  }
  return words;
}

}  // namespace tautmark::draw
