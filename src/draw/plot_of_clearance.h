// SPDX-License-Identifier: Apache-2.0
// Drawings of the gaps of a definition, and of the way of a case, filled from what was computed.
//
// Cells of the map by error are the least over all cylinders of the bank and all valves of the
// camshaft: floor or crown, pocket wall, and the other valve of the cylinder with its camshaft
// right and anywhere in its travel. In the map of a way, between heads that could meet, rows are
// marked where the camshaft turns freely only with the other's valves shut.
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "draw/clearance_map.h"
#include "draw/clearance_section.h"
#include "judge/valve_gaps.h"
#include "judge/way_answer.h"

namespace tautmark {

// Places of camshafts with valves, in order: "bank 1 / intake camshaft".
std::vector<std::string> camshafts_of(const std::vector<ValvesOfCam>& valves);

// The map over crank angle and error. `camshaft` is one of camshafts_of.
ClearanceMapPlot plot_of_gaps(const LoadedDrive& loaded, const std::vector<ValvesOfCam>& valves,
                              const std::string& camshaft);

// The map over crank and camshaft angle of an engine whose chain is off, with the moves on it.
// `camshaft` is a place in the list of the engine as searched, which is not empty.
ClearanceMapPlot plot_of_way(const LoadedDrive& loaded, const WayAnswer& answer,
                             std::size_t camshaft);

struct SectionAsked {
  std::string camshaft{};
  int teeth = 0;                         // early
  std::string phaser = "phaser locked";  // or another PhaserPlace of it; one without: any words
};
// Refused with what is missing where no gap can be computed.
Result<ClearanceSection> section_of_gaps(const LoadedDrive& loaded,
                                         const std::vector<ValvesOfCam>& valves,
                                         const SectionAsked& asked);

// The same as SVG; with a case, of what was measured on its engine.
std::string clearance_map_svg(const LoadedDrive& loaded, const std::string& camshaft,
                              const PlotOptions& options = {}, const Case* engine = nullptr);
std::string clearance_map_svg(const LoadedDrive& loaded, const WayAnswer& answer,
                              std::size_t camshaft, const PlotOptions& options = {});
Result<std::string> clearance_section_svg(const LoadedDrive& loaded, const SectionAsked& asked,
                                          const PlotOptions& options = {},
                                          const Case* engine = nullptr);

}  // namespace tautmark
