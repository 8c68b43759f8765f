// SPDX-License-Identifier: Apache-2.0
// Fasteners put in again, and fasteners used once whose tightening was done while no entry says
// that a new one was fitted. Single use not said counts as single use. Nothing here passes: looks
// prove nothing of a bolt, and where it may be used again the maker's lengths decide: as many bolts
// are to be measured inside them as are put in again.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.h"
#include "judge/case_traces.h"
#include "judge/checks/checks.h"
#include "judge/tightening.h"
#include "judge/verdict.h"
#include "parts/names.h"
#include "tighten/reuse.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "fastener-reuse";
constexpr int kAll = 1'000'000;  // of a part entered as fitted without a number

using parts::banks_meet;

bool is_of(const PartEntry& part, const Fastener& fastener) {
  return singular(part.part) == singular(fastener.name) && banks_meet(part.bank, fastener.bank);
}

// By its own name, or in a set that holds it.
bool fits_new(const Drive& drive, const PartEntry& part, const Fastener& fastener) {
  if (part.action != PartAction::fitted) return false;
  if (is_of(part, fastener)) return true;
  for (const PartSet& set : drive.parts) {
    if (folded(set.name) != folded(part.part) || !banks_meet(set.bank, fastener.bank) ||
        !banks_meet(part.bank, fastener.bank))
      continue;
    for (const std::string& held : set.holds)
      if (folded(held).find(singular(fastener.name)) != std::string::npos) return true;
  }
  return false;
}

std::string subject_of(const Fastener& fastener, std::optional<int> bank) {
  return bank ? fmt::format("{}, bank {}", fastener.name, *bank) : fastener.name;
}

class Reuse {
 public:
  explicit Reuse(const CheckInput& input)
      : input_(input),
        drive_(input.drive->drive),
        parts_(all_of_kind<PartEntry>(entries_in_order_of_work(*input.value))),
        steps_(all_of_kind<StepDone>(entries_in_order_of_work(*input.value))) {}

  std::vector<Finding> all() {
    for (const Fastener& fastener : drive_.fasteners) {
      if (!put_in_again(fastener)) tightened_without_new(fastener);
    }
    return std::move(findings_);
  }

 private:
  // A new one that was fitted later takes its place.
  [[nodiscard]] bool is_replaced(std::size_t reused, const Fastener& fastener) const {
    const PartEntry& old = *parts_[reused].body;
    const int all = old.bank && !fastener.bank ? 1 : fastener.count.value_or(1);
    for (std::size_t i = reused + 1; i < parts_.size(); ++i) {
      const PartEntry& part = *parts_[i].body;
      if (fits_new(drive_, part, fastener) && banks_meet(part.bank, old.bank) &&
          part.count.value_or(kAll) >= old.count.value_or(all))
        return true;
    }
    return false;
  }

  void judge(const Fastener& fastener, const EntryOf<PartEntry>& reused) {
    const tighten::ReuseAnswer answer = worst_of_the_best(fastener, wanted(fastener, *reused.body));
    if (answer.answer == tighten::Reuse::may_go_in_again) return;
    const std::string subject = subject_of(fastener, reused.body->bank);
    Finding finding =
        open_finding(std::string(kCheck), subject, OpenBecause::not_in_drive,
                     fmt::format("put in again; {}", answer.why),
                     {"ask the maker's data whether it is used once; until then fit a new one"});
    if (fastener.single_use && answer.answer == tighten::Reuse::replace) {
      finding.verdict = Verdict::fail;
      finding.open_because.reset();
      finding.next.clear();
      finding.follows = {"take it out, fit a new one, tighten from the first step on"};
    } else if (fastener.single_use == false) {
      finding.open_because = OpenBecause::not_measured;
      finding.next = {"measure it against the maker's length and diameter"};
    }
    finding.cautions = {"looks prove nothing: a stretched bolt is nearer to fracture"};
    finding.evidence = {reused.entry->id};
    findings_.push_back(std::move(finding));
  }

  // How many are put in again.
  static std::size_t wanted(const Fastener& fastener, const PartEntry& reused) {
    const int all = reused.bank && !fastener.bank ? 1 : fastener.count.value_or(1);
    return static_cast<std::size_t>(std::max(reused.count.value_or(all), 1));
  }

  // Of so many bolts, the best of those that can be measured, the worst.
  [[nodiscard]] tighten::ReuseAnswer worst_of_the_best(const Fastener& fastener,
                                                       std::size_t count) const {
    const auto limit = [](const std::optional<Written<Length>>& written) {
      return written ? std::optional(written->value) : std::nullopt;
    };
    tighten::UsedBolt bolt{.single_use = fastener.single_use,
                           .to_yield = is_drawn_past_yield(fastener),
                           .longest = limit(fastener.longest),
                           .thinnest = limit(fastener.thinnest)};
    const tighten::ReuseAnswer not_measured = tighten::reuse(bolt);
    std::vector<tighten::ReuseAnswer> answers;
    for (const EnginePlace& place : input_.places) {
      if (place.fastener != &fastener) continue;
      bolt.length = measured(Measurand::bolt_length, place);
      bolt.diameter = measured(Measurand::bolt_diameter, place);
      answers.push_back(tighten::reuse(bolt));
    }
    if (answers.size() < count) return not_measured;
    std::sort(answers.begin(), answers.end(),
              [](const auto& a, const auto& b) { return rank(a.answer) < rank(b.answer); });
    return answers[count - 1];
  }

  static int rank(tighten::Reuse answer) {
    return answer == tighten::Reuse::may_go_in_again ? 0
           : answer == tighten::Reuse::not_decided   ? 1
                                                     : 2;
  }

  [[nodiscard]] std::optional<tighten::Measured> measured(Measurand quantity,
                                                          const EnginePlace& place) const {
    const auto dimension = dimension_at(input_, quantity, place);
    if (!dimension || !dimension->impossible.empty() || dimension->between) return std::nullopt;
    const FindingValue value =
        shown_value({dimension->mean, dimension->budget.u, dimension->budget.nu}, *dimension->unit);
    return tighten::Measured{Length::from_si(value.value), Length::from_si(value.U)};
  }

  bool put_in_again(const Fastener& fastener) {
    bool was = false;
    for (std::size_t i = 0; i < parts_.size(); ++i) {
      const PartEntry& part = *parts_[i].body;
      if (part.action != PartAction::reused || !is_of(part, fastener) || is_replaced(i, fastener))
        continue;
      was = true;
      judge(fastener, parts_[i]);
    }
    return was;
  }

  // Those fitted without a bank go to the banks in turn. A second step on the same bolts wants no
  // second set of them.
  void tightened_without_new(const Fastener& fastener) {
    if (!fastener.single_use.value_or(true)) return;
    int of_any_bank = fitted(fastener, std::nullopt);
    std::map<std::optional<int>, int> had;
    for (const EntryOf<StepDone>& done : steps_) {
      const ProcedureStep* step = tightening(done.body->step, fastener);
      if (step == nullptr) continue;
      const auto [own, is_new] = had.try_emplace(step->bank, 0);
      if (is_new && step->bank) own->second = fitted(fastener, step->bank);
      // Of those counted for the whole engine a step of one bank has at least one.
      const bool all_here = !step->bank || fastener.bank || drive_.banks.size() < 2;
      const int here = all_here ? fastener.count.value_or(1) : 1;
      const int lacking = std::max(done.body->fasteners.value_or(here) - own->second, 0);
      const int taken = std::min(lacking, of_any_bank);
      of_any_bank -= taken;
      own->second += taken;
      if (taken == lacking) continue;
      Finding finding = open_finding(
          std::string(kCheck), subject_of(fastener, step->bank), OpenBecause::not_measured,
          fmt::format("tightened in \"{}\", and no entry says that a new one was fitted; it is {}",
                      step->name,
                      fastener.single_use ? "used once" : "treated as used once: not said"),
          {"enter the new one as fitted, or take the old one out"});
      finding.evidence = {done.entry->id};
      findings_.push_back(std::move(finding));
    }
  }

  [[nodiscard]] const ProcedureStep* tightening(std::string_view name,
                                                const Fastener& fastener) const {
    for (const ProcedureStep& step : drive_.procedure) {
      if (folded(step.name) != folded(name) || !banks_meet(step.bank, fastener.bank)) continue;
      for (const Tightens& tightens : step.tightens)
        if (folded(tightens.fastener) == folded(fastener.name)) return &step;
    }
    return nullptr;
  }

  // New ones entered for exactly that bank, or for none.
  [[nodiscard]] int fitted(const Fastener& fastener, std::optional<int> bank) const {
    int count = 0;
    for (const EntryOf<PartEntry>& part : parts_)
      if (part.body->bank == bank && fits_new(drive_, *part.body, fastener))
        count = std::min(
            count + (is_of(*part.body, fastener) ? part.body->count.value_or(kAll) : kAll), kAll);
    return count;
  }

  const CheckInput& input_;
  const Drive& drive_;
  std::vector<EntryOf<PartEntry>> parts_;
  std::vector<EntryOf<StepDone>> steps_;
  std::vector<Finding> findings_;
};

}  // namespace

std::vector<Finding> fastener_reuse(const CheckInput& input) {
  if (input.drive == nullptr) return {};
  return Reuse(input).all();
}

}  // namespace tautmark::checks
