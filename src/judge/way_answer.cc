// SPDX-License-Identifier: Apache-2.0
#include "judge/way_answer.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "judge/turning_answer.h"
#include "judge/way_parts.h"
#include "judge/way_turning.h"

namespace tautmark {
namespace {

using clearance::Chain;
using clearance::Move;
using clearance::Turns;

constexpr double kNotTurned = 1e-6;  // rad

// What the trade does where there is no way (trade.md 7, question 1).
constexpr std::string_view kValvesFirst =
    "the valves come out of the question first: every follower out, or the camshaft caps loosened "
    "evenly in the maker's sequence; only then the pistons mid-stroke";

double down_to_hundredth(Length length) { return std::floor(in_mm(length) * 100) / 100; }

std::string_view way_word(double by) {
  return by < 0 ? "against running direction" : "in running direction";
}

std::string held_words(const way::Ground& ground, const Move& move) {
  std::vector<std::string> held;
  if (move.turns == Turns::camshaft) held.emplace_back("the crankshaft");
  for (std::size_t k = 0; k < ground.camshafts.size(); ++k)
    if (move.turns != Turns::camshaft || k != move.camshaft)
      held.push_back(ground.camshafts[k].camshaft);
  const bool one = held.size() == 1;
  std::string last = std::move(held.back());
  held.pop_back();
  return (held.empty() ? last : joined(held, ", ") + " and " + last) + (one ? " is" : " are") +
         " held";
}

// The wheel as a stop in cylinder 1 set it.
std::string wheel_words(double degrees) {
  if (std::abs(degrees) < 0.05) return "its zero";
  return fmt::format("{:.1f}° {} its zero", std::abs(degrees), degrees < 0 ? "before" : "after");
}

std::string move_words(const way::Ground& ground, const Move& move,
                       const clearance::EngineState& there) {
  const double crank = in_crank_deg(move.crank_by), cam = in_cam_deg(move.cam_by);
  const double top = in_crank_deg(ground.tops.front());
  const std::string wheel = wheel_words(std::remainder(in_crank_deg(there.crank) - top, 360));
  std::string words, conditions;
  switch (move.turns) {
    case Turns::crank:
      words = fmt::format("turn the crankshaft {:.1f} deg crank {}, until the wheel reads {}",
                          std::abs(crank), way_word(crank), wheel);
      conditions = held_words(ground, move);
      break;
    case Turns::camshaft:
      words = fmt::format("turn {} {:.1f} deg cam {} ({:.2f} teeth of its sprocket)",
                          ground.camshafts[move.camshaft].camshaft, std::abs(cam), way_word(cam),
                          std::abs(cam) * *ground.camshafts[move.camshaft].sprocket / 360);
      conditions = held_words(ground, move);
      break;
    case Turns::together:
      words = fmt::format(
          "turn the crankshaft {:.1f} deg crank in running direction with the chain on every "
          "sprocket, until the wheel reads {}",
          crank, wheel);
      conditions = "the chain is on and its tensioner released";
      break;
  }
  return fmt::format("{}; no contact expected, at least {:.2f} mm, while {}", words,
                     down_to_hundredth(move.least), conditions);
}

void add_moves(const way::Ground& ground, const std::vector<Move>& moves, WayAnswer& out) {
  bool is_on = ground.found.state->chain == OnOff::on;
  clearance::EngineState state = out.query.from;
  for (const Move& move : moves) {
    state = after(state, move);
    const bool still = move.turns == Turns::camshaft ? std::abs(move.cam_by.si()) < kNotTurned
                                                     : std::abs(move.crank_by.si()) < kNotTurned;
    if (still) continue;
    WayMove one{.move = move, .words = move_words(ground, move, state)};
    if (move.turns == Turns::camshaft) one.camshaft = ground.camshafts[move.camshaft].camshaft;
    if (is_on && move.turns != Turns::together) {
      is_on = false;
      one.words =
          "chain off here: a wrench on the flats of every camshaft and the crankshaft held "
          "first, tensioner pinned, the chain clear of every sprocket; then " +
          one.words;
    }
    out.moves.push_back(std::move(one));
  }
}

// The search's own hint is ours, in full.
std::string no_way_words(std::string why) {
  why = replaced(why, ": take the valves out of the question first", "");
  why = replaced(why, "; take the valves out of the question first", "");
  return fmt::format("{}; {}", why, kValvesFirst);
}

// What forbids any turning forbids this one; only where nothing else does, since most of it is
// said already.
void see_rules(const TurningFacts& facts, WayAnswer& out) {
  const TurningFacts others = beside_the_way(facts, out.only_turns_on);
  if (!out.forbidden.empty() || forbidden_by(others).empty()) return;
  const TurningCard card = turning_card(others);
  way::forbid(out, card.because, card.changes_it);
}

void search(const way::Ground& ground, WayAnswer& out) {
  out.engine = way::engine_of(ground);
  out.query = way::query_of(ground);
  auto found = find_way(out.engine, out.query);
  if (!found) {
    std::string why = found.error().why;
    for (const way::CamPlace& place : ground.camshafts)
      if (!place.is_locked)
        why +=
            fmt::format("; the whole travel of the phaser of {} was taken: its lock is not proven",
                        place.camshaft);
    out.no_way = no_way_words(std::move(why));
    return;
  }
  out.least = found->least;
  add_moves(ground, found->moves, out);
}

}  // namespace

WayAnswer way_answer(const LoadedCase& loaded, const LoadedDrive* drive) {
  WayAnswer out;
  std::vector<const Entry*> entries = entries_in_order_of_work(loaded.value);
  const StandingInForce found = standing_in_force(entries);
  if (found.entry == nullptr) return out;
  out.entry = found.entry->id;
  if (found.standing == nullptr) {
    way::forbid(out, "where the engine stood no longer holds: " + found.because,
                "Enter the state of the engine, then where it stands now.");
    return out;
  }
  if (drive == nullptr) {
    way::forbid(out, "the case names no drive", "The definition of this engine.");
    return out;
  }
  way::Ground ground{loaded, *drive};
  ground.entries = std::move(entries);
  ground.found = found;
  ground.valves = valves_of(*drive, &loaded.value);
  out.held_for.push_back(out.entry);
  const TurningFacts facts = turning_facts(loaded, drive);
  way::see_state(ground, out);
  way::see_cylinders(ground, out);
  way::see_camshafts(ground, out);
  way::see_engine(ground, facts, out);
  way::see_crank(ground, out);
  way::see_figures(ground, out);
  for (const ValvesOfCam& valves : ground.valves)
    for (const std::string& id : {valves.gap_from, valves.lift_from})
      if (!id.empty()) out.held_for.push_back(id);
  out.explained = way::explained(ground);
  out.only_turns_on = found.state->chain == OnOff::on && ground.all_right();
  see_rules(facts, out);
  if (out.forbidden.empty()) search(ground, out);
  if (out.may() && !out.moves.empty() && !drive->drive.checked_by)
    out.explained.insert(
        out.explained.begin(),
        "nobody has compared this definition with its source: read every figure of "
        "lifts, valves and pistons again in the maker's data before the first move");
  if (out.may() && !out.moves.empty())
    out.answer = fmt::format(
        "TURN ONLY by hand, these moves and no other, one after the other in their order, each as "
        "far as it says; running direction is {} seen from the front; stop at the first resistance",
        facts.rotation == Rotation::clockwise ? "clockwise" : "counterclockwise");
  return out;
}

}  // namespace tautmark
