// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <set>

#include "procedure/lint.h"
#include "procedure/lint_parts.h"

namespace tautmark::procedure {
namespace {

// The written order with one step left out: what was missing where, and what was ever reached.
struct Course {
  std::vector<std::set<Fact>> missing{};  // per step of the plan
  std::set<Fact> reached{};
};

constexpr std::size_t kNone = static_cast<std::size_t>(-1);

Course course_of(const Plan& plan, std::size_t without) {
  Course course;
  course.missing.resize(plan.steps.size());
  const std::vector<Fact> wanted = must_reach(plan);
  State state = state_of_whole(plan);
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    if (i == without) continue;
    for (const Blocked& one : blocked(plan, plan.steps[i], state))
      course.missing[i].insert(one.missing);
    state = after(plan, plan.steps[i], std::move(state));
    for (const Fact& fact : wanted)
      if (state.holds(fact)) course.reached.insert(fact);
  }
  return course;
}

bool is_noticed(const Course& whole, const Course& without) {
  if (without.reached != whole.reached) return true;
  for (std::size_t i = 0; i < whole.missing.size(); ++i)
    if (!std::includes(whole.missing[i].begin(), whole.missing[i].end(),
                       without.missing[i].begin(), without.missing[i].end()))
      return true;
  return false;
}

}  // namespace

std::vector<Fact> must_reach(const Plan& plan) {
  std::vector<Fact> facts = {{.item = Item::turned},      {.item = Item::accounted},
                             {.item = Item::primed},
                             {.item = Item::engine},      {.item = Item::relearn},
                             {.item = Item::recording},   {.item = Item::recording, .value = 1},
                             {.item = Item::handed_over}};
  for (const int bank : plan.banks) {
    facts.push_back({.item = Item::as_found, .bank = bank});
    facts.push_back({.item = Item::extension, .bank = bank});
    facts.push_back({.item = Item::marks, .value = 2, .bank = bank});
  }
  return facts;
}

void lint_reaches(LintReport& report, const Plan& plan) {
  const Course whole = course_of(plan, kNone);
  for (const Fact& fact : must_reach(plan))
    if (!whole.reached.contains(fact))
      report.error("procedure", fmt::format("the procedure never reaches \"{}\"", fact_text(fact)),
                   "every procedure has a step that gives it");
  for (std::size_t i = 0; i < plan.steps.size(); ++i)
    if (!is_noticed(whole, course_of(plan, i)))
      report.warning(step_key(i),
                     fmt::format("nothing later would notice that \"{}\" was left out",
                                 plan.steps[i].written->name),
                     "give something that a later step needs");
}

}  // namespace tautmark::procedure
