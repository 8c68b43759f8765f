// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <set>

#include "procedure/lint.h"
#include "procedure/lint_parts.h"

namespace tautmark::procedure {
namespace {

using Missing = std::vector<Blocked>;

// The written order, each step taken as done: before each step the state and what was ever reached,
// and what was missing there.
struct Course {
  std::vector<State> before{};
  std::vector<std::set<Fact>> reached{};  // one more than there are steps
  std::vector<Missing> missing{};
};

void note(std::set<Fact>& reached, const std::vector<Fact>& wanted, const State& state) {
  for (const Fact& fact : wanted)
    if (!reached.contains(fact) && state.holds(fact)) reached.insert(fact);
}

Course course_of(const Plan& plan, const std::vector<Fact>& wanted) {
  Course course;
  course.reached.emplace_back();
  State state = state_of_whole(plan);
  for (const Step& step : plan.steps) {
    course.before.push_back(state);
    course.missing.push_back(blocked(plan, step, state));
    state = after(plan, step, std::move(state));
    course.reached.push_back(course.reached.back());
    note(course.reached.back(), wanted, state);
  }
  return course;
}

bool is_within(const Missing& some, const Missing& all) {
  return std::all_of(some.begin(), some.end(), [&](const Blocked& one) {
    return std::any_of(all.begin(), all.end(),
                       [&](const Blocked& other) { return other.missing == one.missing; });
  });
}

// Whether a later step misses something that it would not miss with step `without` done, or the
// end is not what every procedure must reach.
bool is_noticed(const Plan& plan, const std::vector<Fact>& wanted, const Course& whole,
                std::size_t without) {
  State state = whole.before[without];
  std::set<Fact> reached = whole.reached[without];
  for (std::size_t i = without + 1; i < plan.steps.size(); ++i) {
    if (!is_within(blocked(plan, plan.steps[i], state), whole.missing[i])) return true;
    state = after(plan, plan.steps[i], std::move(state));
    note(reached, wanted, state);
  }
  return reached != whole.reached.back();
}

}  // namespace

std::vector<Fact> must_reach(const Plan& plan) {
  std::vector<Fact> facts = {{.item = Item::turned},
                             {.item = Item::accounted},
                             {.item = Item::primed},
                             {.item = Item::engine},
                             {.item = Item::relearn},
                             {.item = Item::recording},
                             {.item = Item::recording, .value = 1},
                             {.item = Item::handed_over}};
  for (const int bank : plan.banks) {
    facts.push_back({.item = Item::as_found, .bank = bank});
    facts.push_back({.item = Item::extension, .bank = bank});
    facts.push_back({.item = Item::marks, .value = 2, .bank = bank});
  }
  return facts;
}

void lint_reaches(LintReport& report, const Plan& plan) {
  const std::vector<Fact> wanted = must_reach(plan);
  const Course whole = course_of(plan, wanted);
  for (const Fact& fact : wanted)
    if (!whole.reached.back().contains(fact))
      report.warning("procedure",
                     fmt::format("the procedure never reaches \"{}\"", fact_text(fact)),
                     "every procedure has a step that gives it");
  for (std::size_t i = 0; i < plan.steps.size(); ++i)
    if (!plan.steps[i].left_out && !is_noticed(plan, wanted, whole, i))
      report.warning(step_key(i),
                     fmt::format("nothing later would notice that \"{}\" was left out",
                                 plan.steps[i].written->name),
                     "give something that a later step needs");
}

}  // namespace tautmark::procedure
