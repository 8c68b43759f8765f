// SPDX-License-Identifier: Apache-2.0
#include "judge/top_known.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "judge/cam_measured.h"
#include "judge/case_recordings.h"
#include "judge/verdict.h"

namespace tautmark {
namespace {

void doubt(TopKnown& top, OpenBecause because, std::string why, std::string next) {
  if (!top.doubt.empty()) return;
  top.because = because;
  top.doubt = std::move(why);
  top.next = std::move(next);
}

TopKnown of_stop(const CheckInput& input, const EntryOf<StopReading>& from) {
  TopKnown top{.from = from};
  const StopReading& stop = *from.body;
  const auto found = top_found(stop, input.drive);
  if (!found) {
    doubt(top, OpenBecause::implausible, found.error().why,
          "read both sides of the stop again, and enter a correction");
    return top;
  }
  top.found = *found;
  top.U = 2 * found->u;
  top.wheel_still_off = stop.wheel_set != true && std::abs(found->wheel_reads.si()) > top.U.si();
  const std::string_view up = "press the piston up against the stop on both sides, and enter it";
  if (!stop.pressed_up)
    doubt(top, OpenBecause::not_measured,
          "whether the piston was pressed up against the stop on both sides was not entered",
          std::string(up));
  else if (!*stop.pressed_up)
    doubt(top, OpenBecause::outside_model,
          "the piston was not pressed up against the stop on both sides: the play of the bearings "
          "is in the middle",
          std::string(up));
  if (stop.before.value.values.size() == 1 && (!stop.reading || !stop.stop))
    doubt(top, OpenBecause::not_measured,
          "one pair shows no scatter, and how well the wheel is read and the piston comes back to "
          "the stop was not entered",
          "meet the stop three times from each side, or enter reading and stop");
  return top;
}

}  // namespace

std::optional<TopKnown> top_known(const CheckInput& input, const Entry* entry) {
  const auto in_order = entries_in_order_of_work(*input.value);
  std::optional<EntryOf<StopReading>> last;
  for (const Entry* one : in_order) {
    if (one == entry) break;
    if (const auto* stop = std::get_if<StopReading>(&one->body)) last = {one, stop};
  }
  if (!last) return std::nullopt;
  if (entry != nullptr && opened_after(input, last->entry) != opened_after(input, entry))
    return std::nullopt;
  return of_stop(input, *last);
}

std::optional<CrankAngle> center_line_room(const CheckInput& input) {
  std::optional<double> least;
  for (const EnginePlace& place : input.places) {
    if (place.type != PlaceType::camshaft) continue;
    const auto limit = limit_for(input, Measurand::center_line_error, place);
    if (!limit || limit->kind != Kind::crank_angle) continue;
    for (const std::optional<double>& end : {limit->lower, limit->upper})
      if (end) least = std::min(least.value_or(std::abs(*end)), std::abs(*end));
  }
  return least ? std::optional(CrankAngle::from_si(*least)) : std::nullopt;
}

}  // namespace tautmark
