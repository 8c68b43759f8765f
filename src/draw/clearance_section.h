// SPDX-License-Identifier: Apache-2.0
// A valve and its piston where they are nearest, cut in the plane of the valve, to scale.
// Everything is computed before (plot_of_clearance.h); here it is only drawn.
//
// Lengths in mm, angles in degrees. Across the engine to the right, along the bore upward, the
// gasket face of the block at height 0. `lean` turns a stem from the bore towards the right. What
// the definition does not say is left out, or dashed where something has to end somewhere; `notes`
// say it in words. Lines that carry a length have data-part ("face", "floor", "crown") and, in the
// enlarged detail, data-detail; the root carries data-units-per-mm, data-detail-scale.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "draw/recording_plot.h"

namespace tautmark {

struct SectionValve {
  std::string name{};  // "intake"
  double lean = 0;
  double across = 0, above = 0;  // middle of the face, valve shut
  std::optional<double> head_diameter{}, head_thickness{};
  double lift = 0;
  double gap = 0;  // along its axis, to floor or crown; negative in contact
  bool flat_crown = false;
  // Of its pocket: beside the head's middle to where the piston slides as it goes down, width,
  // height of the wall. Empty: no wall, or not in the definition.
  std::optional<double> pocket_beside{}, pocket_diameter{}, wall_height{};
};

struct SectionCrank {  // from the front of an engine that turns clockwise
  double half_throw = 0, rod = 0, pin_offset = 0;
  double throw_angle = 0;  // of the bore's axis, in running direction
};

struct ClearanceSection {
  std::string title{};
  bool invented = false;
  std::string headline{};
  std::vector<std::pair<std::string, std::string>> facts{};
  SectionValve valve{};
  std::optional<SectionValve> other{};
  std::optional<double> bore{};
  bool is_placed = false;   // the valve's place in the cylinder is known
  std::string gap_words{};  // "2.41 ± 0.11 mm", "contact by 0.64 mm"
  bool is_contact = false;
  std::optional<SectionCrank> crank{};
  std::string crank_words{};  // "7° after top dead center, gas exchange"
  std::vector<std::string> not_known{};
  std::vector<std::string> notes{};
};

std::string clearance_section_svg(const ClearanceSection& section, const PlotOptions& options = {});

}  // namespace tautmark
