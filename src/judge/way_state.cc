// SPDX-License-Identifier: Apache-2.0
// What state and standing say of the engine as it lies there, but for angles.
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "judge/valves_straight.h"
#include "judge/way_parts.h"

namespace tautmark::way {
namespace {

constexpr std::string_view kStateAgain = "Enter the state of the engine again, with ";

std::string state_with(std::string_view what) {
  return std::string(kStateAgain) + std::string(what) + ", then where it stands.";
}

std::string standing_with(std::string_view what) {
  return "Enter where the engine stands again, with " + std::string(what) + ".";
}

// Parts that gap, pocket, heads and lift hang on. A cover and its gasket do not.
bool is_of_the_gap(const PartEntry& part) {
  if (part.action != PartAction::fitted) return false;
  const std::string name = folded(part.part);
  const auto names = [&](std::string_view word) { return name.find(word) != std::string::npos; };
  return !names("cover") &&
         (names("head") || names("gasket") || names("piston") || names("rod") || names("block") ||
          names("crankshaft") || names("camshaft") || names("valve"));
}

const Entry* work_on_parts(const std::vector<const Entry*>& entries) {
  const auto found = std::find_if(entries.begin(), entries.end(), [](const Entry* entry) {
    const auto* part = std::get_if<PartEntry>(&entry->body);
    return std::holds_alternative<PreviousWork>(entry->body) ||
           (part != nullptr && is_of_the_gap(*part));
  });
  return found == entries.end() ? nullptr : *found;
}

}  // namespace

bool Ground::all_right() const {
  return std::all_of(camshafts.begin(), camshafts.end(),
                     [](const CamPlace& place) { return place.half_teeth == 0; });
}

void see_state(const Ground& ground, WayAnswer& out) {
  const EngineState& state = *ground.found.state;
  if (state.resistance != false)
    forbid(out,
           state.resistance ? "resistance was felt: a valve may touch already"
                            : "nobody has said whether resistance was felt",
           state.resistance ? "Find the cause of the resistance without turning."
                            : state_with("whether anybody felt it go tight"));
  if (state.dropped != false)
    forbid(out,
           state.dropped ? "something dropped into the chain case and is not found"
                         : "nobody has said that nothing fell into the chain case",
           state.dropped ? "Find what dropped: nothing moves until it is in the hand."
                         : state_with("whether anything fell into the chain case"));
  const ValvesNow valves = state.valves.value_or(ValvesNow::unknown);
  if (valves == ValvesNow::unknown)
    forbid(out, "nobody has said whether followers and camshaft caps are in place and tight",
           state_with("followers and caps"));
  else if (valves != ValvesNow::worked_by_camshafts)
    forbid(out,
           "followers are out or caps loosened: the gaps of this way are of camshafts that "
           "work their valves",
           "");
  const OnOff chain = state.chain.value_or(OnOff::unknown);
  if (chain == OnOff::unknown)
    forbid(out, "nobody has said whether the chain is on every sprocket",
           state_with("whether the chain is on"));
}

void see_cylinders(const Ground& ground, WayAnswer& out) {
  const Standing& standing = *ground.found.standing;
  std::vector<const Entry*> before;
  for (const Entry* entry : ground.entries) {
    if (entry == ground.found.entry) break;
    before.push_back(entry);
  }
  if (ValvesDoubted doubted =
          valves_doubted(before, standing, *ground.found.state, ground.drive.drive);
      !doubted.because.empty())
    forbid(out, std::move(doubted.because), std::move(doubted.ask));
  if (standing.in_cylinders != false)
    forbid(out,
           standing.in_cylinders ? "something lies in a cylinder"
                                 : "nobody has said whether anything lies in a cylinder",
           "Look into every cylinder through its plug hole with a borescope.");
  switch (standing.adjusters.value_or(Adjusters::unknown)) {
    case Adjusters::pumped_up:
      forbid(out, "lash adjusters are pumped up: they hold valves open by as much as nobody knows",
             "Let the adjusters bleed down, and enter it.");
      break;
    case Adjusters::unknown:
      forbid(out, "whether lash adjusters are pumped up is not known",
             "Press every follower: an adjuster that yields slowly is bled down; say solid where "
             "none is filled by oil.");
      break;
    case Adjusters::solid:
    case Adjusters::bled_down:
      break;
  }
  if (standing.other_parts != false)
    forbid(
        out,
        standing.other_parts
            ? "parts other than the maker's are in it: gap, pocket, heads and lift are not those "
              "of the definition"
            : "nobody has said whether gasket, pistons, valves and camshafts are the maker's",
        standing.other_parts ? "A definition with the figures of the parts that are in this engine."
                             : standing_with("whether other parts are in it"));
  if (standing.other_parts == false && standing.surfaced == false)
    if (const Entry* work = work_on_parts(before); work != nullptr)
      forbid(out,
             fmt::format("{} says that work was done on it: whether parts and heights are the "
                         "maker's is not proven",
                         work->id),
             "Measure the gap of each kind of valves on this engine, then say surfaced; or say "
             "other parts.");
  if (!standing.surfaced)
    forbid(out, "nobody has said whether head or block was ever surfaced",
           "Compare the height of the head with the maker's, or measure the gap on this engine.");
  if (standing.surfaced != true) return;
  for (const ValvesOfCam& valves : ground.valves)
    if (valves.gap_from.empty())
      forbid(out,
             fmt::format("head or block was surfaced, and the gap of {} was not measured on this "
                         "engine",
                         valves.inputs.name),
             "Measure the gap of valve to piston of each kind of valves on the worst cylinder: "
             "soft clay under a light checking spring, or the valve pushed down at top dead "
             "center.");
}

void see_engine(const Ground& ground, const TurningFacts& facts, WayAnswer& out) {
  const auto in_use = drives_in_use(ground.loaded);
  if (!facts.variant_known || in_use.size() != 1 || in_use.front() != &ground.drive)
    forbid(out, "the exact variant is not known: a sister engine has other figures",
           "Read engine code, serial number and casting marks.");
  if (!facts.contradiction.empty())
    forbid(out, "the definition contradicts itself: " + facts.contradiction,
           "Compare the definition with the maker's data and with the engine.");
  if (!facts.rotation)
    forbid(out, "the running direction is not known, or not from which end it is seen",
           "Look the running direction up in the maker's data, with the end it is seen from.");
  see_marks(ground, out);
}

}  // namespace tautmark::way
