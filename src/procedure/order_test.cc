// SPDX-License-Identifier: Apache-2.0
#include "procedure/order.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "procedure/test_drives.h"

namespace tautmark::procedure {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

struct Ordered {
  std::vector<std::string> names{}, faults{};
};
Ordered ordered(const LoadedDrive& loaded) {
  const Plan plan = plan_of(loaded.drive);
  const Order order = order_of(plan);
  Ordered out;
  for (const std::size_t i : order.steps) out.names.push_back(plan.steps[i].written->name);
  for (const OrderFault& fault : order.faults) out.faults.push_back(fault_text(plan, fault));
  return out;
}
Ordered of(const std::string& steps) { return ordered(test::loaded_text("procedure:\n" + steps)); }
std::string step(const std::string& name, const std::string& more) {
  return "  - {name: " + name + ", what: w, " + more + "}\n";
}

TEST(Order, KeepsTheWrittenOneWhereItIsFree) {
  EXPECT_THAT(of(step("a", "gives: [x seat]") + step("b", "gives: [y table]") +
                 step("c", "gives: [z chair]"))
                  .names,
              ElementsAre("a", "b", "c"));
}

TEST(Order, FollowsTheConditions) {
  EXPECT_THAT(of(step("c", "needs: [y table], gives: [z chair]") +
                 step("b", "needs: [x seat], gives: [y table]") + step("a", "gives: [x seat]"))
                  .names,
              ElementsAre("a", "b", "c"));
}

TEST(Order, WaitsWithWhatEndsAnothersCondition) {
  const Ordered found = of(step("use", "needs: [x seat, y table], gives: [z chair]") +
                           step("end", "needs: [x seat], ends: [x seat]") +
                           step("lay", "gives: [x seat]") + step("set", "gives: [y table]"));
  EXPECT_THAT(found.names, ElementsAre("lay", "set", "use", "end"));
  EXPECT_THAT(found.faults, IsEmpty());
}

TEST(Order, NamesWhatNobodyGives) {
  EXPECT_THAT(of(step("a", "needs: [x seat], gives: [y table]") +
                 step("b", "needs: [y table], gives: [z chair]"))
                  .faults,
              ElementsAre("\"a\" is never reached: no step gives \"x seat\"",
                          "\"b\" is never reached: it waits for \"y table\" of \"a\""));
}

TEST(Order, NamesALoop) {
  EXPECT_THAT(of(step("a", "needs: [z chair], gives: [x seat]") +
                 step("b", "needs: [x seat], gives: [y table]") +
                 step("c", "needs: [y table], gives: [z chair]"))
                  .faults,
              ::testing::Contains("steps wait for each other in a circle: \"a\" → \"c\" → \"b\" → "
                                  "\"a\""));
}

TEST(Order, NamesWhoEndedItForGood) {
  EXPECT_THAT(of(step("lay", "gives: [x seat]") + step("end", "ends: [x seat], gives: [y table]") +
                 step("use", "needs: [x seat, y table], gives: [z chair]"))
                  .faults,
              ElementsAre("\"use\" is never reached: it needs \"x seat\", which \"end\" ended and "
                          "no step gives again"));
}

TEST(Order, OfTheDemoProceduresIsTheWrittenOne) {
  for (const char* name : test::kDemoDrives) {
    const LoadedDrive loaded = test::loaded_demo(name);
    const Ordered found = ordered(loaded);
    EXPECT_THAT(found.faults, IsEmpty());
    std::vector<std::string> written;
    for (const ProcedureStep& one : loaded.drive.procedure) written.push_back(one.name);
    EXPECT_EQ(found.names, written) << name;
  }
}

// Whatever is found obeys the machine, step by step.
TEST(Order, OfShuffledStepsIsAllowedAllTheWay) {
  std::mt19937 random(7);
  LoadedDrive loaded = test::loaded_demo("quellmere-i4-16");
  for (int round = 0; round < 10; ++round) {
    std::shuffle(loaded.drive.procedure.begin(), loaded.drive.procedure.end(), random);
    const Plan plan = plan_of(loaded.drive);
    const Order order = order_of(plan);
    EXPECT_EQ(order.steps.size() + order.faults.size(), plan.steps.size());
    State state = state_of_whole(plan);
    for (const std::size_t i : order.steps) {
      EXPECT_THAT(blocked(plan, plan.steps[i], state), IsEmpty()) << plan.steps[i].written->name;
      state = after(plan, plan.steps[i], std::move(state));
    }
  }
}

}  // namespace
}  // namespace tautmark::procedure
