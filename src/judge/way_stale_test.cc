// SPDX-License-Identifier: Apache-2.0
// What other entries of a case say against its standing: each forbids the way, or the crankshaft
// alone.
#include <gmock/gmock.h>

#include <fstream>
#include <iterator>

#include "judge/judge.h"
#include "judge/way_test_support.h"

namespace tautmark {
namespace {

using test::body_of;
using test::way_loaded;
using test::way_loaded_text;
using test::way_of;
using test::way_with;
using test::WayCase;
using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;

void expect_forbidden(const WayAnswer& way, const std::string& clause) {
  EXPECT_FALSE(way.may()) << clause;
  EXPECT_THAT(way.forbidden, Contains(HasSubstr(clause)));
  EXPECT_THAT(way.moves, IsEmpty());
  EXPECT_EQ(way.answer, "DO NOT TURN");
}

std::string turning_of(const LoadedCase& loaded) {
  const auto judgement = judge(loaded);
  EXPECT_TRUE(judgement);
  return judgement ? judgement->turning.answer : "";
}

std::string leak_down(const std::string& values, const std::string& more = "") {
  std::string entries;
  for (const char* number : {"1", "2", "3", "4"})
    entries += std::string("  - {kind: reading, id: l") + number +
               ", quantity: leak-down, place: cylinder " + number + ", values: " + values + more +
               "}\n";
  return entries;
}

std::string seen(const std::string& aspect, const std::string& more) {
  std::string entries;
  for (const char* number : {"1", "2", "3", "4"})
    entries += std::string("  - {kind: observation, id: o") + number + ", place: cylinder " +
               number + ", aspect: " + aspect + ", condition: sound" + more + "}\n";
  return entries;
}

WayAnswer after_ran(StraightBy by, const std::string& before) {
  return way_with(
      [&](Standing& s) {
        s.since_jump = SinceJump::ran;
        s.valves_straight = by;
      },
      {.before = before});
}

// Quellmere: 61 + 16 + 61 of 138. One link more before the intake is one tooth late, less is early.
std::string counts(const char* crank_intake, const char* intake_exhaust, const char* exhaust) {
  return std::string(
             "  - {kind: marks, id: m1, chain: timing chain, counted: pitches, strands: [") +
         "{from: crank, to: bank 1 / intake camshaft, links: " + crank_intake +
         "}, {from: bank 1 / intake camshaft, to: bank 1 / exhaust camshaft, links: " +
         intake_exhaust + "}, {from: bank 1 / exhaust camshaft, to: crank, links: " + exhaust +
         "}]}\n";
}

TEST(WayStale, CountsHaveToSayWhatTheStandingSays) {
  int agreeing = 0;
  for (const std::string& marks :
       {counts("61", "16", "61"), counts("62", "15", "61"), counts("60", "17", "61"),
        counts("61", "17", "60"), counts("63", "14", "61")})
    for (const bool after : {false, true}) {
      WayCase of{};
      (after ? of.after : of.before) = marks;
      const WayAnswer way = way_of(way_loaded(of));
      if (way.may()) {
        ++agreeing;
        continue;
      }
      expect_forbidden(way, "the standing says otherwise");
    }
  EXPECT_EQ(agreeing, 2);
  for (const char* chain : {"on", "off"})
    expect_forbidden(way_of(way_loaded({.chain = chain, .before = counts("61", "16", "60")})),
                     "the links counted do not add up");
}

TEST(WayStale, CrankingAfterTheProofTakesIt) {
  const std::string good = leak_down("7 %");
  EXPECT_TRUE(after_ran(StraightBy::leak_down, good).may());
  const std::string compression =
      "  - {kind: reading, id: c1, quantity: compression, place: cylinder 1, values: 1200 kPa}\n";
  for (const std::string& cranked :
       {compression, std::string("  - {kind: step, id: c1, step: Start the engine}\n"),
        std::string("  - {kind: step, id: c1, step: Prime the oil}\n")})
    expect_forbidden(after_ran(StraightBy::leak_down, good + cranked), "no entry since shows");
  EXPECT_TRUE(after_ran(StraightBy::leak_down, compression + good).may());
  // Said to be turned by hand only; compression is measured with the starter.
  expect_forbidden(way_of(way_loaded({.before = compression})), "the starter turned it, or it ran");
}

TEST(WayStale, LimitsOfItsOwnAreNeverWeaker) {
  EXPECT_FALSE(after_ran(StraightBy::leak_down, leak_down("90 %", ", limit: at most 99 %")).may());
  EXPECT_FALSE(after_ran(StraightBy::leak_down, leak_down("7 %", ", limit: at most 5 %")).may());
  EXPECT_FALSE(after_ran(StraightBy::leak_down, leak_down("7 %", ", remark: hissing")).may());
  expect_forbidden(way_of(way_loaded({.before = "  - {kind: reading, id: c1, quantity: "
                                                "compression, place: cylinder 1, values: 700 kPa, "
                                                "limit: at least 600 kPa}\n"})),
                   "compression of cylinder 1 is low");
}

TEST(WayStale, ABorescopeSeesTheValvesOfEachCylinder) {
  const auto by = [](const std::string& before) {
    return after_ran(StraightBy::borescope, before).may();
  };
  EXPECT_TRUE(by(seen("valves by borescope", "")));
  EXPECT_FALSE(by(seen("valve cover bolts", "")));
  EXPECT_FALSE(by(seen("intake valves", "")));
  EXPECT_FALSE(by(seen("valves", ", words: dark")));
  EXPECT_FALSE(by(seen("valves", ", remark: dark")));
}

TEST(WayStale, ABentValveHangsOpenWithItsFollowerOut) {
  const auto answer = [](const std::function<void(Standing&)>& change, const std::string& before,
                         const char* valves = "followers out") {
    LoadedCase loaded = way_loaded({.chain = "off", .valves = valves, .before = before});
    change(body_of<Standing>(loaded));
    return turning_of(loaded);
  };
  const auto ran = [](Standing& s) {
    s.since_jump = SinceJump::ran;
    s.valves_straight = StraightBy::leak_down;
  };
  const auto as_is = [](Standing&) {};
  EXPECT_THAT(answer(as_is, ""), HasSubstr("TURN ONLY the crank"));
  for (const char* valves : {"followers out", "caps loosened"}) {
    EXPECT_EQ(answer(ran, "", valves), "DO NOT TURN");
    EXPECT_EQ(answer(ran, leak_down("95 %"), valves), "DO NOT TURN");
    EXPECT_THAT(answer(ran, leak_down("7 %"), valves), HasSubstr("TURN ONLY the crank"));
  }
  EXPECT_EQ(answer([](Standing& s) { s.in_cylinders.reset(); }, ""), "DO NOT TURN");
  EXPECT_EQ(answer(as_is, leak_down("95 %")), "DO NOT TURN");
  // No standing at all: what is bad speaks all the same.
  LoadedCase loaded =
      way_loaded({.chain = "off", .valves = "followers out", .before = leak_down("95 %")});
  loaded.value.entries.pop_back();
  EXPECT_EQ(turning_of(loaded), "DO NOT TURN");
}

TEST(WayStale, AStopGoesWithWorkRemarksAndWhatSaysNotTurned) {
  const auto with = [](const std::string& before) {
    return way_of(way_loaded({.before = before}));
  };
  expect_forbidden(with("  - {kind: step, id: w1, step: anything}\n"), "the wheel may have moved");
  expect_forbidden(with("  - {kind: part, id: w1, part: damper, action: fitted}\n"),
                   "the wheel may have moved");
  EXPECT_TRUE(with("  - {kind: part, id: w1, part: damper, action: ordered}\n").may());
  LoadedCase loaded = way_loaded(WayCase{});
  loaded.value.entries.front().remark = "roughly";
  expect_forbidden(way_of(loaded), "it carries a remark");
  expect_forbidden(way_with([](Standing& s) { s.since_jump = SinceJump::not_turned; }),
                   "it was not turned");
  loaded = way_loaded(WayCase{});
  body_of<EngineState>(loaded).turned = Turned::no;
  expect_forbidden(way_of(loaded), "it was not turned");
}

TEST(WayStale, ACorrectionAfterItOrASecondStandingEndsIt) {
  LoadedCase loaded = way_loaded(
      {.after = "  - {kind: stop, id: x, replaces: e1, cylinder: 1, before: 24.5 deg crank, after: "
                "20.5 deg crank, reading: 0.5 deg crank, stop: 0.05 mm, pressed_up: true, "
                "wheel_set: true}\n"});
  expect_forbidden(way_of(loaded), "x corrects what it rests on");
  loaded = way_loaded(WayCase{});
  Entry second = loaded.value.entries.back();
  second.id = "e4";
  std::get<Standing>(second.body).camshafts[0].stands = "1 tooth early";
  loaded.value.entries.push_back(second);
  expect_forbidden(way_of(loaded), "e3 and e4 both say where the engine stands");
  loaded.value.entries.back().replaces = "e3";
  EXPECT_TRUE(way_of(loaded).may());
}

TEST(WayStale, WorkDoneOnItDoubtsTheMakersFigures) {
  const std::string work = "  - {kind: previous work, id: w1, words: head gasket two years ago}\n";
  expect_forbidden(way_of(way_loaded({.before = work})), "w1 says that work was done on it");
  // Before the stop, so that only the gap is in question.
  LoadedCase loaded =
      way_loaded({.before = "  - {kind: part, id: p1, part: piston, action: fitted}\n"});
  std::swap(loaded.value.entries[0], loaded.value.entries[1]);
  expect_forbidden(way_of(loaded), "p1 says that work was done on it");
}

TEST(WayStale, HalfATurnIsNoError) {
  for (const char* far : {"19 teeth late", "38 teeth late", "99 teeth early"})
    expect_forbidden(way_of(way_loaded({.intake = far})), "is half a turn or more");
}

TEST(WayStale, WhereItShouldStandIsAfterWhichTop) {
  expect_forbidden(way_with([](Standing& s) { s.wanted_after.reset(); }), "it should stand");
  EXPECT_TRUE(way_with([](Standing& s) {
                s.wanted_after.reset();
                s.wanted.reset();
              }).forbidden.empty());
}

TEST(WayStale, FiguresNobodyCanBelieve) {
  LoadedCase loaded = way_loaded(WayCase{});
  test::intake_valves(loaded).gap_at_top->value.value.si = 0.05;
  expect_forbidden(way_of(loaded), "more than 20 mm is not plausible");
  loaded = way_loaded(WayCase{});
  std::swap(loaded.drives[0].drive.cylinders->fires_at[1],
            loaded.drives[0].drive.cylinders->fires_at[2]);
  expect_forbidden(way_of(loaded), "where each cylinder fires");
}

// Whoever follows it to the letter gets moves.
TEST(WayStale, TheExampleOfTheDocumentsIsAWay) {
  std::ifstream file(std::string(TAUTMARK_SOURCE_DIR) + "/docs/clearance.md");
  const std::string text(std::istreambuf_iterator<char>(file), {});
  const std::size_t from = text.find("entries:\n");
  ASSERT_NE(from, std::string::npos);
  const std::string entries = text.substr(from, text.find("```", from) - from);
  const WayAnswer way =
      way_of(way_loaded_text("tautmark: case/1\nname: docs\ndrive: quellmere-i4-16\n" + entries));
  EXPECT_THAT(way.forbidden, IsEmpty());
  EXPECT_THAT(way.answer, HasSubstr("TURN ONLY by hand, these moves"));
}

}  // namespace
}  // namespace tautmark
