// SPDX-License-Identifier: Apache-2.0
#include "draw/clearance_common.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "judge/valve_gaps.h"

namespace tautmark::draw {

void add_once(std::vector<std::string>& words, const std::string& one) {
  if (std::find(words.begin(), words.end(), one) == words.end()) words.push_back(one);
}

std::vector<Top> tops_of(const Drive& drive, const std::vector<int>& cylinders) {
  const auto tops = firing_tops_of(drive);
  if (!tops) return {};
  std::vector<Top> found;
  for (const int cylinder : cylinders)
    if (cylinder >= 1 && static_cast<std::size_t>(cylinder) <= tops->size())
      found.push_back({cylinder, in_crank_deg((*tops)[static_cast<std::size_t>(cylinder) - 1])});
  return found;
}

std::vector<double> nodes(double from, double to, double step) {
  const int count = std::max(1, static_cast<int>(std::ceil((to - from) / step - 1e-9)));
  std::vector<double> all;
  for (int i = 0; i <= count; ++i) all.push_back(from + (to - from) * i / count);
  return all;
}

std::string degrees(double value) {
  const double whole = std::round(value);
  return std::abs(value - whole) < 0.05 ? fmt::format("{:.0f}°", whole)
                                        : fmt::format("{:.1f}°", value);
}

void set_frame(const LoadedDrive& loaded, ClearanceMapPlot& plot, const std::string& camshaft) {
  const Drive& drive = loaded.drive;
  plot.title = drive.title.value_or(drive.name);
  plot.invented = drive.invented.value_or(false);
  plot.facts = {{"drive", drive.name + (drive.revision ? ", revision " + *drive.revision : "")},
                {"camshaft", camshaft}};
}

void set_across(double to, double step, ClearanceMapPlot& plot) {
  for (double at = 0; at <= to; at += step) plot.across.push_back({at, degrees(at)});
}

}  // namespace tautmark::draw
