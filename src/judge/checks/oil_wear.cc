// SPDX-License-Identifier: Apache-2.0
// Which worn place explains the oil pressures that were read, through the oil network of the
// definition. A guess at where to measure, never a verdict.
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "judge/checks/checks.h"
#include "judge/verdict.h"
#include "judge/wear_told.h"

namespace tautmark::checks {
namespace {

constexpr std::size_t kMostNamed = 4;

// A journal of a suspect like "bank 2 / camshaft / journal 2, journal 3".
bool is_journal(const std::string& name) { return name.find(" / ") != std::string::npos; }

constexpr std::string_view kBlocked = " blocked", kWorn = " worn";
bool is_blocked(const oil::WearHypothesis& one) { return one.name.ends_with(kBlocked); }

// "journal 1 worn" without its last word; a way has the name that the definition gives it.
std::string place_of(const oil::WearHypothesis& one) {
  std::string name = one.name;
  for (const std::string_view how : {kBlocked, kWorn})
    if (name.ends_with(how)) name.resize(name.size() - how.size());
  return is_journal(name) ? name : fmt::format("\"{}\"", name);
}

std::string words(const WearTold& told) {
  const oil::WearExplanation& wear = told.wear;
  const bool is_new = told.measured.empty();
  if (!wear.explained)
    return is_new
               ? "no single worn or blocked place explains the pressures read: several are, or a "
                 "reading is wrong"
               : "beside what was measured no single worn or blocked place explains the pressures "
                 "read: "
                 "several are, or a reading is wrong";
  const bool nothing = wear.ranking.front() == 0 ||
                       std::find(wear.alike.begin(), wear.alike.end(), 0U) != wear.alike.end();
  if (nothing)
    return is_new
               ? "the pressures read need no wear to explain them; they do not rule it out"
               : "the clearances measured explain the pressures read; they do not rule out other "
                 "wear";
  if (wear.alike.empty())
    return fmt::format("likeliest by the pressures read: {}{}",
                       place_of(wear.hypotheses[wear.ranking.front()]),
                       is_blocked(wear.hypotheses[wear.ranking.front()]) ? ", blocked" : ", worn");
  return wear.alike.size() > kMostNamed
             ? "these readings tell of wear or of something blocked, and not where"
             : "these readings tell of wear or of something blocked, and do not tell these places "
               "apart";
}

}  // namespace

std::vector<Finding> oil_wear(const CheckInput& input) {
  const std::optional<WearTold> told = wear_told(input);
  if (!told) return {};
  const oil::WearExplanation& wear = told->wear;
  Finding finding =
      open_finding("oil-wear", told->gauges.gallery.place, OpenBecause::forecast, words(*told));
  finding.forecast = true;
  const std::vector<std::size_t> suspects =
      wear.alike.empty() ? std::vector<std::size_t>{wear.ranking.front()} : wear.alike;
  for (const std::size_t i : suspects) {
    const oil::WearHypothesis& one = wear.hypotheses[i];
    if (i == 0 || finding.budget.size() == kMostNamed) continue;
    const std::string place = place_of(one);
    if (suspects.size() > 1 && suspects.size() <= kMostNamed)
      finding.follows.push_back(
          fmt::format("may be {}: {}", is_blocked(one) ? "blocked" : "worn", place));
    if (is_blocked(one)) finding.next.push_back(fmt::format("is it free: {}", place));
    if (is_journal(place)) finding.next.push_back(fmt::format("the clearance of {}", place));
    finding.budget.push_back(fmt::format("{}: lets through {:.2g} times as much ({:.2g} to {:.2g})",
                                         place, one.factor.median, one.factor.low,
                                         one.factor.high));
  }
  for (const EnginePlace& place : input.places) {
    const auto is_read = [&](const GaugeRead& head) { return head.place == place.path; };
    if (place.type == PlaceType::oil_port && place.bank &&
        std::none_of(told->gauges.heads.begin(), told->gauges.heads.end(), is_read))
      finding.next.push_back(port_to_read(place.path));
  }
  for (const std::string& journal : told->measured)
    finding.budget.push_back(fmt::format("measured, so no suspect: {}", journal));
  finding.evidence = told->evidence;
  finding.sources = {
      "oil network of the definition; one place at a time, worn or blocked, each as likely as "
      "another beforehand"};
  return {std::move(finding)};
}

}  // namespace tautmark::checks
