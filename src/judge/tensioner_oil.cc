// SPDX-License-Identifier: Apache-2.0
#include "judge/tensioner_oil.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <numbers>

#include "base/text.h"
#include "oil/tensioner.h"

namespace tautmark {
namespace {

bool has_word(std::string_view clause, std::string_view word) {
  for (const std::string& one : split(clause, ' '))
    if (one == word) return true;
  return false;
}

// "isn't" too.
bool denies(std::string_view clause) {
  constexpr std::string_view kDenials[] = {"no",    "not",    "never", "none",
                                           "quiet", "silent", "gone",  "without"};
  return clause.find("n't") != std::string_view::npos ||
         std::any_of(std::begin(kDenials), std::end(kDenials),
                     [&](std::string_view word) { return has_word(clause, word); });
}

bool has_any(std::string_view clause, std::initializer_list<std::string_view> parts) {
  return std::any_of(parts.begin(), parts.end(), [&](std::string_view part) {
    return clause.find(part) != std::string_view::npos;
  });
}

std::vector<std::string> clauses_of(std::string_view text) {
  std::string plain = replaced(text, "\xE2\x80\x99", "'");
  for (const char* end : {",", ":", ".", "\n"}) plain = replaced(plain, end, ";");
  std::vector<std::string> clauses;
  for (const std::string& clause : split(plain, ';')) clauses.push_back(folded(clause));
  return clauses;
}

void add_conditions(std::string_view clause, NoiseHeard& heard) {
  if (denies(clause)) return;
  const bool starting =
      has_any(clause, {"at start", "cold start", "at a start", "at a cold start", "after start",
                       "after a start", "when starting", "first second", "after standing"});
  heard.after_standing = heard.after_standing || starting;
  heard.hot_idle = heard.hot_idle || has_any(clause, {"hot idle", "idle hot", "idling hot",
                                                      "idle when hot", "warm idle", "idle warm"});
  // Cold is past the first seconds.
  heard.cold =
      heard.cold || (!starting && has_word(clause, "cold") && !has_any(clause, {"second"}));
  heard.gets_worse =
      heard.gets_worse || has_any(clause, {"worse the longer it runs", "worse while it runs",
                                           "worse as it runs", "worse while running"});
}

oil::Plunger plunger_of(const Tensioner& tensioner) {
  return {tensioner.plunger_diameter->value, tensioner.plunger_clearance->value / 2,
          tensioner.plunger_guided->value};
}

}  // namespace

bool tells_oil(const Tensioner& tensioner) {
  return tensioner.plunger_diameter || tensioner.plunger_clearance || tensioner.feed_hole;
}

std::vector<std::string> tensioner_lacks(const Tensioner& tensioner) {
  std::vector<std::string> lacks;
  if (!tensioner.plunger_diameter) lacks.emplace_back("plunger_diameter");
  if (!tensioner.plunger_clearance) lacks.emplace_back("plunger_clearance");
  if (!tensioner.plunger_guided) lacks.emplace_back("plunger_guided");
  if (!tensioner.spring) lacks.emplace_back("spring");
  if (!tensioner.feed_hole) lacks.emplace_back("feed_hole");
  return lacks;
}

Result<TensionerOil> tensioner_oil(const Tensioner& tensioner, const FedTensioner& fed) {
  if (const auto lacks = tensioner_lacks(tensioner); !lacks.empty())
    return refuse("not in the definition: " + joined(lacks, "; "));
  const double d = tensioner.feed_hole->value.si();
  oil::Tensioner asked;
  asked.plunger = plunger_of(tensioner);
  asked.preload = tensioner.spring->value;
  asked.gallery = fed.at_feed;
  asked.feed = fed.discharge * std::numbers::pi * d * d / 4;
  asked.check = asked.feed;
  const auto whole = oil::tensioner_state(asked, fed.viscosity, fed.density);
  if (!whole) return tl::make_unexpected(whole.error());
  asked.tear = fed.discharge * fed.tear;
  const auto torn = oil::tensioner_state(asked, fed.viscosity, fed.density);
  if (!torn) return tl::make_unexpected(torn.error());
  asked.plunger.eccentricity = 1;
  const auto off = oil::damping(asked.plunger, fed.viscosity);
  if (!off) return tl::make_unexpected(off.error());
  return TensionerOil{tensioner.spring->value,
                      whole->static_force,
                      torn->static_force,
                      whole->damping,
                      *off,
                      whole->refill};
}

NoiseHeard noise_heard(std::string_view words, std::string_view when) {
  NoiseHeard heard;
  bool is_noise = false;
  for (const std::string& clause : clauses_of(words)) {
    if (denies(clause) || !has_any(clause, {"rattl", "clatter"})) continue;
    is_noise = true;
    add_conditions(clause, heard);
  }
  if (is_noise)
    for (const std::string& clause : clauses_of(when)) add_conditions(clause, heard);
  return heard;
}

std::string fault_words(oil::TensionerFault fault) {
  constexpr std::string_view kNames[] = {"worn plunger",     "leaking check ball",
                                         "torn seal",        "lost or blocked feed",
                                         "low oil pressure", "worn or missing ratchet"};
  return fmt::format("{}: {}", kNames[static_cast<std::size_t>(fault)],
                     oil::signature(fault).over_time);
}

}  // namespace tautmark
