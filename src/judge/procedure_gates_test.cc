// SPDX-License-Identifier: Apache-2.0
// Findings of the check "procedure-gates" on a case given as text.
#include <gmock/gmock.h>

#include <algorithm>

#include "judge/judge_test_support.h"

namespace tautmark {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::SizeIs;
using ::testing::StartsWith;

constexpr const char* kProcedure = R"(procedure:
  - {name: Read the wear, what: w, gives: [wear read], gate: second name}
  - {name: Decide, what: w, needs: [wear read], gives: [decided]}
  - {name: Take the covers off, what: w, gives: [covers off]}
  - {name: Start the engine, what: w, gives: [engine started]}
)";

Judgement judged_steps(const std::string& entries, const std::string& procedure = kProcedure) {
  return test::judged(test::kCaseHead + entries, test::small_drive(procedure));
}

std::vector<Finding> gates(const Judgement& judgement) {
  std::vector<Finding> found;
  for (const Finding& finding : judgement.findings)
    if (finding.check == "procedure-gates") found.push_back(finding);
  return found;
}

TEST(ProcedureGates, SaysNothingWithoutAProcedureOrWithoutAStep) {
  EXPECT_THAT(gates(judged_steps("  - {kind: step, id: e1, step: Read the wear}\n", "")),
              IsEmpty());
  EXPECT_THAT(gates(judged_steps("  - {kind: note, id: e1, words: nothing done}\n")), IsEmpty());
  EXPECT_THAT(gates(judged_steps("  - {kind: step, id: e1, step: something of our own}\n")),
              IsEmpty());
}

TEST(ProcedureGates, SaysNothingWhereEveryGateWasShown) {
  const Judgement judgement = judged_steps(
      "  - {kind: step, id: e1, by: A., step: Read the wear, second_name: B.}\n"
      "  - {kind: step, id: e2, by: A., step: Decide}\n");
  EXPECT_THAT(gates(judgement), IsEmpty());
  EXPECT_THAT(judgement.proven, Not(HasSubstr("work step by step")));
}

TEST(ProcedureGates, AGateThatNothingShowsIsOpen) {
  const Judgement judgement =
      judged_steps("  - {kind: step, id: e1, by: A., step: Read the wear}\n");
  const std::vector<Finding> found = gates(judgement);
  ASSERT_THAT(found, SizeIs(1));
  EXPECT_EQ(test::verdict_text(found[0]), "open: not measured");
  EXPECT_EQ(found[0].subject, "Read the wear");
  EXPECT_THAT(found[0].why, HasSubstr("its gate wants the name of a second person"));
  EXPECT_THAT(found[0].evidence, ElementsAre("e1"));
  EXPECT_THAT(judgement.stop_or_caution, StartsWith("CAUTION: nothing proven outside"));
  EXPECT_THAT(judgement.proven, HasSubstr("marks, tightening; work step by step: 1 open"));
  EXPECT_EQ(judgement.turning.answer, "DO NOT TURN");
}

TEST(ProcedureGates, AConditionPassedOverStaysOpenByNameAndReason) {
  const std::string over =
      "  - {kind: step, id: e1, by: A., step: Decide, against_gate: customer waits, "
      "allowed_by: foreman}\n";
  const std::vector<Finding> found = gates(judged_steps(over));
  ASSERT_THAT(found, SizeIs(1));
  EXPECT_EQ(found[0].subject, "Decide, wear read");
  EXPECT_THAT(found[0].why, HasSubstr("foreman allowed \"Decide\" without \"wear read\""));
  EXPECT_THAT(found[0].why, HasSubstr("customer waits"));
  const std::string shown =
      "  - {kind: step, id: e2, by: A., step: Read the wear, second_name: B.}\n";
  EXPECT_THAT(gates(judged_steps(over + shown)), IsEmpty());
}

TEST(ProcedureGates, AStepEnteredWhileBlockedIsOpen) {
  const std::vector<Finding> found = gates(
      judged_steps("  - {kind: step, id: e1, by: A., step: Start the engine, against_gate: late, "
                   "allowed_by: foreman}\n"));
  ASSERT_THAT(found, SizeIs(1));
  EXPECT_EQ(found[0].verdict, Verdict::open);
  EXPECT_THAT(found[0].why, HasSubstr("\"Start the engine\" was entered while it was blocked"));
  EXPECT_THAT(found[0].why, HasSubstr("no override exists here"));
}

TEST(ProcedureGates, AnInterruptedStepIsOpenUntilItIsDone) {
  const std::string begun =
      "  - {kind: step, id: e1, step: Take the covers off, interrupted: yes}\n";
  const std::vector<Finding> found = gates(judged_steps(begun));
  ASSERT_THAT(found, SizeIs(1));
  EXPECT_THAT(found[0].why, HasSubstr("was interrupted and is not done"));
  EXPECT_THAT(gates(judged_steps(begun + "  - {kind: step, id: e2, step: Take the covers off}\n")),
              IsEmpty());
}

}  // namespace
}  // namespace tautmark
