// SPDX-License-Identifier: Apache-2.0
// Torque traces and re-used fasteners within a case.
#include <gmock/gmock.h>

#include "judge/judge_test_support.h"
#include "judge/trace_test_support.h"

namespace tautmark {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using tighten::SimulatedDamage;

using Files = std::vector<std::pair<std::string, std::string>>;

Judgement judged_with(const std::string& entries, const Files& files,
                      const std::string& fasteners = test::kBoltInDrive) {
  const test::TempFolder folder;
  folder.write("small.drive.yaml", test::small_drive(fasteners));
  for (const auto& [name, text] : files) folder.write(name, text);
  const auto loaded = load_case(folder.write("case.yaml", test::kCaseHead + entries), {});
  EXPECT_TRUE(loaded) << (loaded ? "" : diagnostics_text(loaded.error()));
  if (!loaded) return {};
  const auto judgement = judge(*loaded, {});
  EXPECT_TRUE(judgement) << (judgement ? "" : diagnostics_text(judgement.error()));
  return judgement ? *judgement : Judgement{};
}

std::string entry_of(int bolt) {
  return fmt::format(
      "  - {{id: e{0}, kind: torque trace, fastener: phaser bolt, bolt: {0}, file: {0}.csv}}\n",
      bolt);
}

Finding of_one(const test::BoltTrace& trace, const std::string& fasteners = test::kBoltInDrive) {
  return test::find(judged_with(entry_of(1), {{"1.csv", test::trace_text(trace)}}, fasteners),
                    "torque-trace", "phaser bolt, no. 1");
}

TEST(TorqueTrace, AGoodOneApprovesNothing) {
  const Finding finding = of_one({});
  EXPECT_EQ(finding.verdict, Verdict::open);
  EXPECT_THAT(finding.why, HasSubstr("no sign of damage"));
  EXPECT_THAT(finding.why, HasSubstr("the slope of this joint is not given"));
  EXPECT_THAT(finding.evidence, Contains("e1"));
  EXPECT_THAT(finding.cautions, Contains(HasSubstr("friction 0.08 to 0.16 assumed")));
  EXPECT_THAT(finding.cautions, Contains(HasSubstr("strips later")));
  EXPECT_THAT(finding.sources, Contains(HasSubstr("VDI 2230")));
}

TEST(TorqueTrace, WhatMustComeOutFails) {
  const SimulatedDamage crossed = {
      .cross_thread = tighten::CrossThread{
          .from = deg(0), .per_turn = Torque::from_si(40), .lumps = 0.1, .seats = true}};
  const SimulatedDamage stripped = {
      .stripped = tighten::StrippedThread{
          .load = Force::from_si(45000), .holds = deg(2), .fade = deg(30), .rest = 0.3}};
  const std::tuple<test::BoltTrace, const char*> cases[] = {
      {{.damage = crossed}, "cross-threaded"},
      {{.damage = stripped, .angle = 200}, "stripped thread"},
      {{.angle = 30}, "angle not reached"},
      {{.angle = 130}, "turned too far"},
  };
  for (const auto& [trace, sign] : cases) {
    const Finding finding = of_one(trace);
    EXPECT_EQ(finding.verdict, Verdict::fail) << sign;
    EXPECT_FALSE(finding.open_because) << sign;
    EXPECT_THAT(finding.why, HasSubstr(sign));
    EXPECT_THAT(finding.follows, Contains(HasSubstr("take the bolt out"))) << sign;
    EXPECT_THAT(finding.follows, Contains(HasSubstr("new bolt"))) << sign;
    EXPECT_THAT(finding.cautions, Contains(HasSubstr("looks the same as"))) << sign;
  }
}

TEST(TorqueTrace, OtherSignsStayOpen) {
  std::string used_again = test::kBoltInDrive;
  used_again.replace(used_again.find("single_use: true"), 16, "single_use: false");
  const Finding finding = of_one({}, used_again);  // then it is not meant to yield
  EXPECT_EQ(finding.verdict, Verdict::open);
  EXPECT_THAT(finding.why, HasSubstr("yields unmeant"));
  EXPECT_THAT(finding.cautions, Contains(HasSubstr("yields unmeant looks the same as")));
  EXPECT_THAT(finding.follows, IsEmpty());
}

TEST(TorqueTrace, WhatTheDefinitionLacksIsAsked) {
  const Finding finding = of_one(
      {},
      "fasteners: [{name: phaser bolt, thread: M12, steps: [{torque: 35 N·m}, {angle: 75 deg}]}]"
      "\n");
  EXPECT_EQ(finding.open_because, OpenBecause::not_in_drive);
  EXPECT_THAT(finding.why, HasSubstr("M12x1.75"));
  EXPECT_THAT(finding.why, HasSubstr("strength class"));
  EXPECT_THAT(finding.why, HasSubstr("oiled or dry"));
}

TEST(TorqueTrace, AFileThatCannotBeReadStaysOpenWithItsPlace) {
  Finding finding =
      test::find(judged_with(entry_of(1), {{"1.csv", "Angle [deg];Torque [N·m]\n1;x\n"}}),
                 "torque-trace", "phaser bolt");
  EXPECT_EQ(finding.open_because, OpenBecause::not_measured);
  EXPECT_THAT(finding.why, HasSubstr("1.csv, line 2"));
  std::string entry = entry_of(1);
  entry.insert(entry.find('}'), ", sha256: " + std::string(64, '0'));
  finding = test::find(judged_with(entry, {{"1.csv", test::trace_text({})}}), "torque-trace", "");
  EXPECT_THAT(finding.why, HasSubstr("not the file that was entered"));
  EXPECT_EQ(finding.verdict, Verdict::open);
}

TEST(TorqueTrace, OneThatDiffersFromItsBrothersShows) {
  std::string entries;
  Files files;
  for (int bolt = 1; bolt <= 4; ++bolt) {
    entries += entry_of(bolt);
    const double slope = bolt == 4 ? 620 : 1000;
    files.emplace_back(fmt::format("{}.csv", bolt),
                       test::trace_text({.friction = 0.117 + 0.002 * bolt,
                                         .slope = slope,
                                         .angle = 75,
                                         .seed = static_cast<std::uint64_t>(bolt)}));
  }
  const Judgement judgement = judged_with(entries, files);
  const Finding odd = test::find(judgement, "torque-trace", "phaser bolt, no. 4");
  EXPECT_THAT(odd.why, HasSubstr("softer than its brothers"));
  EXPECT_NE(odd.verdict, Verdict::pass);
  const Finding same = test::find(judgement, "torque-trace", "phaser bolt, no. 2");
  EXPECT_THAT(same.why, Not(HasSubstr("brothers")));
  EXPECT_EQ(same.verdict, Verdict::open);
}

TEST(TorqueTrace, TheCaseIsCheckedWhenItIsRead) {
  const auto refused = [](const std::string& entry) {
    return test::refusal(test::kCaseHead + entry, test::small_drive(test::kBoltInDrive));
  };
  EXPECT_THAT(refused(entry_of(1)), HasSubstr("\"1.csv\" is not in the case folder"));
  EXPECT_THAT(
      refused("  - {id: e1, kind: torque trace, fastener: phaser bolts, file: case.yaml}\n"),
      HasSubstr("did you mean \"phaser bolt\"?"));
  EXPECT_THAT(refused("  - {id: e1, kind: torque trace, fastener: phaser bolt, file: case.yaml, "
                      "step: 3}\n"),
              HasSubstr("phaser bolt has 2 steps"));
  EXPECT_THAT(refused("  - {id: e1, kind: torque trace, fastener: phaser bolt, file: case.yaml, "
                      "bolt: 5}\n"),
              HasSubstr("there are 4"));
  EXPECT_THAT(refused("  - {id: e1, kind: torque trace, fastener: phaser bolt, file: case.yaml, "
                      "instrument: mic}\n"),
              IsEmpty());
}

std::vector<Finding> reuse_of(const std::string& entries, const std::string& more) {
  std::vector<Finding> found;
  for (const Finding& finding : judged_with(entries, {}, more).findings)
    if (finding.check == "fastener-reuse") found.push_back(finding);
  return found;
}

std::string bolts(const std::string& fields) {
  return "fasteners: [{name: phaser bolt, count: 2, steps: [{torque: 35 N·m}]" + fields + "}]\n";
}
constexpr const char* kReused =
    "  - {id: e1, kind: part, part: phaser bolts, action: reused, reason: looks perfect}\n";

// trade.md 7, question 15: marked one-time-use: no. If the maker permits reuse below a length
// limit, measure free length.
TEST(FastenerReuse, LooksProveNothing) {
  auto found = reuse_of(kReused, bolts(", single_use: true"));
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found[0].verdict, Verdict::fail);
  EXPECT_THAT(found[0].follows, Contains(HasSubstr("fit a new one")));
  EXPECT_THAT(found[0].evidence, Contains("e1"));
  found = reuse_of(kReused, bolts(""));
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found[0].open_because, OpenBecause::not_in_drive);
  found = reuse_of(kReused, bolts(", single_use: false, longest: 60.5 mm"));
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found[0].open_because, OpenBecause::not_measured);
  EXPECT_THAT(found[0].why, HasSubstr("length is not measured"));
  EXPECT_THAT(reuse_of(kReused, bolts(", single_use: false")), IsEmpty());
}

std::string length_of(int bolt, const std::string& value) {
  return fmt::format(
      "  - {{id: l{0}, kind: reading, quantity: bolt length, place: phaser bolt / no. {0}, value: "
      "\"{1}\"}}\n",
      bolt, value);
}

// trade.md 7, question 15: where the maker permits it below a length limit, the free length
// decides.
TEST(BoltLength, AnswersWithTheUncertaintyOfTheReading) {
  const std::string limit = bolts(
      ", single_use: false, longest: 60.5 mm, source: {origin: maker, document: manual, page: p. "
      "5}");
  const auto verdict = [&](const std::string& value) {
    return test::find(judged_with(length_of(1, value) + length_of(2, value), {}, limit),
                      "bolt-length", "phaser bolt / no. 2");
  };
  EXPECT_EQ(verdict("60.12 ± 0.02 mm").verdict, Verdict::pass);
  EXPECT_EQ(verdict("60.49 ± 0.02 mm").verdict, Verdict::open);
  EXPECT_EQ(verdict("60.51 ± 0.02 mm").verdict, Verdict::open);
  const Finding long_one = verdict("60.55 ± 0.02 mm");
  EXPECT_EQ(long_one.verdict, Verdict::fail);
  EXPECT_THAT(long_one.follows, Contains(HasSubstr("fit a new one")));
  // One measured, the other one not.
  EXPECT_EQ(test::find(judged_with(length_of(1, "60.12 ± 0.02 mm"), {}, limit), "bolt-length",
                       "phaser bolt / no. 2")
                .open_because,
            OpenBecause::not_measured);
}

TEST(BoltLength, IsNoPlaceOfABoltThatIsUsedOnceOrMayBe) {
  for (const char* use :
       {", single_use: true, longest: 60.5 mm", ", longest: 60.5 mm", ", single_use: false"})
    EXPECT_THAT(test::refusal(test::kCaseHead + length_of(1, "60.12 ± 0.02 mm"),
                              test::small_drive(bolts(use))),
                HasSubstr("no fastener to measure at"))
        << use;
}

TEST(FastenerReuse, GoesInAgainWhereAsManyAreShortEnough) {
  const std::string limit = bolts(", single_use: false, longest: 60.5 mm");
  const std::string good = length_of(1, "60.12 ± 0.02 mm");
  EXPECT_THAT(reuse_of(kReused + good + length_of(2, "60.2 ± 0.02 mm"), limit), IsEmpty());
  auto found = reuse_of(kReused + good, limit);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found[0].verdict, Verdict::open);
  found = reuse_of(kReused + good + length_of(2, "60.7 ± 0.02 mm"), limit);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found[0].verdict, Verdict::fail);
  EXPECT_THAT(reuse_of("  - {id: e1, kind: part, part: phaser bolt, action: reused, count: 1}\n" +
                           good + length_of(2, "60.7 ± 0.02 mm"),
                       limit),
              IsEmpty());
  EXPECT_EQ(reuse_of(kReused, bolts(", single_use: false, to_yield: true")).at(0).verdict,
            Verdict::fail);
}

TEST(FastenerReuse, ANewOneFittedLaterTakesItsPlace) {
  const std::string once = bolts(", single_use: true");
  EXPECT_THAT(
      reuse_of(std::string(kReused) +
                   "  - {id: e2, kind: part, part: phaser bolt, action: fitted, count: 2}\n",
               once),
      IsEmpty());
  EXPECT_EQ(reuse_of(std::string(kReused) +
                         "  - {id: e2, kind: part, part: phaser bolt, action: fitted, count: 1}\n",
                     once)
                .size(),
            1U);
  // Laid aside, ordered, in the opened box: nothing was put in.
  EXPECT_THAT(reuse_of("  - {id: e1, kind: part, part: phaser bolt, action: in the box, "
                       "beside_old: [teeth, marks, feed hole]}\n"
                       "  - {id: e2, kind: part, part: phaser bolt, action: old one kept}\n",
                       once),
              IsEmpty());
}

std::string procedure_of(const std::string& fields) {
  return bolts(fields) + R"(parts:
  - {name: phaser set, holds: [phaser, two phaser bolts]}
procedure:
  - {name: phaser bolt 1, what: tighten, bank: 1, tightens: [{fastener: phaser bolt, steps: [{torque: 35 N·m}]}]}
  - {name: phaser bolt again, what: tighten, tightens: [{fastener: phaser bolt, steps: [{torque: 35 N·m}]}]}
)";
}

TEST(FastenerReuse, TightenedWithoutANewOneIsOpen) {
  const std::string done = "  - {id: e1, kind: step, step: phaser bolt 1}\n";
  const std::string fitted = "  - {id: e2, kind: part, part: ";
  for (const char* use : {", single_use: true", ""}) {
    const auto found = reuse_of(done, procedure_of(use));
    ASSERT_EQ(found.size(), 1U) << use;
    EXPECT_EQ(found[0].open_because, OpenBecause::not_measured);
    EXPECT_EQ(found[0].subject, "phaser bolt, bank 1");
  }
  EXPECT_THAT(reuse_of(done, procedure_of(", single_use: false")), IsEmpty());
  const std::string once = procedure_of(", single_use: true");
  EXPECT_THAT(reuse_of(done + fitted + "phaser bolt, action: fitted}\n", once), IsEmpty());
  EXPECT_THAT(reuse_of(done + fitted + "phaser set, action: fitted}\n", once), IsEmpty());
  EXPECT_EQ(reuse_of(done + fitted + "phaser, action: fitted}\n", once).size(), 1U);
  EXPECT_EQ(reuse_of(done + fitted + "phaser bolt, action: ordered}\n", once).size(), 1U);
  // The bolts of one place do for one of two tightenings at two places, and one of them for none.
  const std::string both = done + "  - {id: e3, kind: step, step: phaser bolt again}\n";
  EXPECT_EQ(reuse_of(both + fitted + "phaser bolt, action: fitted, count: 2}\n", once).size(), 1U);
  EXPECT_EQ(reuse_of(both + fitted + "phaser bolt, action: fitted, count: 1}\n", once).size(), 2U);
}

// A case without fasteners is as long as before.
TEST(FastenerChecks, SayNothingWithoutEntries) {
  const Judgement judgement = judged_with("  - {id: e1, kind: note, words: nothing}\n", {});
  for (const Finding& finding : judgement.findings)
    EXPECT_NE(finding.check, "torque-trace") << finding.subject;
  EXPECT_THAT(reuse_of("  - {id: e1, kind: note, words: nothing}\n", test::kBoltInDrive),
              IsEmpty());
  for (const NotLookedAt& missing : judgement.not_looked_at)
    EXPECT_THAT(missing.check, Not(HasSubstr("fastener")));
}

}  // namespace
}  // namespace tautmark
