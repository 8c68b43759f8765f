// SPDX-License-Identifier: Apache-2.0
// A phaser that was replaced before, and the complaint is back: two starved phasers are likelier
// than two bad ones (common practice, no source). Head pressure and the clearance of journal 1
// before a third.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <span>

#include "base/text.h"
#include "judge/check.h"
#include "judge/checks/checks.h"
#include "judge/verdict.h"

namespace tautmark::checks {
namespace {

bool speaks_of(std::string_view words, int bank) {
  return folded(words).find(fmt::format("bank {}", bank)) != std::string::npos;
}

// As the trade calls a phaser.
constexpr std::array<std::string_view, 7> kPhasers = {
    "phaser",   "vvt sprocket", "vvt actuator", "cam adjuster", "camshaft adjuster",
    "variator", "cam actuator"};
// What was done to it that is no replacement.
constexpr std::array<std::string_view, 6> kNotReplaced = {
    "not replaced", "not renewed", "not changed", "not new", "only cleaned", "old phaser kept"};

bool has_one_of(const std::string& words, std::span<const std::string_view> of) {
  return std::ranges::any_of(
      of, [&](std::string_view one) { return words.find(one) != std::string::npos; });
}

std::vector<EntryOf<PreviousWork>> on_phasers(const CheckInput& input) {
  auto all = all_of_kind<PreviousWork>(input.entries);
  std::erase_if(all, [](const auto& one) {
    const std::string words = folded(one.body->words);
    return !has_one_of(words, kPhasers) || has_one_of(words, kNotReplaced);
  });
  return all;
}

// Where the definition does not say which camshafts have one, each may.
bool may_have_phaser(const CheckInput& input, const EnginePlace& camshaft) {
  return camshaft.camshaft->phaser ||
         std::ranges::none_of(input.places, [](const EnginePlace& place) {
           return place.camshaft != nullptr && place.camshaft->phaser;
         });
}

// What the two measurements that decide it say of a bank.
struct Looked {
  std::vector<const Finding*> failed{};
  bool starved = false;
  std::vector<std::string> missing{};
  std::vector<std::string> evidence{};
};

void look(const std::vector<Finding>& at, const std::string& subject, std::string_view wanted,
          Looked& out) {
  bool is_decided = false;
  for (const Finding& finding : at) {
    if (finding.subject != subject && !finding.subject.starts_with(subject + " at ")) continue;
    if (finding.verdict == Verdict::fail) out.failed.push_back(&finding);
    is_decided = is_decided || finding.verdict != Verdict::open;
    out.evidence.insert(out.evidence.end(), finding.evidence.begin(), finding.evidence.end());
  }
  if (!is_decided) out.missing.push_back(fmt::format("{} {}", wanted, subject));
}

}  // namespace

std::vector<Finding> phaser_again(const CheckInput& input) {
  const std::vector<EntryOf<PreviousWork>> works = on_phasers(input);
  if (works.empty()) return {};
  const std::vector<Finding> pressures = oil_pressure(input);
  const std::vector<Finding> clearances = journal_clearance(input);
  std::vector<int> banks;
  const auto is_named = [&](int bank) {
    return std::any_of(works.begin(), works.end(),
                       [&](const auto& one) { return speaks_of(one.body->words, bank); });
  };
  const auto add = [&](bool if_named) {
    for (const EnginePlace& place : input.places)
      if (place.type == PlaceType::camshaft && place.camshaft != nullptr &&
          may_have_phaser(input, place) && place.bank && (!if_named || is_named(*place.bank)) &&
          std::find(banks.begin(), banks.end(), *place.bank) == banks.end())
        banks.push_back(*place.bank);
  };
  add(true);
  if (banks.empty()) add(false);
  std::vector<Finding> findings;
  for (const int bank : banks) {
    Looked looked;
    for (const EnginePlace& place : input.places) {
      if (place.bank != bank) continue;
      if (place.type == PlaceType::oil_port) {
        const std::size_t before = looked.failed.size();
        look(pressures, place.path, "the pressure, hot, at", looked);
        looked.starved = looked.starved || looked.failed.size() > before;
      }
      if (place.type == PlaceType::journal && place.number == 1)
        look(clearances, place.path, "the clearance of", looked);
    }
    const bool has_port = std::ranges::any_of(input.places, [&](const EnginePlace& place) {
      return place.type == PlaceType::oil_port && place.bank == bank;
    });
    if (!has_port)
      looked.missing.insert(
          looked.missing.begin(),
          fmt::format("the pressure, hot, at a plug of the head of bank {}", bank));
    if (looked.failed.empty() && looked.missing.empty()) continue;
    Finding finding = open_finding(
        "phaser-again", fmt::format("bank {}", bank),
        looked.failed.empty() ? OpenBecause::not_measured : OpenBecause::forecast,
        looked.failed.empty()
            ? "the phaser was replaced before: two without oil are likelier than two bad ones"
        : looked.starved
            ? "the phaser was replaced before, and its oil does not arrive: a third would fare no "
              "better"
            : "the phaser was replaced before, and journal 1 is outside its limit: read the "
              "pressure "
              "at the head before a third");
    finding.forecast = !looked.failed.empty();
    for (const Finding* failed : looked.failed)
      finding.follows.push_back(
          fmt::format("{}: {}", failed->subject, failed->value ? failed->value->shown : "fail"));
    finding.next = looked.missing;
    finding.evidence = std::move(looked.evidence);
    for (const auto& one : works) finding.evidence.push_back(one.entry->id);
    finding.sources = {"common practice, no source"};
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace tautmark::checks
