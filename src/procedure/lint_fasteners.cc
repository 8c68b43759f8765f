// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "base/text.h"
#include "drive/places.h"
#include "procedure/lint.h"
#include "procedure/lint_parts.h"
#include "procedure/shown.h"

namespace tautmark::procedure {
namespace {

// The same figure in another unit, rounded as it is printed there, is still the same.
constexpr double kSameFigure = 0.01;

bool is_same(double a, double b) { return std::abs(a - b) <= kSameFigure * std::abs(b); }

bool is_same(const TighteningStep& a, const TighteningStep& b) {
  if (a.torque.has_value() != b.torque.has_value() || a.angle.has_value() != b.angle.has_value())
    return false;
  return (!a.torque || is_same(a.torque->value.si(), b.torque->value.si())) &&
         (!a.angle || is_same(a.angle->value.si(), b.angle->value.si()));
}

std::string figures(const TighteningStep& step) {
  std::vector<std::string> parts;
  if (step.torque) parts.push_back(step.torque->text);
  if (step.angle) parts.push_back(step.angle->text);
  return parts.empty() ? "nothing" : joined(parts, ", ");
}

struct Figures {
  bool are_part = false;  // of the fastener's own, in a row
  bool are_final = false;
  std::size_t differs_at = 0;
};

// Written figures may be the whole tightening or a stretch of it ("to 30 N·m, later 90°").
Figures compared(const std::vector<TighteningStep>& written,
                 const std::vector<TighteningStep>& own) {
  Figures best;
  for (std::size_t from = 0; from < own.size(); ++from) {
    std::size_t same = 0;
    while (same < written.size() && from + same < own.size() &&
           is_same(written[same], own[from + same]))
      ++same;
    if (same == written.size()) {
      best.are_part = true;
      best.are_final = best.are_final || from + same == own.size();
    } else if (from == 0) {
      best.differs_at = same;
    }
  }
  return best;
}

struct FastenerLint {
  LintReport& report;
  const Drive& drive = report.drive();
  // Fastener and bank (0: every one) -> the step that tightened it to the end.
  std::map<std::pair<std::size_t, int>, std::size_t> finals{};
  std::set<std::pair<std::size_t, int>> fitted{};  // new ones since they were last tightened

  void run() {
    for (std::size_t i = 0; i < drive.procedure.size(); ++i) look_at(i);
    for (std::size_t f = 0; f < drive.fasteners.size(); ++f) never_tightened(f);
  }

  [[nodiscard]] std::optional<std::size_t> index_of(std::string_view name,
                                                    std::optional<int> bank) const {
    const Fastener* fastener = fastener_named(drive, name, bank);
    if (fastener == nullptr) return std::nullopt;
    return static_cast<std::size_t>(fastener - drive.fasteners.data());
  }

  void look_at(std::size_t i) {
    const ProcedureStep& step = drive.procedure[i];
    for (const std::string& name : step.fits)
      if (const auto f = index_of(name, step.bank)) {
        fitted.emplace(*f, step.bank.value_or(0));
        finals.erase({*f, step.bank.value_or(0)});
      }
    for (std::size_t t = 0; t < step.tightens.size(); ++t) tightened(i, t);
  }

  void tightened(std::size_t i, std::size_t t) {
    const ProcedureStep& step = drive.procedure[i];
    const Tightens& tightens = step.tightens[t];
    const std::string key = step_key(i, fmt::format("tightens[{}]", t));
    const auto f = index_of(tightens.fastener, step.bank);
    if (!f) {
      std::vector<std::string> known;
      for (const Fastener& one : drive.fasteners) known.push_back(one.name);
      const auto near = nearest(tightens.fastener, known);
      report.error(key + ".fastener",
                   fmt::format("no fastener \"{}\" in this drive", tightens.fastener),
                   near ? fmt::format("did you mean \"{}\"?", *near) : "list it under fasteners");
      return;
    }
    if (same_figures(key, tightens, *f)) is_final(i, key, *f);
  }

  // Whether they are its last ones too.
  bool same_figures(const std::string& key, const Tightens& tightens, std::size_t f) {
    const Fastener& fastener = drive.fasteners[f];
    if (tightens.steps.empty()) {
      if (!fastener.steps.empty())
        report.warning(key, fmt::format("the figures of {} are not written here", fastener.name),
                       "write them again: a unit mixed up in one place then stands out");
      return true;
    }
    const Figures found = compared(tightens.steps, fastener.steps);
    if (found.are_part) return found.are_final;
    const std::size_t at = std::min(found.differs_at, tightens.steps.size() - 1);
    const std::string own = found.differs_at < fastener.steps.size()
                                ? figures(fastener.steps[found.differs_at])
                                : "nothing";
    report.error(fmt::format("{}.steps[{}]", key, at),
                 fmt::format("{} is tightened here to {}, its own figures say {}", fastener.name,
                             figures(tightens.steps[at]), own),
                 "which one is the maker's?", fmt::format("fasteners[{}]", f), "its own figures");
    return true;
  }

  void is_final(std::size_t i, const std::string& key, std::size_t f) {
    const int bank = drive.procedure[i].bank.value_or(0);
    for (const auto& [of, before] : finals) {
      if (of.first != f || (of.second != bank && of.second != 0 && bank != 0)) continue;
      report.warning(key, fmt::format("{} is tightened to the end twice: before in \"{}\"",
                                      drive.fasteners[f].name, drive.procedure[before].name));
    }
    const bool is_new = fitted.contains({f, bank}) || fitted.contains({f, 0});
    if (drive.fasteners[f].single_use.value_or(false) && !is_new)
      report.warning(key, fmt::format("{} is used once, and no step before fits a new one",
                                      drive.fasteners[f].name));
    finals[{f, bank}] = i;
    fitted.erase({f, bank});
  }

  void never_tightened(std::size_t f) {
    std::set<int> banks;
    for (const auto& [of, step] : finals)
      if (of.first == f) banks.insert(of.second);
    const Fastener& fastener = drive.fasteners[f];
    const std::string key = fmt::format("fasteners[{}]", f);
    if (banks.empty()) {
      report.warning(key, fmt::format("no step tightens {} to the end", fastener.name));
      return;
    }
    if (banks.contains(0) || fastener.bank) return;
    for (const Bank& bank : drive.banks)
      if (!banks.contains(bank.number))
        report.warning(key, fmt::format("no step tightens {} of bank {} to the end", fastener.name,
                                        bank.number));
  }
};

struct Fitted {
  std::string name;
  std::optional<int> bank;
};

bool is_meant(const Fitted& fitted, const std::string& name, std::optional<int> bank) {
  return folded(fitted.name) == folded(name) && (!bank || !fitted.bank || *bank == *fitted.bank);
}

}  // namespace

bool figures_agree(const std::vector<TighteningStep>& written,
                   const std::vector<TighteningStep>& own) {
  return written.empty() || compared(written, own).are_part;
}

void lint_fasteners(LintReport& report) { FastenerLint{report}.run(); }

void lint_parts(LintReport& report) {
  const Drive& drive = report.drive();
  std::vector<std::string> known;
  for (const Fastener& fastener : drive.fasteners) known.push_back(fastener.name);
  for (const PartSet& part : drive.parts) {
    known.push_back(part.name);
    known.insert(known.end(), part.holds.begin(), part.holds.end());
    known.insert(known.end(), part.does_not_hold.begin(), part.does_not_hold.end());
  }
  std::vector<Fitted> fitted;
  const auto is_part = [&](const std::string& name) {
    return std::any_of(known.begin(), known.end(),
                       [&](const std::string& one) { return singular(one) == singular(name); });
  };
  for (std::size_t i = 0; i < drive.procedure.size(); ++i) {
    const ProcedureStep& step = drive.procedure[i];
    if (step.if_decided && !is_part(*step.if_decided)) {
      const auto near = nearest(*step.if_decided, known);
      report.warning(
          step_key(i, "if_decided"),
          fmt::format("no part \"{}\" in this drive: nobody's decision is heard", *step.if_decided),
          near ? fmt::format("did you mean \"{}\"?", *near) : "list it under parts");
    }
    for (std::size_t n = 0; n < step.fits.size(); ++n) {
      fitted.push_back({step.fits[n], step.bank});
      const auto is = [&](const std::string& one) { return folded(one) == folded(step.fits[n]); };
      if (std::any_of(known.begin(), known.end(), is)) continue;
      const auto near = nearest(step.fits[n], known);
      report.warning(fmt::format("procedure[{}].fits[{}]", i, n),
                     fmt::format("no part \"{}\" in this drive", step.fits[n]),
                     near ? fmt::format("did you mean \"{}\"?", *near) : "list it under parts");
    }
  }
  const auto is_fitted = [&](const std::string& name, std::optional<int> bank) {
    return std::any_of(fitted.begin(), fitted.end(),
                       [&](const Fitted& one) { return is_meant(one, name, bank); });
  };
  for (std::size_t p = 0; p < drive.parts.size(); ++p) {
    const PartSet& part = drive.parts[p];
    if (is_fitted(part.name, part.bank)) continue;
    std::vector<std::string> left;
    for (const std::string& held : part.holds)
      if (!is_fitted(held, part.bank)) left.push_back(held);
    // What goes in again or goes with another is changed by decision, not by the procedure.
    if (part.holds.empty() && part.single_use != false && part.goes_with.empty())
      left.push_back(part.name);
    if (!left.empty())
      report.warning(fmt::format("parts[{}]", p),
                     fmt::format("no step fits: {}", joined(left, ", ")));
  }
  for (std::size_t f = 0; f < drive.fasteners.size(); ++f)
    if (drive.fasteners[f].single_use.value_or(false) &&
        !is_fitted(drive.fasteners[f].name, drive.fasteners[f].bank))
      report.warning(
          fmt::format("fasteners[{}]", f),
          fmt::format("{} is used once, and no step fits a new one", drive.fasteners[f].name));
}

}  // namespace tautmark::procedure
