// SPDX-License-Identifier: Apache-2.0
// Readings at single oil ports: with the speed and the temperature of the oil beside them, and not
// with an oil known to be another than specified.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "judge/check.h"

namespace tautmark {

struct GaugeRead {
  Pressure mean{};
  Pressure U{};       // 95 %
  std::string shown;  // "88 ± 4 kPa", as findings show it
  std::string place;
  std::string entry;
  std::optional<int> bank{};
  bool operator==(const GaugeRead&) const = default;
};

struct PortRead {
  GaugeRead gauge{};
  const EnginePlace* place = nullptr;
  double speed = 0;       // 1/s, turns of the crankshaft
  double oil = 0;         // K
  std::string condition;  // "650 1/min, oil at 95 degC"
};

// As found: before the first bearing was measured. Now: since the drive was last opened, or all
// where nothing was read since.
enum class GaugesOf { as_found, now };
std::vector<PortRead> ports_read(const CheckInput& input, GaugesOf state = GaugesOf::now);

// What to measure at a port, in words.
std::string port_to_read(const std::string& place);

// Hot idle: up to 1000 1/min with the oil at 80 °C or more; cold: at 40 °C or less (own judgement).
// The slowest at this place, of equal ones the last; null: none.
const PortRead* hot_idle_at(const std::vector<PortRead>& reads, const EnginePlace& place);
const PortRead* cold_at(const std::vector<PortRead>& reads, const EnginePlace& place);

// Whether a gauge was put to any port, comparable or not.
bool is_any_port_read(const CheckInput& input);

}  // namespace tautmark
