// SPDX-License-Identifier: Apache-2.0
// Links counted and marks seen have to say of every camshaft what the standing says: the sign of an
// error decides which valve meets what.
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "drive/places.h"
#include "judge/chain_marks.h"
#include "judge/way_parts.h"

namespace tautmark::way {
namespace {

constexpr std::string_view kCountAgain = "Count every strand again, without turning.";

// With the chain off a camshaft may stand elsewhere than it was counted, once a standing has told
// so; the first one after the marks has to agree with them.
bool is_overtaken(const Ground& ground) {
  if (ground.found.state->chain != OnOff::off) return false;
  bool told = false;
  for (const Entry* entry : ground.entries) {
    if (entry == ground.found.entry) break;
    if (std::holds_alternative<MarksSeen>(entry->body)) told = false;
    if (std::holds_alternative<Standing>(entry->body)) told = true;
  }
  return told;
}

void see_one(const Ground& ground, const ChainMarks& marks, std::size_t j, WayAnswer& out) {
  const ChainSprocket& sprocket = marks.sprockets[j];
  const auto place =
      std::find_if(ground.camshafts.begin(), ground.camshafts.end(),
                   [&](const CamPlace& one) { return same_place(one.camshaft, sprocket.name); });
  if (place == ground.camshafts.end() || !place->half_teeth) return;
  if (const auto& counted = marks.found->sprockets[j].half_teeth;
      counted && *counted != *place->half_teeth)
    forbid(out,
           fmt::format("{}: the counts say {}, the standing says otherwise", place->camshaft,
                       *counted == 0 ? "right" : error_text(marks, j, *counted)),
           std::string(kCountAgain));
  if (!sprocket.stand || sprocket.stand->against_link ||
      !driving_mark_right(marks, *sprocket.stand))
    return;
  const std::vector<int>& possible = sprocket.stand->reading.possible;
  if (!possible.empty() &&
      std::find(possible.begin(), possible.end(), *place->half_teeth) == possible.end())
    forbid(out,
           fmt::format("{}: its mark was seen \"{}\", the standing says otherwise", place->camshaft,
                       clipped(sprocket.stand->mark->stands)),
           std::string(kCountAgain));
}

}  // namespace

void see_marks(const Ground& ground, WayAnswer& out) {
  if (is_overtaken(ground)) return;
  for (const ChainMarks& marks : chain_marks(check_input(ground.loaded, &ground.drive))) {
    if (!marks.found) continue;
    if (!marks.conflicts.empty() || !marks.unplaced.empty() ||
        marks.found->surplus.value_or(0) != 0)
      forbid(out, fmt::format("{}: the links counted do not add up", marks.chain->name),
             std::string(kCountAgain));
    for (std::size_t j = 1; j < marks.sprockets.size(); ++j) see_one(ground, marks, j, out);
  }
}

}  // namespace tautmark::way
