// SPDX-License-Identifier: Apache-2.0
#include "procedure/order.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

namespace tautmark::procedure {
namespace {

struct Search {
  const Plan& plan;
  std::vector<bool> done{};
  std::vector<std::size_t> order{};
  std::vector<State> states{};  // before the first step, after each of `order`
  std::vector<std::vector<Fact>> needs{};

  explicit Search(const Plan& of) : plan(of), done(of.steps.size(), false) {
    states.push_back(state_of_whole(plan));
    for (const Step& step : plan.steps) {
      std::vector<Fact> all = needs_by_rule(plan, step);
      all.insert(all.end(), step.needs.begin(), step.needs.end());
      needs.push_back(std::move(all));
    }
  }

  [[nodiscard]] const State& state() const { return states.back(); }
  [[nodiscard]] bool may(std::size_t i) const {
    return !done[i] && may_do(plan, plan.steps[i], state());
  }

  [[nodiscard]] bool spoils_an_earlier(std::size_t i) const {
    const State then = after(plan, plan.steps[i], state());
    for (std::size_t earlier = 0; earlier < i; ++earlier) {
      if (done[earlier]) continue;
      for (const Fact& need : needs[earlier])
        if (state().holds(need) && !then.holds(need)) return true;
    }
    return false;
  }

  bool take_next() {
    std::optional<std::size_t> any;
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
      if (!may(i)) continue;
      if (!spoils_an_earlier(i)) return take(i);
      if (!any) any = i;
    }
    return any && take(*any);
  }

  bool take(std::size_t i) {
    done[i] = true;
    order.push_back(i);
    states.push_back(after(plan, plan.steps[i], state()));
    return true;
  }

  // The step that ended a fact, the last time that it held.
  [[nodiscard]] std::optional<std::size_t> ended_by(const Fact& fact) const {
    for (std::size_t n = order.size(); n > 0; --n)
      if (states[n - 1].holds(fact) && !states[n].holds(fact)) return order[n - 1];
    return std::nullopt;
  }

  // The steps not reached that would give the fact.
  [[nodiscard]] std::vector<std::size_t> givers(std::size_t but, const Fact& fact) const {
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < plan.steps.size(); ++i)
      if (!done[i] && i != but && provides(plan, plan.steps[i], fact)) found.push_back(i);
    return found;
  }
};

// The loop that one comes back to by following who waits for whom, starting at its first step.
std::vector<std::size_t> loop_from(const std::map<std::size_t, std::size_t>& waits_for,
                                   std::size_t from) {
  std::vector<std::size_t> way;
  std::size_t at = from;
  while (std::find(way.begin(), way.end(), at) == way.end()) {
    way.push_back(at);
    const auto next = waits_for.find(at);
    if (next == waits_for.end()) return {};
    at = next->second;
  }
  way.erase(way.begin(), std::find(way.begin(), way.end(), at));
  return way;
}

OrderFault fault_of(const Search& search, std::size_t step) {
  const std::vector<Blocked> why = blocked(search.plan, search.plan.steps[step], search.state());
  std::optional<OrderFault> waits;
  for (const Blocked& one : why) {
    const std::vector<std::size_t> givers = search.givers(step, one.missing);
    if (!givers.empty()) {
      if (!waits) waits = OrderFault{OrderTrouble::waits, step, one.missing, {givers.front()}};
    } else if (const auto ender = search.ended_by(one.missing)) {
      return {OrderTrouble::ended, step, one.missing, {*ender}};
    } else {
      return {OrderTrouble::nobody_gives, step, one.missing, {}};
    }
  }
  return *waits;
}

std::vector<OrderFault> faults_of(const Search& search) {
  std::vector<OrderFault> faults;
  std::map<std::size_t, std::size_t> waits_for;
  for (std::size_t i = 0; i < search.plan.steps.size(); ++i) {
    if (search.done[i]) continue;
    faults.push_back(fault_of(search, i));
    if (faults.back().trouble == OrderTrouble::waits) waits_for[i] = faults.back().others.front();
  }
  for (OrderFault& fault : faults) {
    if (fault.trouble != OrderTrouble::waits) continue;
    const std::vector<std::size_t> loop = loop_from(waits_for, fault.step);
    if (loop.empty() || std::find(loop.begin(), loop.end(), fault.step) == loop.end()) continue;
    fault.trouble = OrderTrouble::circle;
    fault.others = loop;
    std::rotate(fault.others.begin(),
                std::find(fault.others.begin(), fault.others.end(), fault.step),
                fault.others.end());
  }
  return faults;
}

}  // namespace

bool provides(const Plan& plan, const Step& step, const Fact& fact) {
  if (step.written->turns == StepTurns::two_turns && fact.own.empty() && fact.item == Item::turned)
    return true;
  return after(plan, step, {}).holds(fact);
}

Order order_of(const Plan& plan) {
  Search search(plan);
  while (search.take_next()) {
  }
  return {search.order, faults_of(search)};
}

std::string fault_text(const Plan& plan, const OrderFault& fault) {
  const auto name = [&](std::size_t i) { return plan.steps[i].written->name; };
  const std::string missing = fact_text(fault.missing);
  switch (fault.trouble) {
    case OrderTrouble::nobody_gives:
      return fmt::format("\"{}\" is never reached: no step gives \"{}\"", name(fault.step),
                         missing);
    case OrderTrouble::ended:
      return fmt::format(
          "\"{}\" is never reached: it needs \"{}\", which \"{}\" ended and no step gives again",
          name(fault.step), missing, name(fault.others.front()));
    case OrderTrouble::waits:
      return fmt::format("\"{}\" is never reached: it waits for \"{}\" of \"{}\"", name(fault.step),
                         missing, name(fault.others.front()));
    case OrderTrouble::circle:
      break;
  }
  std::string loop;
  for (const std::size_t i : fault.others) loop += fmt::format("\"{}\" → ", name(i));
  return fmt::format("steps wait for each other in a circle: {}\"{}\"", loop, name(fault.step));
}

}  // namespace tautmark::procedure
