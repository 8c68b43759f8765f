// SPDX-License-Identifier: Apache-2.0
#include "procedure/decided.h"

#include <algorithm>

#include "base/text.h"

namespace tautmark::procedure {
namespace {

Decided of_bank(int bank, const std::string& part, const std::vector<const PartEntry*>& parts) {
  Decided answer = Decided::open;
  for (const PartEntry* entry : parts) {
    if (singular(entry->part) != part || entry->bank.value_or(bank) != bank) continue;
    switch (entry->action) {
      case PartAction::rejected:
      case PartAction::ordered:
      case PartAction::fitted:
        answer = Decided::needed;
        break;
      case PartAction::reused:
        answer = Decided::left_out;
        break;
      case PartAction::old_one_kept:
      case PartAction::in_the_box:
        break;
    }
  }
  return answer;
}

bool gives(const Step& step, const Fact& fact) {
  return std::find(step.gives.begin(), step.gives.end(), fact) != step.gives.end();
}

}  // namespace

std::string part_of(const ProcedureStep& step) { return singular(step.if_decided.value_or("")); }

Decided decided(const Plan& plan, const ProcedureStep& step,
                const std::vector<const PartEntry*>& parts) {
  const std::string part = part_of(step);
  if (part.empty()) return Decided::needed;
  bool is_open = false;
  for (const int bank : plan.banks) {
    if (step.bank && *step.bank != bank) continue;
    const Decided answer = of_bank(bank, part, parts);
    if (answer == Decided::needed) return answer;
    is_open = is_open || answer == Decided::open;
  }
  return is_open ? Decided::open : Decided::left_out;
}

Plan without(Plan plan, const std::function<bool(const ProcedureStep&)>& is_out) {
  std::vector<Fact> lost;
  for (Step& step : plan.steps) {
    if (!is_out(*step.written)) continue;
    for (const Fact& give : step.gives)
      if (!give.own.empty()) lost.push_back(give);
    step = {.written = step.written, .left_out = true};
  }
  std::erase_if(lost, [&](const Fact& fact) {
    return std::any_of(plan.steps.begin(), plan.steps.end(),
                       [&](const Step& step) { return gives(step, fact); });
  });
  for (Step& step : plan.steps)
    std::erase_if(step.needs, [&](const Fact& need) {
      return std::find(lost.begin(), lost.end(), need) != lost.end();
    });
  return plan;
}

std::vector<Way> ways_of(const Plan& plan) {
  std::vector<std::string> parts;
  for (const Step& step : plan.steps) {
    const std::string part = part_of(*step.written);
    if (!part.empty() && std::find(parts.begin(), parts.end(), part) == parts.end())
      parts.push_back(part);
  }
  std::vector<Way> ways = {{plan, {}}};
  const auto add = [&](std::vector<std::string> out) {
    ways.push_back({without(plan,
                            [&](const ProcedureStep& step) {
                              return std::find(out.begin(), out.end(), part_of(step)) != out.end();
                            }),
                    out});
  };
  if (parts.size() > kMostParts) {
    for (const std::string& part : parts) add({part});
    add(parts);
    return ways;
  }
  for (unsigned choice = 1; choice < 1U << parts.size(); ++choice) {
    std::vector<std::string> out;
    for (std::size_t i = 0; i < parts.size(); ++i)
      if ((choice >> i & 1U) != 0) out.push_back(parts[i]);
    add(out);
  }
  return ways;
}

}  // namespace tautmark::procedure
