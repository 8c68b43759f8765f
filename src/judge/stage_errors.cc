// SPDX-License-Identifier: Apache-2.0
#include "judge/stage_errors.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "judge/drive_paths.h"

namespace tautmark {
namespace {

// Adds one stage; false where it is not proven.
bool add_stage(StagesBefore& before, const ChainMarks& marks, std::size_t j) {
  const std::string pair =
      fmt::format("{} against {}", marks.sprockets[j].name, marks.sprockets[0].name);
  if (!marks.found || !marks.conflicts.empty() || !marks.found->all_counted ||
      marks.found->surplus != 0) {
    before.missing = fmt::format("{} is not proven by counts of {}", pair, marks.chain->name);
    return false;
  }
  const SprocketStand& stand = marks.found->sprockets[j];
  const int error = stand.half_teeth.value_or(0);
  if (error % 2 != 0 || over_a_quarter_turn(marks, j) || (error != 0 && !stand.crank)) {
    before.missing = fmt::format("{}: {} by the counts of {}, not understood", pair,
                                 error_text(marks, j, error), marks.chain->name);
    return false;
  }
  if (error != 0) {
    before.off +=
        fmt::format("{}{} {} against {}", before.off.empty() ? "" : ", ", marks.sprockets[j].name,
                    error_text(marks, j, error), marks.sprockets[0].name);
    before.total = before.total + *stand.crank;
  }
  if (!marks.touched_by.empty()) before.touched_by = marks.touched_by;
  return true;
}

}  // namespace

StagesBefore stages_before(const Drive& drive, const std::vector<ChainMarks>& all,
                           const ChainMarks& marks) {
  StagesBefore before;
  std::string shaft = marks.sprockets.front().name;
  const ChainMarks* here = &marks;
  while (!same_place(shaft, kCrank)) {
    for (const GearPair& gears : drive.gears)
      if (same_place(gears.driven, shaft)) {
        before.missing = fmt::format("{} is driven by gears, whose marks are not counted", shaft);
        return before;
      }
    const ChainMarks* next = nullptr;
    std::size_t at = 0;
    for (const ChainMarks& one : all)
      for (std::size_t j = 1; &one != here && j < one.sprockets.size(); ++j)
        if (same_place(one.sprockets[j].name, shaft)) {
          next = &one;
          at = j;
        }
    if (next == nullptr || before.through.size() >= all.size()) {
      before.missing = fmt::format("what drives {} is not in the drive", shaft);
      return before;
    }
    before.through.push_back(next->chain->name);
    if (!add_stage(before, *next, at)) return before;
    shaft = next->sprockets.front().name;
    here = next;
  }
  return before;
}

bool over_a_quarter_turn(const ChainMarks& marks, std::size_t sprocket) {
  const int teeth = marks.inputs.sprockets[sprocket].teeth;
  return teeth > 0 && 2 * std::abs(marks.found->sprockets[sprocket].half_teeth.value_or(0)) > teeth;
}

std::string total_text(const MarkedSprocket& sprocket, CrankAngle total) {
  const double crank = std::abs(in_crank_deg(total));
  const std::string cam = sprocket.is_camshaft ? fmt::format("{:.3f}° cam, ", crank / 2) : "";
  return fmt::format("{}{:.3f}° crank {}", cam, crank, total.si() > 0 ? "early" : "late");
}

}  // namespace tautmark
