// SPDX-License-Identifier: Apache-2.0
#include "procedure/facts.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "base/text.h"

namespace tautmark::procedure {
namespace {

constexpr bool kOfBank = true;
constexpr FactWords kFacts[] = {
    {Item::chain, 0, "chain on", kOfBank},
    {Item::chain, 1, "chain off", kOfBank},
    {Item::chain, 2, "chain as found", kOfBank},
    {Item::slack, 0, "slack on the tensioner strand", kOfBank},
    {Item::tensioner, 0, "tensioner pinned", kOfBank},
    {Item::tensioner, 1, "tensioner released", kOfBank},
    {Item::tensioner, 2, "tensioner out", kOfBank},
    {Item::extension, 0, "extension read", kOfBank},
    {Item::phaser, 0, "phaser locked", kOfBank},
    {Item::phaser, 1, "phaser free", kOfBank},
    {Item::camshaft, 0, "camshaft held", kOfBank},
    {Item::camshaft, 1, "camshaft free", kOfBank},
    {Item::phaser_bolt, 0, "phaser bolt out", kOfBank},
    {Item::phaser_bolt, 1, "phaser bolt snug", kOfBank},
    {Item::phaser_bolt, 2, "phaser bolt final", kOfBank},
    {Item::caps, 0, "caps loose", kOfBank},
    {Item::caps, 1, "caps final", kOfBank},
    {Item::as_found, 0, "marks recorded", kOfBank},
    {Item::marks, 0, "marks set", kOfBank},
    {Item::marks, 1, "marks confirmed", kOfBank},
    {Item::marks, 2, "marks proven", kOfBank},
    {Item::crank, 0, "crank at reference"},
    {Item::crank, 1, "crank elsewhere"},
    {Item::turned, 0, "two turns done"},
    {Item::accounted, 0, "everything accounted for"},
    {Item::accounted, 1, "something lost"},
    {Item::covers, 0, "covers off"},
    {Item::covers, 1, "covers on"},
    {Item::primed, 0, "oil primed"},
    {Item::engine, 0, "engine started"},
    {Item::relearn, 0, "relearn done"},
    {Item::recording, 0, "recorded before"},
    {Item::recording, 1, "recorded after"},
    {Item::handed_over, 0, "handed over"},
};

const FactWords* words_of(Item item, int value) {
  const auto* found = std::find_if(std::begin(kFacts), std::end(kFacts), [&](const FactWords& f) {
    return f.item == item && f.value == value;
  });
  return found == std::end(kFacts) ? nullptr : found;
}

std::string with_bank(int bank, std::string_view words) {
  return bank == 0 ? std::string(words) : fmt::format("bank {}: {}", bank, words);
}

struct Said {
  std::optional<int> bank{};
  std::string words{};
};

// "bank 2: chain on"; a colon after anything else belongs to the words.
Said said_of(std::string_view text) {
  const std::string plain = folded(text);
  if (!plain.starts_with("bank ")) return {std::nullopt, plain};
  int bank = 0;
  const char* end = plain.data() + plain.size();
  const auto [rest, error] = std::from_chars(plain.data() + 5, end, bank);
  if (error != std::errc() || rest == end || *rest != ':') return {std::nullopt, plain};
  return {bank, std::string(trimmed(std::string_view(rest + 1, end)))};
}

}  // namespace

std::span<const FactWords> all_facts() { return kFacts; }

Result<std::vector<Fact>> read_fact(std::string_view text, std::optional<int> step_bank,
                                    std::span<const int> banks) {
  const Said said = said_of(text);
  const auto has = [&](int bank) {
    return std::find(banks.begin(), banks.end(), bank) != banks.end();
  };
  if (said.words.empty()) return tl::make_unexpected(Refusal{"a condition has words"});
  if (said.bank && !has(*said.bank)) {
    return tl::make_unexpected(Refusal{fmt::format("the engine has no bank {}", *said.bank)});
  }
  for (const FactWords& fact : kFacts) {
    if (said.words != fact.words) continue;
    if (!fact.of_bank) {
      if (said.bank) {
        return tl::make_unexpected(
            Refusal{fmt::format("\"{}\" is of the engine, not of a bank", fact.words)});
      }
      return std::vector<Fact>{{.item = fact.item, .value = fact.value}};
    }
    std::vector<Fact> facts;
    for (const int bank : banks) {
      const std::optional<int> meant = said.bank ? said.bank : step_bank;
      if (!meant || *meant == bank) {
        facts.push_back({.item = fact.item, .value = fact.value, .bank = bank});
      }
    }
    if (facts.empty()) {
      return tl::make_unexpected(Refusal{fmt::format("the engine has no bank {}", *step_bank)});
    }
    return facts;
  }
  std::vector<std::string> known;
  for (const FactWords& fact : kFacts) known.emplace_back(fact.words);
  if (const std::optional<std::string> near = nearest(said.words, known)) {
    return tl::make_unexpected(Refusal{fmt::format("\"{}\": \"{}\" is meant?", said.words, *near)});
  }
  return std::vector<Fact>{{.own = folded(text)}};
}

std::string fact_text(const Fact& fact) {
  if (!fact.own.empty()) return fact.own;
  const FactWords* words = words_of(fact.item, fact.value);
  return with_bank(fact.bank, words == nullptr ? "?" : words->words);
}

std::optional<std::size_t> State::place(Item item, int bank) {
  if (bank < 0 || bank > kMostBanks) return std::nullopt;
  return static_cast<std::size_t>(item) * (kMostBanks + 1) + static_cast<std::size_t>(bank);
}

bool State::holds(const Fact& fact) const {
  if (!fact.own.empty()) return std::binary_search(own_.begin(), own_.end(), fact.own);
  const std::optional<int> value = value_of(fact.item, fact.bank);
  if (!value) return false;
  // Marks proven were confirmed and set before; the second recording follows the first.
  if (fact.item == Item::marks || fact.item == Item::recording) return *value >= fact.value;
  // A chain as found is on.
  if (fact.item == Item::chain && fact.value == 0) return *value != 1;
  return *value == fact.value;
}

std::optional<int> State::value_of(Item item, int bank) const {
  const auto at = place(item, bank);
  if (!at || values_[*at] == kUnknown) return std::nullopt;
  return values_[*at];
}

void State::set(const Fact& fact) {
  if (!fact.own.empty()) {
    const auto at = std::lower_bound(own_.begin(), own_.end(), fact.own);
    if (at == own_.end() || *at != fact.own) own_.insert(at, fact.own);
  } else if (const auto at = place(fact.item, fact.bank)) {
    values_[*at] = static_cast<std::int8_t>(fact.value);
  }
}

void State::forget(Item item, int bank) {
  if (const auto at = place(item, bank)) values_[*at] = kUnknown;
}

void State::end(const Fact& fact) {
  if (!fact.own.empty()) {
    std::erase(own_, fact.own);
  } else if (holds(fact)) {
    forget(fact.item, fact.bank);
  }
}

std::vector<Fact> State::facts() const {
  std::vector<Fact> facts;
  for (const std::string& words : own_) facts.push_back({.own = words});
  for (std::size_t item = 0; item < kItems; ++item)
    for (int bank = 0; bank <= kMostBanks; ++bank)
      if (const auto value = value_of(static_cast<Item>(item), bank))
        facts.push_back({.item = static_cast<Item>(item), .value = *value, .bank = bank});
  return facts;
}

std::vector<std::string> state_text(const State& state) {
  std::vector<std::string> lines;
  for (const Fact& fact : state.facts()) lines.push_back(fact_text(fact));
  return lines;
}

}  // namespace tautmark::procedure
