// SPDX-License-Identifier: Apache-2.0
// What the fillers of both clearance maps share.
#pragma once

#include <string>
#include <vector>

#include "draw/clearance_map.h"
#include "drive/load.h"

namespace tautmark::draw {

void add_once(std::vector<std::string>& words, const std::string& one);

// One after the other, with the number of its cylinder; empty when the definition has no order.
struct Top {
  int cylinder = 0;
  double at = 0;  // crank deg
};
std::vector<Top> tops_of(const Drive& drive, const std::vector<int>& cylinders);

// Both ends, and between them steps of at most `step`.
std::vector<double> nodes(double from, double to, double step);
std::string degrees(double value);  // "37.9°", "90°"
void set_frame(const LoadedDrive& loaded, ClearanceMapPlot& plot, const std::string& camshaft);
void set_across(double to, double step, ClearanceMapPlot& plot);

}  // namespace tautmark::draw
