// SPDX-License-Identifier: Apache-2.0
// The strict rules of "may I turn it", one by one: whatever is not known forbids.
#include <gmock/gmock.h>

#include "judge/judge.h"
#include "judge/standing_in_force.h"
#include "judge/way_test_support.h"

namespace tautmark {
namespace {

using test::body_of;
using test::intake_valves;
using test::way_loaded;
using test::way_of;
using test::way_with;
using test::WayCase;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

void expect_forbidden(const WayAnswer& way, const std::string& clause, const std::string& asked) {
  EXPECT_FALSE(way.may()) << clause;
  EXPECT_THAT(way.forbidden, Contains(HasSubstr(clause)));
  EXPECT_THAT(way.ask, Contains(HasSubstr(asked)));
  EXPECT_THAT(way.moves, IsEmpty());
  EXPECT_EQ(way.answer, "DO NOT TURN");
}

// (a)
TEST(WayRules, FiguresAreTheMakersOrMeasuredHere) {
  LoadedCase loaded = way_loaded(WayCase{});
  intake_valves(loaded).lobe->source->origin = Origin::common_practice;
  expect_forbidden(way_of(loaded), "a law is assumed", "measured on this engine");
  loaded = way_loaded(WayCase{});
  intake_valves(loaded).source->origin = Origin::shop;
  expect_forbidden(way_of(loaded), "the maker's figures of valves and piston", "maker");
}

// (b)
std::string leak_down(const std::string& values, const std::string& more = "") {
  std::string entries;
  int number = 0;
  for (const char* place : {"cylinder 1", "cylinder 2", "cylinder 3", "cylinder 4"})
    entries += "  - {kind: reading, id: l" + std::to_string(++number) +
               ", quantity: leak-down, place: " + place + ", values: " + values + more + "}\n";
  return entries;
}

TEST(WayRules, AfterItRanTheValvesAreShownStraight) {
  const auto ran = [](SinceJump since, std::optional<StraightBy> by, const std::string& before) {
    return way_with(
        [&](Standing& s) {
          s.since_jump = since;
          s.valves_straight = by;
        },
        {.before = before});
  };
  const std::string good = leak_down("7 %"), bad = leak_down("45 %");
  for (const SinceJump since : {SinceJump::ran, SinceJump::cranked, SinceJump::unknown}) {
    expect_forbidden(ran(since, {}, good), "nothing shows that the valves are straight",
                     "Leak-down");
    expect_forbidden(ran(since, StraightBy::not_looked, good), "nothing shows", "Leak-down");
    // The word alone is no proof.
    expect_forbidden(ran(since, StraightBy::leak_down, ""), "no entry since shows", "Leak-down");
    expect_forbidden(ran(since, StraightBy::borescope, good), "straight by a borescope",
                     "Leak-down");
    expect_forbidden(ran(since, StraightBy::leak_down, bad), "leaks (l1)", "Leak-down");
    EXPECT_TRUE(ran(since, StraightBy::leak_down, good).may());
  }
  std::string seen;
  for (const char* number : {"1", "2", "3", "4"})
    seen += std::string("  - {kind: observation, id: o") + number + ", place: cylinder " + number +
            ", aspect: valves by borescope, condition: sound}\n";
  EXPECT_TRUE(ran(SinceJump::ran, StraightBy::borescope, seen).may());
  // All but one cylinder.
  expect_forbidden(ran(SinceJump::ran, StraightBy::leak_down,
                       good.substr(0, good.find("  - {kind: reading, id: l4"))),
                   "the valves of cylinder 4", "Leak-down");
  expect_forbidden(way_with([](Standing&) {}, {.chain = "off",
                                               .before = "  - {kind: observation, id: o1, place: "
                                                         "cylinder 2, aspect: intake valve, "
                                                         "condition: damaged}\n"}),
                   "cylinder 2 / intake valve was seen bad", "Leak-down");
}

TEST(WayRules, TheStarterAfterTheProofTakesIt) {
  LoadedCase loaded = way_loaded({.before = leak_down("7 %")});
  body_of<Standing>(loaded).since_jump = SinceJump::ran;
  body_of<Standing>(loaded).valves_straight = StraightBy::leak_down;
  EXPECT_TRUE(way_of(loaded).may());
  body_of<EngineState>(loaded).turned = Turned::by_starter;
  expect_forbidden(way_of(loaded), "the starter turned it", "Leak-down");
}

// (c)
TEST(WayRules, WhatTheGapsRestOnIsAsked) {
  expect_forbidden(way_with([](Standing& s) { s.adjusters = Adjusters::pumped_up; }), "pumped up",
                   "bleed down");
  expect_forbidden(way_with([](Standing& s) { s.adjusters = Adjusters::unknown; }),
                   "adjusters are pumped up is not known", "follower");
  EXPECT_TRUE(way_with([](Standing& s) { s.adjusters = Adjusters::bled_down; }).may());
  expect_forbidden(way_with([](Standing& s) { s.in_cylinders = true; }), "lies in a cylinder",
                   "borescope");
  expect_forbidden(way_with([](Standing& s) { s.other_parts = true; }), "parts other than",
                   "figures of the parts");
}

TEST(WayRules, ASurfacedHeadNeedsGapsMeasuredHere) {
  const auto surfaced = [](const std::string& before) {
    return way_with([](Standing& s) { s.surfaced = true; }, {.before = before});
  };
  const std::string intake =
      "  - {kind: valve gap, id: g1, place: bank 1 / intake camshaft, cylinder: 3, gap: 4.9 ± 0.2 "
      "mm, how: soft clay}\n";
  const std::string exhaust =
      "  - {kind: valve gap, id: g2, place: bank 1 / exhaust camshaft, cylinder: 3, gap: 3.9 ± 0.2 "
      "mm, how: soft clay}\n";
  expect_forbidden(surfaced(""), "the gap of bank 1 / intake camshaft, intake was not measured",
                   "Measure the gap");
  expect_forbidden(surfaced(intake), "bank 1 / exhaust camshaft, exhaust was not measured",
                   "Measure the gap");
  const WayAnswer both = surfaced(intake + exhaust);
  EXPECT_TRUE(both.may());
  EXPECT_THAT(both.held_for, ElementsAre("e3", "e1", "g1", "g2"));
}

TEST(WayRules, APhaserNotProvenLockedMayStandAnywhere) {
  // Chain off: what the phaser may do is in the search itself.
  WayCase off{.chain = "off", .intake = "right", .crank = "20 ± 1 deg crank"};
  const WayAnswer locked = way_with([](Standing&) {}, off);
  for (const auto& change : std::vector<std::function<void(Standing&)>>{
           [](Standing& s) { s.camshafts[0].phaser = Locked::not_locked; },
           [](Standing& s) { s.camshafts[0].phaser.reset(); },
           [](Standing& s) { s.camshafts[0].phaser_checked_how = "I think so"; }}) {
    const WayAnswer loose = way_with(change, off);
    ASSERT_THAT(loose.forbidden, IsEmpty());
    // 45 deg crank of travel: the middle, and 22.5 to either side.
    EXPECT_NEAR(in_cam_deg(loose.query.from.cams[0] - locked.query.from.cams[0]), 11.25, 1e-9);
    EXPECT_NEAR(in_cam_deg(loose.query.cam_within - locked.query.cam_within), 11.25, 1e-9);
  }
  // trade.md 6.B: 2 teeth early at full advance is in contact, so nothing may turn through there.
  WayCase early{.chain = "off", .intake = "2 teeth early", .crank = "0 ± 1 deg crank"};
  EXPECT_TRUE(way_with([](Standing&) {}, early).may());
  EXPECT_THAT(
      way_with([](Standing& s) { s.camshafts[0].phaser = Locked::unknown; }, early).no_way,
      HasSubstr("may be in contact within the uncertainty; the whole travel of the phaser of"));
}

// (d); trade.md 7, question 23.
TEST(WayRules, TheCrankIsProvenByAStop) {
  expect_forbidden(way_with([](Standing& s) { s.crank_proof = CrankProof::damper_mark; }),
                   "a rubber damper slips", "A needle or indicator at the highest place");
  expect_forbidden(way_with([](Standing& s) { s.crank_proof = CrankProof::marks; }),
                   "rests on sprocket marks", "positive stop");
  expect_forbidden(way_with([](Standing& s) { s.after = CycleTop::unknown; }),
                   "firing or after gas exchange", "cylinder 1");
  expect_forbidden(way_with([](Standing& s) { s.crank->value.expanded_si.reset(); }), "without ±",
                   "positive stop");
  LoadedCase loaded = way_loaded(WayCase{});
  std::erase_if(loaded.value.entries, [](const Entry& entry) { return entry.id == "e1"; });
  expect_forbidden(way_of(loaded), "no positive stop is entered before it", "positive stop");
  const auto stop_with = [](const std::function<void(StopReading&)>& change) {
    LoadedCase changed = way_loaded(WayCase{});
    change(body_of<StopReading>(changed));
    return way_of(changed);
  };
  expect_forbidden(stop_with([](StopReading& s) { s.pressed_up.reset(); }), "pressed up", "stop");
  expect_forbidden(stop_with([](StopReading& s) { s.wheel_set = false; }), "to be set", "stop");
  expect_forbidden(stop_with([](StopReading& s) { s.reading.reset(); }), "a reading of the wheel",
                   "stop");
  expect_forbidden(stop_with([](StopReading& s) { s.cylinder.reset(); }), "in which cylinder",
                   "stop");
  // An in-line four: 2 and 3 turn half a turn apart from 1 ... at the same dead centers mod 360 is
  // 4 alone.
  expect_forbidden(stop_with([](StopReading& s) { s.cylinder = 3; }), "other dead centers", "stop");
  EXPECT_TRUE(stop_with([](StopReading& s) { s.cylinder = 4; }).may());
  // A stop worse than the ± said counts.
  const WayAnswer rough = stop_with([](StopReading& s) { s.reading->value = crank_deg(4); });
  EXPECT_GT(in_crank_deg(rough.query.crank_within), 1 + 4 / 2.0 / std::sqrt(2.0) * 3.2);
}

// (e)
TEST(WayRules, WallAndOtherValveAreComputed) {
  LoadedCase loaded = way_loaded(WayCase{});
  intake_valves(loaded).pocket_depth->value = mm(2);
  expect_forbidden(way_of(loaded), "radii and place of valve head and pocket", "figures");
  loaded = way_loaded(WayCase{});
  intake_valves(loaded).head_thickness.reset();
  expect_forbidden(way_of(loaded), "valve heads for the distance from valve to valve", "figures");
}

// (f), and no answer of it is a pass.
TEST(WayRules, WordsThatAreNeverSaid) {
  for (const char* intake : {"1 tooth late", "2 teeth off", "3 teeth early"}) {
    const LoadedCase loaded = way_loaded({.intake = intake, .crank = "0 ± 1 deg crank"});
    const WayAnswer way = way_of(loaded);
    std::string all = way.answer + way.no_way;
    for (const auto* list : {&way.forbidden, &way.ask, &way.explained})
      for (const std::string& one : *list) all += one;
    for (const WayMove& move : way.moves) all += move.words;
    const auto judgement = judge(loaded);
    ASSERT_TRUE(judgement);
    const TurningAnswer& turning = judgement->turning;
    all += turning.because + turning.instead + turning.changes_it + turning.say;
    for (const std::string& one : turning.cautions) all += one;
    EXPECT_THAT(all, Not(HasSubstr("safe")));
    EXPECT_THAT(all, Not(testing::ContainsRegex("(^|[^a-z])pass")));
  }
}

// (g)
TEST(WayRules, TheAnswerGoesWithWhateverIsTurnedOrLoosened) {
  const std::string later[] = {
      "  - {kind: step, id: x, step: chain off}\n",
      "  - {kind: note, id: x, words: turned it a little}\n",
      "  - {kind: state, id: x, apart: partly, turned: no, chain: \"on\", pin: out, phaser: "
      "locked, "
      "valves: worked by camshafts, resistance: false, dropped: false}\n",
      "  - {kind: reading, id: x, quantity: leak-down, place: cylinder 1, values: 7 %}\n",
      "  - {kind: part, id: x, part: phaser, action: fitted}\n",
      "  - {kind: observation, id: x, place: timing chain / tensioner, aspect: plunger, condition: "
      "damaged}\n",
      "  - {kind: marks, id: x, chain: timing chain, settled: true, sprockets: [{at: crank, "
      "stands: right}]}\n",
      "  - {kind: stop, id: x, cylinder: 1, before: 24 deg crank, after: 24 deg crank}\n"};
  for (const std::string& entry : later) {
    const LoadedCase loaded = way_loaded({.after = entry});
    const WayAnswer way = way_of(loaded);
    EXPECT_EQ(way.entry, "e3");
    expect_forbidden(way, "no longer holds", "where it stands now");
    const auto judgement = judge(loaded);
    ASSERT_TRUE(judgement);
    EXPECT_EQ(judgement->turning.answer, "DO NOT TURN") << entry;
    EXPECT_THAT(judgement->turning.moves, IsEmpty());
  }
  LoadedCase remarked = way_loaded(WayCase{});
  remarked.value.entries.back().remark = "roughly";
  EXPECT_FALSE(way_of(remarked).may());
  LoadedCase reversed = way_loaded(WayCase{});
  reversed.value.entries.back().at = Date{"2026-01-02"};
  reversed.value.entries.front().at = Date{"2026-01-03"};
  EXPECT_FALSE(way_of(reversed).may());
  EXPECT_TRUE(way_of(way_loaded(WayCase{})).may());
}

// (h): with a wall the gap to it counts, and is the smaller one.
TEST(WayRules, ThePocketWallCounts) {
  const WayAnswer without = way_of(way_loaded(WayCase{}));
  LoadedCase loaded = way_loaded(WayCase{});
  for (Camshaft& camshaft : loaded.drives[0].drive.banks[0].camshafts) {
    Valves& valves = camshaft.valves[0];
    valves.pocket_depth->value = mm(2);
    valves.pocket_diameter = Written<Length>{valves.head_diameter->value + mm(5), ""};
    valves.pocket_along = valves.pocket_aside = Written<Length>{{}, "0 mm"};
  }
  const WayAnswer with = way_of(loaded);
  ASSERT_THAT(with.forbidden, IsEmpty());
  ASSERT_TRUE(without.may());
  const auto at_rest = [](const WayAnswer& way) {
    const clearance::Move still{.turns = clearance::Turns::together};
    return in_mm(least_along(way.engine, way.query.to, still));
  };
  // At the top the head stands in the middle of its pocket, 2.5 mm from the wall, less uncertainty.
  EXPECT_NEAR(at_rest(with), 2.5 - 0.06 / 2 * 3.291 - 0.05 / 1.96 * 3.291, 0.01);
  EXPECT_GT(at_rest(without), 3);
}

TEST(WayRules, EveryInputTakenAwayForbids) {
  using Change = std::function<void(LoadedCase&)>;
  std::vector<std::pair<std::string, Change>> changes;
  const auto of_standing = [&](const std::string& name,
                               const std::function<void(Standing&)>& change) {
    changes.emplace_back(name, [change](LoadedCase& c) { change(body_of<Standing>(c)); });
  };
  of_standing("crank", [](Standing& s) { s.crank.reset(); });
  of_standing("after", [](Standing& s) { s.after.reset(); });
  of_standing("crank_proof", [](Standing& s) { s.crank_proof.reset(); });
  of_standing("camshafts", [](Standing& s) { s.camshafts.clear(); });
  of_standing("one camshaft", [](Standing& s) { s.camshafts.pop_back(); });
  of_standing("a camshaft twice", [](Standing& s) { s.camshafts.push_back(s.camshafts[0]); });
  of_standing("stands", [](Standing& s) { s.camshafts[1].stands.reset(); });
  of_standing("words", [](Standing& s) { s.camshafts[0].stands = "about 1 tooth late"; });
  of_standing("direction", [](Standing& s) { s.camshafts[0].stands = "2 teeth"; });
  of_standing("left", [](Standing& s) { s.camshafts[0].stands = "1 tooth left"; });
  of_standing("amount", [](Standing& s) { s.camshafts[0].stands = "late"; });
  of_standing("not seen", [](Standing& s) { s.camshafts[0].stands = "cannot see"; });
  of_standing("a link", [](Standing& s) { s.camshafts[0].stands = "1 link late"; });
  of_standing("within", [](Standing& s) { s.camshafts[1].within.reset(); });
  of_standing("since_jump", [](Standing& s) { s.since_jump.reset(); });
  of_standing("adjusters", [](Standing& s) { s.adjusters.reset(); });
  of_standing("surfaced", [](Standing& s) { s.surfaced.reset(); });
  of_standing("other_parts", [](Standing& s) { s.other_parts.reset(); });
  of_standing("in_cylinders", [](Standing& s) { s.in_cylinders.reset(); });
  const auto of_state = [&](const std::string& name,
                            const std::function<void(EngineState&)>& change) {
    changes.emplace_back(name, [change](LoadedCase& c) { change(body_of<EngineState>(c)); });
  };
  of_state("apart", [](EngineState& s) { s.apart.reset(); });
  of_state("turned", [](EngineState& s) { s.turned.reset(); });
  of_state("chain", [](EngineState& s) { s.chain.reset(); });
  of_state("valves", [](EngineState& s) { s.valves.reset(); });
  of_state("resistance", [](EngineState& s) { s.resistance.reset(); });
  of_state("dropped", [](EngineState& s) { s.dropped.reset(); });
  of_state("phaser", [](EngineState& s) { s.phaser.reset(); });
  const auto of_drive = [&](const std::string& name, const std::function<void(Drive&)>& change) {
    changes.emplace_back(name, [change](LoadedCase& c) { change(c.drives[0].drive); });
  };
  changes.emplace_back("drive", [](LoadedCase& c) { c.drives.clear(); });
  changes.emplace_back("contradiction", [](LoadedCase& c) { c.drives[0].warnings.emplace_back(); });
  for (const std::string_view topic : {topic::kValves, topic::kPhaserBase, topic::kRotation})
    changes.emplace_back(std::string(topic), [topic](LoadedCase& c) {
      c.drives[0].unconfirmed.emplace(std::string(topic), "banks");
    });
  changes.emplace_back("another variant", [](LoadedCase& c) {
    Entry entry;
    entry.id = "v";
    Identification another;
    another.variant = "another";
    entry.body = another;
    c.value.entries.push_back(entry);
  });
  changes.emplace_back("two candidates", [](LoadedCase& c) {
    c.drives.push_back(c.drives[0]);
    c.drives[1].drive.name = "sister";
  });
  of_drive("cylinders", [](Drive& d) { d.cylinders.reset(); });
  of_drive("stroke", [](Drive& d) { d.cylinders->stroke.reset(); });
  of_drive("rod", [](Drive& d) { d.cylinders->rod.reset(); });
  of_drive("pin_offset", [](Drive& d) { d.cylinders->pin_offset.reset(); });
  of_drive("firing_order", [](Drive& d) { d.cylinders->firing_order.clear(); });
  of_drive("fires_at", [](Drive& d) { d.cylinders->fires_at.clear(); });
  of_drive("rotation", [](Drive& d) { d.crankshaft->rotation.reset(); });
  of_drive("seen_from", [](Drive& d) { d.crankshaft->seen_from.reset(); });
  of_drive("cylinders of the bank", [](Drive& d) { d.banks[0].cylinders.clear(); });
  of_drive("a cylinder of the bank", [](Drive& d) { d.banks[0].cylinders.pop_back(); });
  of_drive("banks", [](Drive& d) { d.banks.clear(); });
  for (const std::size_t k : {0U, 1U}) {
    const auto of_camshaft = [&](const std::string& name,
                                 const std::function<void(Camshaft&)>& change) {
      of_drive(name + std::to_string(k),
               [change, k](Drive& d) { change(d.banks[0].camshafts[k]); });
    };
    of_camshaft("sprocket_teeth", [](Camshaft& c) { c.sprocket_teeth.reset(); });
    of_camshaft("phaser base", [](Camshaft& c) { c.phaser->base.reset(); });
    of_camshaft("phaser range", [](Camshaft& c) { c.phaser->range.reset(); });
    of_camshaft("valves", [](Camshaft& c) { c.valves.clear(); });
    const auto of_valves = [&](const std::string& name,
                               const std::function<void(Valves&)>& change) {
      of_camshaft(name, [change](Camshaft& c) { change(c.valves[0]); });
    };
    of_valves("angle", [](Valves& v) { v.angle.reset(); });
    of_valves("head_diameter", [](Valves& v) { v.head_diameter.reset(); });
    of_valves("head_thickness", [](Valves& v) { v.head_thickness.reset(); });
    of_valves("gap_at_top", [](Valves& v) { v.gap_at_top.reset(); });
    of_valves("its uncertainty", [](Valves& v) { v.gap_at_top->value.expanded_si.reset(); });
    of_valves("crown", [](Valves& v) { v.crown.reset(); });
    of_valves("pocket_depth", [](Valves& v) { v.pocket_depth.reset(); });
    of_valves("from_axis", [](Valves& v) { v.from_axis.reset(); });
    of_valves("above_deck", [](Valves& v) { v.above_deck.reset(); });
    of_valves("margin", [](Valves& v) { v.margin.reset(); });
    of_valves("margin_between", [](Valves& v) { v.margin_between.reset(); });
    of_valves("lobe", [](Valves& v) { v.lobe.reset(); });
    of_valves("law", [](Valves& v) { v.lobe->law.reset(); });
    of_valves("lift", [](Valves& v) { v.lobe->lift.reset(); });
    of_valves("duration", [](Valves& v) { v.lobe->duration.reset(); });
    of_valves("center", [](Valves& v) { v.lobe->center.reset(); });
    of_valves("lash", [](Valves& v) { v.lobe->lash.reset(); });
    of_valves("lift uncertainty", [](Valves& v) { v.lobe->uncertainty.reset(); });
    of_valves("source of the lift", [](Valves& v) { v.lobe->source->origin = Origin::shop; });
    of_valves("source", [](Valves& v) { v.source->origin = Origin::shop; });
  }
  const LoadedCase whole = way_loaded(WayCase{});
  ASSERT_TRUE(way_of(whole).may());
  for (const auto& [name, change] : changes) {
    LoadedCase loaded = whole;
    change(loaded);
    const WayAnswer way = way_of(loaded);
    EXPECT_FALSE(way.may()) << name;
    EXPECT_THAT(way.forbidden, Not(IsEmpty())) << name;
    EXPECT_THAT(way.moves, IsEmpty()) << name;
  }
}

}  // namespace
}  // namespace tautmark
