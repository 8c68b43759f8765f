// SPDX-License-Identifier: Apache-2.0
#include "draw/figure_of_case.h"

#include "judge/chain_marks.h"
#include "judge/chain_wear.h"

namespace tautmark {

FigureState figure_state_of(const CheckInput& input) {
  FigureState state;
  for (const Chain& chain : input.drive->drive.chains)
    if (auto wear = measured_wear(input, chain)) state.wear[chain.name] = std::move(wear->parts);
  for (const ChainMarks& marks : chain_marks(input, OfChains::all)) {
    if (!marks.found || !marks.found->all_counted || marks.found->surplus.value_or(1) != 0)
      continue;
    for (std::size_t i = 1; i < marks.sprockets.size(); ++i)
      if (const auto off = marks.found->sprockets[i].half_teeth; off && *off != 0)
        state.teeth_early[marks.sprockets[i].name] = *off / 2.0;
  }
  return state;
}

}  // namespace tautmark
