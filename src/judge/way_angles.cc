// SPDX-License-Identifier: Apache-2.0
// Where crankshaft and camshafts stand, from the words of the standing.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "casework/mark_words.h"
#include "drive/places.h"
#include "judge/cam_measured.h"
#include "judge/phaser_proof.h"
#include "judge/sure.h"
#include "judge/way_parts.h"

namespace tautmark::way {
namespace {

constexpr std::string_view kWhichWay =
    "Say of each camshaft how many teeth, and early or late: count the links from its mark to the "
    "crank's, without turning.";
// trade.md 7, question 23.
constexpr std::string_view kStopPlease =
    "Top dead center by a positive stop: the wheel at both sides of it, the piston pressed up "
    "against it, then the wheel set so that both read alike. A needle or indicator at the highest "
    "place of the piston is not good enough. Turning for it needs every valve out of the question.";

// Half teeth early; empty: not known, and `why` says why.
std::optional<int> half_teeth_of(const CamStanding& standing, std::string& why) {
  if (!is_said(standing.stands)) {
    why = "how it stands is not said";
    return std::nullopt;
  }
  const auto words = read_mark_words(*standing.stands);
  if (!words) {
    why = fmt::format("\"{}\" is not understood: {}", clipped(*standing.stands),
                      words.error().problem);
    return std::nullopt;
  }
  const MarkReading reading = mark_reading(*words, {});
  if (!words->unheard.empty())
    why = fmt::format("\"{}\" is not understood", clipped(words->said));
  else if (words->doubt)
    why = fmt::format("\"{}\" is not sure", clipped(words->said));
  else if (words->of_link)
    why = fmt::format("\"{}\" speaks of a link, not of the sprocket", clipped(words->said));
  else if (reading.possible.size() > 1)
    why = fmt::format("\"{}\" does not say early or late", clipped(words->said));
  else if (reading.possible.empty())
    why = fmt::format("\"{}\" does not say how many teeth", clipped(words->said));
  else
    return reading.possible.front();
  return std::nullopt;
}

bool is_locked(const CamStanding& standing, const StandingInForce& found) {
  const bool otherwise = found.state->phaser == Locked::not_locked || found.phaser_seen;
  return !otherwise && standing.phaser == Locked::locked &&
         proves_locked(standing.phaser_checked_how.value_or(""));
}

const CamStanding* standing_of(const Standing& standing, const std::string& camshaft, int& times) {
  const CamStanding* found = nullptr;
  times = 0;
  for (const CamStanding& one : standing.camshafts)
    if (same_place(one.at, camshaft)) {
      found = &one;
      ++times;
    }
  return found;
}

// Work on the engine: the wheel may have moved on its shaft.
bool is_work(const EntryBody& body) {
  if (std::holds_alternative<StepDone>(body)) return true;
  const auto* part = std::get_if<PartEntry>(&body);
  return part != nullptr &&
         (part->action == PartAction::fitted || part->action == PartAction::reused);
}

// The last stop of the case before the standing, and the first work entered after it.
struct LastStop {
  const Entry* entry = nullptr;
  const StopReading* stop = nullptr;
  const Entry* work = nullptr;
};
LastStop last_stop(const Ground& ground) {
  LastStop last;
  for (const Entry* entry : ground.entries) {
    if (entry == ground.found.entry) break;
    if (const auto* one = std::get_if<StopReading>(&entry->body))
      last = {entry, one, nullptr};
    else if (last.work == nullptr && is_work(entry->body))
      last.work = entry;
  }
  return last;
}

bool same_dead_center(const std::vector<CrankAngle>& tops, int cylinder) {
  if (cylinder < 1 || static_cast<std::size_t>(cylinder) > tops.size()) return false;
  const double apart = in_crank_deg(tops[static_cast<std::size_t>(cylinder) - 1] - tops.front());
  return std::abs(std::remainder(apart, 360)) < 1e-6;
}

// Half width at 99.9 % of where the wheel's zero is.
void see_stop(Ground& ground, WayAnswer& out) {
  const std::string ask(kStopPlease);
  const LastStop last = last_stop(ground);
  const StopReading* stop = last.stop;
  if (stop == nullptr)
    return forbid(out,
                  "no positive stop is entered before it: where the crankshaft stands is said "
                  "and not proven",
                  ask);
  const auto against = [&](std::string_view why) {
    forbid(out, fmt::format("the positive stop {}: {}", last.entry->id, why), ask);
  };
  if (is_said(last.entry->remark)) against("it carries a remark, which nobody reads here");
  if (last.work != nullptr)
    against(fmt::format("{} was done after it: the wheel may have moved", last.work->id));
  if (ground.found.state->turned == Turned::no ||
      ground.found.standing->since_jump == SinceJump::not_turned)
    forbid(out,
           fmt::format("the positive stop {}: the crankshaft is turned to both sides for it, and "
                       "state or standing says that it was not turned",
                       last.entry->id),
           "Enter the state again, with how the crankshaft was turned, then where the engine "
           "stands.");
  if (stop->pressed_up != true)
    against("the piston is not said to be pressed up against it on both sides");
  if (stop->wheel_set != true) against("the wheel is not said to be set after it");
  if (!stop->reading) against("the uncertainty of a reading of the wheel is not given");
  if (!stop->cylinder)
    against("in which cylinder it was is not said");
  else if (!ground.tops.empty() && !same_dead_center(ground.tops, *stop->cylinder))
    against(fmt::format("cylinder {} has other dead centers than cylinder 1", *stop->cylinder));
  const auto top = top_found(*stop, &ground.drive);
  if (!top) return against(top.error().why);
  out.held_for.push_back(last.entry->id);
  ground.crank_within = std::max(ground.crank_within, top->u * kSureAt);
}

std::optional<double> turn_of(const std::optional<CycleTop>& top) {
  if (top == CycleTop::firing) return 0.0;
  if (top == CycleTop::gas_exchange) return 360.0;
  return std::nullopt;
}

}  // namespace

void see_camshafts(Ground& ground, WayAnswer& out) {
  const Standing& standing = *ground.found.standing;
  const bool base_taken_over = ground.drive.unconfirmed.contains(std::string(topic::kPhaserBase));
  bool any_phaser = false;
  for (const Bank& bank : ground.drive.drive.banks)
    for (const Camshaft& camshaft : bank.camshafts) {
      CamPlace place{.camshaft = fmt::format("bank {} / {}", bank.number, camshaft.name),
                     .sprocket = camshaft.sprocket_teeth};
      any_phaser = any_phaser || camshaft.phaser;
      int times = 0;
      const CamStanding* stands = standing_of(standing, place.camshaft, times);
      std::string why = times > 1 ? "it is named twice" : "nobody has said how it stands";
      auto teeth = times == 1 ? half_teeth_of(*stands, why) : std::nullopt;
      // As far round as that, nobody can say which way it went.
      if (teeth && place.sprocket && std::abs(*teeth) >= *place.sprocket) {
        why = fmt::format("\"{}\" is half a turn or more", clipped(*stands->stands));
        teeth.reset();
      }
      place.half_teeth = teeth;
      if (!teeth) forbid(out, place.camshaft + ": " + why, std::string(kWhichWay));
      if (stands != nullptr && !stands->within)
        forbid(out, place.camshaft + ": how far it can be off besides whole teeth is not said",
               "Say how far wear and slack let each camshaft be off, either way: "
               "take it from the elongation of the chain.");
      if (stands != nullptr && stands->within) place.within = stands->within->value;
      if (camshaft.phaser && (stands == nullptr || !is_locked(*stands, ground.found))) {
        out.ask.emplace_back(
            "Try by hand whether each phaser moves against its sprocket, both ways, crank still; "
            "enter it with where the camshaft stands.");
        place.is_locked = false;
        for (const ValvesOfCam& valves : ground.valves)
          if (valves.camshaft == place.camshaft)
            for (const PhaserPlace& at : valves.phaser) {
              place.early_from = std::min(place.early_from, at.early);
              place.early_to = std::max(place.early_to, at.early);
            }
      }
      // A travel that is not known is not proven of its valves (valve_gaps.h).
      ground.camshafts.push_back(std::move(place));
    }
  if (any_phaser && base_taken_over)
    forbid(out, "where the phasers lock is taken over from another variant, confirmed by nobody",
           "The maker's data of this variant: where each phaser locks.");
  if (ground.camshafts.empty())
    forbid(out, "the definition names no camshaft", "A definition with its camshafts.");
}

void see_crank(Ground& ground, WayAnswer& out) {
  const Standing& standing = *ground.found.standing;
  if (auto tops = firing_tops_of(ground.drive.drive)) ground.tops = std::move(*tops);
  if (ground.tops.empty())
    forbid(out, "the definition does not say where each cylinder fires",
           "cylinders: firing_order and fires_at, from the maker.");
  switch (standing.crank_proof.value_or(CrankProof::other)) {
    case CrankProof::positive_stop:
      see_stop(ground, out);
      break;
    case CrankProof::damper_mark:
      forbid(out, "the crankshaft rests on the damper mark: a rubber damper slips on its hub",
             std::string(kStopPlease));
      break;
    case CrankProof::marks:
      forbid(out, "the crankshaft rests on sprocket marks, which say nothing to the degree",
             std::string(kStopPlease));
      break;
    case CrankProof::other:
      forbid(out, "where the crankshaft stands is not proven by a positive stop",
             std::string(kStopPlease));
      break;
  }
  if (!standing.crank)
    forbid(out, "where the crankshaft stands is not said", std::string(kStopPlease));
  else if (!standing.crank->value.expanded_si)
    forbid(out, "where the crankshaft stands is said without ±", std::string(kStopPlease));
  const auto turn = turn_of(standing.after);
  if (!turn)
    forbid(out, "whether that is after firing or after gas exchange of cylinder 1 is not known",
           "Look at cylinder 1: at firing dead center all its valves should be shut by the marks; "
           "with camshafts off count from their marks.");
  const auto turn_wanted = turn_of(standing.wanted_after ? standing.wanted_after : standing.after);
  if ((!turn_wanted && turn) || (standing.wanted && !standing.wanted_after))
    forbid(out, "after which dead center of cylinder 1 it should stand is not known",
           "Say after which dead center: firing or gas exchange.");
  if (!standing.crank || !turn || !turn_wanted || ground.tops.empty()) return;
  ground.crank_within =
      std::max(ground.crank_within, CrankAngle::from_si(sure(standing.crank->value)));
  const CrankAngle crank = CrankAngle::from_si(standing.crank->value.value.si);
  ground.crank = ground.tops.front() + crank + crank_deg(*turn);
  ground.wanted = ground.tops.front() + (standing.wanted ? standing.wanted->value : crank) +
                  crank_deg(*turn_wanted);
}

}  // namespace tautmark::way
