// SPDX-License-Identifier: Apache-2.0
#include "procedure/lint.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "procedure/test_drives.h"

namespace tautmark::procedure {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

TEST(ProcedureLint, FindsNothingInTheDemoProcedures) {
  for (const char* name : test::kDemoDrives) {
    const LoadedDrive loaded = test::loaded_demo(name);
    EXPECT_GE(loaded.drive.procedure.size(), 30U);
    EXPECT_LE(loaded.drive.procedure.size(), 50U);
    EXPECT_THAT(diagnostics_text(procedure_lint(loaded)), IsEmpty()) << name;
  }
}

TEST(ProcedureLint, SaysNothingOfADriveWithoutOne) {
  EXPECT_THAT(procedure_lint(test::loaded_text("")), IsEmpty());
}

TEST(ProcedureLint, ComparesNothingOfMoreStepsThanAnyJobHas) {
  LoadedDrive loaded = test::loaded_text("");
  loaded.drive.procedure.resize(100000);
  EXPECT_THAT(diagnostics_text(procedure_lint(loaded)), HasSubstr("at most 300 are read"));
}

std::string found(const std::string& more) {
  return diagnostics_text(procedure_lint(test::loaded_text(more)));
}
std::string of_step(const std::string& step) {
  return found("procedure:\n  - {name: one, what: w, " + step + "}\n");
}

TEST(ProcedureLint, NamesTheWordThatCannotBeRead) {
  EXPECT_THAT(of_step("gives: [covers off, chian on]"),
              HasSubstr("a.drive.yaml:5:46: error: \"chian on\": \"chain on\" is meant?"));
}

TEST(ProcedureLint, NamesTheRuleThatTheWrittenOrderBreaks) {
  EXPECT_THAT(of_step("gives: [tensioner pinned]"), HasSubstr("needs \"bank 1: extension read\""));
  EXPECT_THAT(of_step("turns: two turns"), HasSubstr("needs \"bank 1: phaser locked\""));
  EXPECT_THAT(of_step("gives: [two turns done]"), HasSubstr("needs \"two turns done\""));
  EXPECT_THAT(of_step("needs: [table laid], gives: [covers off]"),
              HasSubstr("no step gives \"table laid\""));
}

TEST(ProcedureLint, WantsWhatEveryProcedureMustReach) {
  const std::string text = of_step("gives: [covers off]");
  for (const char* fact :
       {"bank 1: marks recorded", "bank 1: extension read", "bank 1: marks proven",
        "two turns done", "everything accounted for", "oil primed", "engine started",
        "relearn done", "recorded before", "recorded after", "handed over"})
    EXPECT_THAT(text, HasSubstr(std::string("never reaches \"") + fact));
}

TEST(ProcedureLint, WantsGatesWhereMetalBends) {
  EXPECT_THAT(of_step("gives: [tensioner released]"),
              HasSubstr("no gate where the tensioner is released"));
  EXPECT_THAT(of_step("gives: [phaser bolt final]"),
              HasSubstr("no gate where the phaser bolt gets its final tightening"));
  EXPECT_THAT(of_step("turns: two turns"), HasSubstr("no gate where the engine is turned"));
  EXPECT_THAT(of_step("gives: [covers on]"), HasSubstr("no gate where the covers go on"));
  EXPECT_THAT(of_step("gives: [engine started]"), HasSubstr("no gate where the engine is started"));
  EXPECT_THAT(of_step("gives: [handed over]"),
              HasSubstr("no gate where the engine is handed over"));
  EXPECT_THAT(of_step("gives: [engine started], gate: tick"), HasSubstr("a tick is too little"));
  EXPECT_THAT(of_step("gives: [engine started], gate: photo"), Not(HasSubstr("gate: reading")));
  EXPECT_THAT(of_step("gives: [oil primed], gate: photo"), HasSubstr("priming wants the time"));
}

TEST(ProcedureLint, NamesStepsThatDoNothingTwiceOrUnnoticed) {
  EXPECT_THAT(of_step("needs: [covers on]"), HasSubstr("\"one\" gives nothing"));
  EXPECT_THAT(of_step("gives: [table laid]"), HasSubstr("nothing later would notice that \"one\""));
  EXPECT_THAT(found("procedure: [{name: one, what: w, gives: [a table]}, {name: ONE, what: w, "
                    "gives: [b chair]}]\n"),
              HasSubstr("two steps are named \"ONE\""));
  EXPECT_THAT(of_step("turns: a little"), HasSubstr("the next step does not read the marks"));
  EXPECT_THAT(found("procedure: [{name: a, what: w, stage: prove, gives: [x table]}, {name: b, "
                    "what: w, stage: measure, gives: [y chair]}]\n"),
              HasSubstr("goes back to an earlier stage"));
}

std::string of_bolt(const std::string& fastener, const std::string& tightens) {
  return found("fasteners: [{name: bolt, single_use: no, " + fastener +
               "}]\nprocedure: [{name: one, what: w, " + tightens + "}]\n");
}

TEST(ProcedureLint, ComparesFiguresWithTheFastenersOwn) {
  const std::string own = "steps: [{torque: 12 N·m}]";
  const auto with = [&](const std::string& steps) {
    return of_bolt(own, "tightens: [{fastener: bolt, steps: [" + steps + "]}]");
  };
  EXPECT_THAT(with("{torque: 12 N·m}"), Not(HasSubstr("figures")));
  EXPECT_THAT(with("{torque: 106 lbf·in}"), Not(HasSubstr("figures")));
  EXPECT_THAT(with("{torque: 106 lbf·ft}"),
              HasSubstr("bolt is tightened here to 106 lbf·ft, its own figures say 12 N·m"));
  EXPECT_THAT(with("{torque: 12 N·m}, {angle: 90 deg}"), HasSubstr("say nothing"));
  EXPECT_THAT(of_bolt(own, "tightens: [bolt]"), HasSubstr("figures of bolt are not written here"));
  EXPECT_THAT(of_bolt(own, "tightens: [blot]"), HasSubstr("did you mean \"bolt\"?"));
}

TEST(ProcedureLint, LooksAtTheProcedureWithAndWithoutWhatADecisionLeavesOut) {
  const auto of = [](const std::string& rest) {
    return found("procedure:\n  - {name: head off, what: w, if_decided: head, gives: [no head]}\n" +
                 rest);
  };
  // The last step wants a fact that only a left out step gives: it goes with it.
  EXPECT_THAT(of("  - {name: next, what: w, needs: [no head], gives: [table laid]}\n"),
              Not(HasSubstr("does not hold here")));
  // One that takes the covers off for itself, and one that relies on it.
  EXPECT_THAT(found("procedure:\n"
                    "  - {name: look, what: w, if_decided: head, gives: [covers off]}\n"
                    "  - {name: see, what: w, gives: [marks recorded]}\n"),
              HasSubstr("\"see\" needs \"covers off\", which does not hold here, where this is "
                        "reused: head"));
  EXPECT_THAT(of_step("if_decided: head, turns: two turns"), HasSubstr("no decision leaves that"));
  EXPECT_THAT(of_step("since: nothing, within: 10 min"), HasSubstr("no step before \"one\" is"));
}

TEST(ProcedureLint, MissesFastenersAndParts) {
  EXPECT_THAT(of_bolt("steps: [{torque: 12 N·m}]", "gives: [x seat]"),
              HasSubstr("no step tightens bolt to the end"));
  EXPECT_THAT(found("fasteners: [{name: bolt, single_use: yes, steps: [{torque: 12 N·m}]}]\n"
                    "procedure: [{name: one, what: w, tightens: [{fastener: bolt, steps: [{torque: "
                    "12 N·m}]}]}]\n"),
              HasSubstr("no step before fits a new one"));
  const std::string twice =
      "tightens: [{fastener: bolt, steps: [{torque: 12 N·m}]}]}, {name: two, what: w, "
      "tightens: [{fastener: bolt, steps: [{torque: 12 N·m}]}]";
  EXPECT_THAT(of_bolt("steps: [{torque: 12 N·m}]", twice), HasSubstr("to the end twice"));
  EXPECT_THAT(found("parts: [{name: set, holds: [chain, arm]}]\n"
                    "procedure: [{name: one, what: w, fits: [chain, amr]}]\n"),
              HasSubstr("no step fits: arm"));
}

}  // namespace
}  // namespace tautmark::procedure
