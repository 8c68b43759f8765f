// SPDX-License-Identifier: Apache-2.0
#include "drive/lint.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "base/text.h"
#include "drive/drive_fields.h"
#include "drive/lint_fits.h"
#include "drive/lint_names.h"
#include "drive/lint_oil.h"
#include "drive/lint_report.h"
#include "drive/lint_sizes.h"
#include "drive/lint_wheels.h"
#include "drive/places.h"

namespace tautmark {
namespace {

void check_identity(LintReport& report) {
  const Drive& drive = report.drive();
  const std::set<std::string_view> known(std::begin(topic::kAll), std::end(topic::kAll));
  const std::vector<std::string> names(known.begin(), known.end());
  for (std::size_t i = 0; i < drive.confirms.size(); ++i) {
    if (known.contains(folded(drive.confirms[i]))) continue;
    const auto near = nearest(folded(drive.confirms[i]), names);
    report.error(fmt::format("confirms[{}]", i),
                 fmt::format("\"{}\" is nothing that a variant confirms", drive.confirms[i]),
                 near ? fmt::format("did you mean \"{}\"?", *near)
                      : fmt::format("known: {}", joined(names, ", ")));
  }
  if (!drive.confirms.empty() && !drive.based_on)
    report.error("confirms", "only a drive that is based on another confirms something");
  const auto has_origin = [&](const std::optional<SourceRef>& source) {
    const std::optional<SourceRef>& use = source ? source : drive.source;
    return use && use->origin.has_value();
  };
  const bool some_without = std::any_of(drive.fits.begin(), drive.fits.end(),
                                        [&](const Fit& fit) { return !has_origin(fit.source); });
  if (some_without)
    report.warning(
        "source",
        "nobody says where some of these limits come from: no reading can pass against them",
        "source: {origin: maker, document: ..., page: ...}");
  if (!drive.checked_by)
    report.warning(
        "",
        "not checked: nobody has compared this definition with its source; every finding "
        "says so",
        "checked_by: name, date");
}

void check_inheritance(LintReport& report) {
  for (const auto& [name, path] : report.loaded().unconfirmed)
    report.warning(
        path,
        fmt::format("{} taken over from the base without being restated or confirmed: "
                    "findings that rest on it stay open",
                    name),
        fmt::format("restate it, or add \"{}\" to confirms after looking at the engine", name));
}

void check_cylinders(LintReport& report) {
  const Drive& drive = report.drive();
  if (!drive.cylinders) return;
  const Cylinders& cylinders = *drive.cylinders;
  if (cylinders.rod && cylinders.stroke && !(cylinders.rod->value > cylinders.stroke->value / 2))
    report.error("cylinders.rod", "the connecting rod is not longer than half the stroke", {},
                 "cylinders.stroke", "the stroke is here");
  if (!cylinders.firing_order.empty()) {
    std::vector<int> order = cylinders.firing_order;
    std::sort(order.begin(), order.end());
    const int count = cylinders.count.value_or(static_cast<int>(order.size()));
    bool right = static_cast<int>(order.size()) == count;
    for (std::size_t i = 0; right && i < order.size(); ++i)
      right = order[i] == static_cast<int>(i) + 1;
    if (!right)
      report.error(
          "cylinders.firing_order",
          fmt::format("the firing order does not name each cylinder from 1 to {} once", count), {},
          "cylinders.count", "the number of cylinders is here");
  }
}

void check_banks(LintReport& report) {
  const Drive& drive = report.drive();
  std::map<int, std::size_t> numbers;
  std::map<int, std::string> cylinder_of;
  for (std::size_t i = 0; i < drive.banks.size(); ++i) {
    const Bank& bank = drive.banks[i];
    const std::string path = fmt::format("banks[{}]", i);
    const auto [first, is_new] = numbers.emplace(bank.number, i);
    if (!is_new)
      report.error(path + ".number", fmt::format("bank {} stands here a second time", bank.number),
                   {}, fmt::format("banks[{}].number", first->second), "the first one is here");
    if (bank.side && !bank.seen_from)
      report.error(path + ".side", fmt::format("{} of which viewing end?", choice_name(*bank.side)),
                   "seen_from: front, or seen_from: flywheel end");
    for (const int cylinder : bank.cylinders) {
      const auto [where, fresh] = cylinder_of.emplace(cylinder, path + ".cylinders");
      if (!fresh)
        report.error(path + ".cylinders", fmt::format("cylinder {} stands in two banks", cylinder),
                     {}, where->second, "the other one is here");
      if (cylinder < 1 ||
          (drive.cylinders && drive.cylinders->count && cylinder > *drive.cylinders->count))
        report.error(path + ".cylinders",
                     fmt::format("cylinder {} does not exist in this engine", cylinder), {},
                     "cylinders.count", "the number of cylinders is here");
      if (cylinder == 1 && bank.number != 1)
        report.error(path + ".number", "bank 1 is the bank that holds cylinder 1");
    }
    std::set<std::string> names;
    for (std::size_t c = 0; c < bank.camshafts.size(); ++c)
      if (!names.insert(folded(bank.camshafts[c].name)).second)
        report.error(
            fmt::format("{}.camshafts[{}].name", path, c),
            fmt::format("\"{}\" stands twice in bank {}", bank.camshafts[c].name, bank.number));
  }
  const bool every_bank_told =
      std::none_of(drive.banks.begin(), drive.banks.end(),
                   [](const Bank& bank) { return bank.cylinders.empty(); });
  if (drive.cylinders && drive.cylinders->count && !drive.banks.empty() && every_bank_told)
    for (int cylinder = 1; cylinder <= *drive.cylinders->count; ++cylinder)
      if (!cylinder_of.contains(cylinder))
        report.error("banks", fmt::format("cylinder {} stands in no bank", cylinder), {},
                     "cylinders.count", "the number of cylinders is here");
  if (drive.cylinders && drive.cylinders->layout == Layout::in_line && drive.banks.size() > 1)
    report.error("banks[1]", "an in-line engine has one bank", {}, "cylinders.layout",
                 "the layout is here");
  const auto unknown_bank = [&](std::optional<int> bank, const std::string& path) {
    if (bank && !drive.banks.empty() && !numbers.contains(*bank))
      report.error(path, fmt::format("bank {} is not in this drive", *bank), {}, "banks",
                   "the banks are listed here");
  };
  for (std::size_t i = 0; i < drive.chains.size(); ++i)
    unknown_bank(drive.chains[i].bank, fmt::format("chains[{}].bank", i));
  for (std::size_t i = 0; i < drive.parts.size(); ++i)
    unknown_bank(drive.parts[i].bank, fmt::format("parts[{}].bank", i));
  if (drive.oil)
    for (std::size_t i = 0; i < drive.oil->ports.size(); ++i)
      unknown_bank(drive.oil->ports[i].bank, fmt::format("oil.ports[{}].bank", i));
  if (drive.crankshaft && drive.crankshaft->rotation && !drive.crankshaft->seen_from)
    report.error("crankshaft.rotation",
                 fmt::format("{} seen from which end?", choice_name(*drive.crankshaft->rotation)),
                 "seen_from: front, or seen_from: flywheel end");
}

void check_strands(LintReport& report, const Chain& chain, const std::string& path) {
  if (chain.strands.empty()) return;
  const auto sum_as = [&](LinkCounting counted) {
    long long sum = 0;
    for (const Strand& strand : chain.strands) sum += as_pitches(strand.links, counted);
    return sum;
  };
  const LinkCounting counted = chain.counted.value_or(LinkCounting::pitches);
  if (!chain.counted)
    report.warning(path + ".strands",
                   "not said what was counted between the marks; taken as pitches from "
                   "marked tooth to marked tooth",
                   "counted: pitches");
  const long long sum = sum_as(counted);
  if (!chain.links || sum == *chain.links) return;
  std::string hint;
  for (const LinkCounting other :
       {LinkCounting::pitches, LinkCounting::both_marks, LinkCounting::between})
    if (other != counted && sum_as(other) == *chain.links)
      hint = fmt::format("the sum is right if \"{}\" was counted", choice_name(other));
  report.error(path + ".strands",
               fmt::format("the strands add up to {} links, the chain has {}", sum, *chain.links),
               hint, path + ".links", "the chain's links are here");
}

void check_chains(LintReport& report) {
  const Drive& drive = report.drive();
  std::map<std::string, std::size_t> names;
  for (std::size_t i = 0; i < drive.chains.size(); ++i) {
    const Chain& chain = drive.chains[i];
    const std::string path = fmt::format("chains[{}]", i);
    const auto [first, is_new] = names.emplace(folded(chain.name), i);
    if (!is_new)
      report.error(path + ".name",
                   fmt::format("a chain named \"{}\" stands here a second time", chain.name), {},
                   fmt::format("chains[{}].name", first->second), "the first one is here");
    check_strands(report, chain, path);
    if (chain.tensioner && chain.tensioner->stroke && chain.tensioner->ratchet_step &&
        chain.tensioner->ratchet_step->value > chain.tensioner->stroke->value)
      report.error(path + ".tensioner.ratchet_step", "one ratchet tooth is longer than the stroke",
                   {}, path + ".tensioner.stroke", "the stroke is here");
  }
  const auto unknown_chain = [&](const std::string& name, const std::string& path) {
    if (names.contains(folded(name))) return;
    std::vector<std::string> known;
    for (const Chain& chain : drive.chains) known.push_back(chain.name);
    const auto near = nearest(name, known);
    report.error(path, fmt::format("no chain named \"{}\" in this drive", name),
                 near ? fmt::format("did you mean \"{}\"?", *near) : std::string());
  };
  if (drive.crankshaft)
    for (std::size_t i = 0; i < drive.crankshaft->sprockets.size(); ++i)
      if (drive.crankshaft->sprockets[i].chain)
        unknown_chain(*drive.crankshaft->sprockets[i].chain,
                      fmt::format("crankshaft.sprockets[{}].chain", i));
  for (std::size_t b = 0; b < drive.banks.size(); ++b)
    for (std::size_t c = 0; c < drive.banks[b].camshafts.size(); ++c)
      if (drive.banks[b].camshafts[c].chain)
        unknown_chain(*drive.banks[b].camshafts[c].chain,
                      fmt::format("banks[{}].camshafts[{}].chain", b, c));
  for (std::size_t i = 0; i < drive.idlers.size(); ++i) {
    unknown_chain(drive.idlers[i].driven_by, fmt::format("idlers[{}].driven_by", i));
    unknown_chain(drive.idlers[i].drives, fmt::format("idlers[{}].drives", i));
  }
}

// Crank turns per turn of the sprocket that this chain is driven by, as a fraction; idlers
// multiply.
struct Fraction {
  long long over = 1, under = 1;
};
std::optional<Fraction> chain_speed(const Drive& drive, const Chain& chain, std::string& through,
                                    int depth = 0) {
  // Teeth of this chain that pass per crank turn = over / under.
  if (const CrankSprocket* sprocket = crank_sprocket_of(drive, chain)) {
    const bool named = sprocket->chain.has_value();
    const bool driven_by_idler =
        std::any_of(drive.idlers.begin(), drive.idlers.end(),
                    [&](const Idler& idler) { return folded(idler.drives) == folded(chain.name); });
    if (named || !driven_by_idler) return Fraction{sprocket->teeth, 1};
  }
  if (depth > 8) return std::nullopt;
  for (const Idler& idler : drive.idlers) {
    if (folded(idler.drives) != folded(chain.name)) continue;
    for (const Chain& before : drive.chains) {
      if (folded(before.name) != folded(idler.driven_by)) continue;
      const auto speed = chain_speed(drive, before, through, depth + 1);
      if (!speed) return std::nullopt;
      through += fmt::format(" through {} {}:{}", idler.name, idler.teeth_in, idler.teeth_out);
      return Fraction{speed->over * idler.teeth_out, speed->under * idler.teeth_in};
    }
  }
  return std::nullopt;
}

void check_ratios(LintReport& report) {
  const Drive& drive = report.drive();
  for (std::size_t b = 0; b < drive.banks.size(); ++b) {
    for (std::size_t c = 0; c < drive.banks[b].camshafts.size(); ++c) {
      const Camshaft& camshaft = drive.banks[b].camshafts[c];
      const Chain* chain = chain_of(drive, drive.banks[b], camshaft);
      if (chain == nullptr || !camshaft.sprocket_teeth) continue;
      std::string through;
      const auto speed = chain_speed(drive, *chain, through);
      if (!speed) continue;
      if (2 * speed->over == static_cast<long long>(*camshaft.sprocket_teeth) * speed->under)
        continue;
      const double teeth =
          2.0 * static_cast<double>(speed->over) / static_cast<double>(speed->under);
      report.error(
          fmt::format("banks[{}].camshafts[{}].sprocket_teeth", b, c),
          fmt::format("{} teeth: a camshaft turns at half crank speed, so its sprocket needs {:g} "
                      "teeth{}",
                      *camshaft.sprocket_teeth, teeth, through),
          "if there is an intermediate shaft, describe it in idlers", "crankshaft.sprockets",
          "the crank sprocket is here");
    }
  }
}

void check_fasteners(LintReport& report) {
  const Drive& drive = report.drive();
  for (std::size_t i = 0; i < drive.fasteners.size(); ++i) {
    const Fastener& fastener = drive.fasteners[i];
    for (std::size_t s = 0; s < fastener.steps.size(); ++s)
      if (!fastener.steps[s].torque && !fastener.steps[s].angle)
        report.error(fmt::format("fasteners[{}].steps[{}]", i, s),
                     "a tightening step needs a torque, an angle, or both");
    if (!fastener.single_use)
      report.warning(fmt::format("fasteners[{}]", i),
                     fmt::format("{}: not said whether it is used once only; treated as used once",
                                 fastener.name),
                     "single_use: yes, or single_use: no");
  }
}

}  // namespace

Diagnostics lint(const LoadedDrive& loaded) {
  LintReport report(loaded);
  check_identity(report);
  check_names(report);
  check_wheels(report);
  check_sizes(report);
  check_cylinders(report);
  check_banks(report);
  check_chains(report);
  check_ratios(report);
  check_fits(report);
  check_oil(report);
  check_fasteners(report);
  check_inheritance(report);
  Diagnostics found = report.take();
  sort_by_place(found);
  return found;
}

}  // namespace tautmark
