// SPDX-License-Identifier: Apache-2.0
#include "report/recording_cycles.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kMostCycles = 2000;
constexpr double kMostBins = 40;

// 1, 2 or 5 times a power of ten.
double bin_width(double range, std::size_t cycles) {
  const double bins = std::min(kMostBins, 2 * std::sqrt(static_cast<double>(cycles)));
  const double rough = std::max(range / bins, 0.01);
  const double power = std::pow(10, std::floor(std::log10(rough)));
  for (const double step : {1.0, 2.0, 5.0})
    if (step * power >= rough * (1 - 1e-9)) return step * power;
  return 10 * power;
}

double rounded(double value, double per_unit) { return std::round(value * per_unit) / per_unit; }

Json histogram_json(const CamPhase& phase) {
  const auto [least, most] =
      std::minmax_element(phase.cycles.begin(), phase.cycles.end(),
                          [](const CyclePhase& a, const CyclePhase& b) { return a.psi < b.psi; });
  const double width = bin_width(most->psi - least->psi, phase.cycles.size());
  const double first = std::floor(least->psi / width);
  std::vector<std::int64_t> counts(static_cast<std::size_t>(std::floor(most->psi / width) - first) +
                                   1);
  for (const CyclePhase& cycle : phase.cycles)
    ++counts[static_cast<std::size_t>(std::floor(cycle.psi / width) - first)];
  return {{"from_deg", rounded(first * width, 1e4)}, {"step_deg", width}, {"counts", counts}};
}

}  // namespace

nlohmann::ordered_json cycles_json(const CamPhase& phase) {
  const std::size_t every = phase.cycles.size() / (kMostCycles + 1) + 1;
  Json out = {{"every", every},
              {"time_s", Json::array()},
              {"psi_deg", Json::array()},
              {"U_deg", Json::array()},
              {"histogram", nullptr}};
  for (std::size_t i = 0; i < phase.cycles.size(); i += every) {
    const CyclePhase& cycle = phase.cycles[i];
    out["time_s"].push_back(rounded(cycle.time, 1e6));
    out["psi_deg"].push_back(rounded(cycle.psi, 1e4));
    out["U_deg"].push_back(rounded(2 * cycle.sigma, 1e4));
  }
  if (!phase.cycles.empty()) out["histogram"] = histogram_json(phase);
  return out;
}

}  // namespace tautmark
