// SPDX-License-Identifier: Apache-2.0
#include "parts/names.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "base/text.h"

namespace tautmark::parts {
namespace {

std::optional<int> number_of(std::string_view word) {
  int number = 0;
  const auto read = std::from_chars(word.data(), word.data() + word.size(), number);
  if (word.empty() || read.ec != std::errc() || read.ptr != word.data() + word.size()) return {};
  return number;
}

std::vector<std::string> words_of(std::string_view name) {
  return split(replaced(folded(name), ",", ""), ' ');
}

}  // namespace

bool same_part(std::string_view a, std::string_view b) { return singular(a) == singular(b); }

bool in_list(const std::vector<std::string>& list, std::string_view part) {
  return std::any_of(list.begin(), list.end(),
                     [&](const std::string& one) { return same_part(one, part); });
}

bool banks_meet(std::optional<int> a, std::optional<int> b) { return !a || !b || *a == *b; }

std::optional<int> bank_in(std::string_view name) {
  const std::vector<std::string> words = words_of(name);
  for (std::size_t i = 0; i + 1 < words.size(); ++i)
    if (words[i] == "bank")
      if (const auto bank = number_of(words[i + 1])) return bank;
  return std::nullopt;
}

std::optional<int> links_in(std::string_view name) {
  const std::vector<std::string> words = words_of(name);
  for (std::size_t i = 1; i < words.size(); ++i)
    if (words[i] == "links")
      if (const auto links = number_of(words[i - 1])) return links;
  return std::nullopt;
}

std::string part_words(std::string_view part, std::optional<int> bank) {
  if (!bank || bank_in(part) == bank) return std::string(part);
  return fmt::format("{}, bank {}", part, *bank);
}

PartOfBank without_bank(std::string_view written) {
  std::vector<std::string> words = words_of(written);
  const auto at = [&](std::size_t i) { return i < words.size() ? words[i] : std::string(); };
  for (std::size_t i = 0; i + 1 < words.size(); ++i) {
    const auto bank = number_of(at(i + 1));
    if (words[i] != "bank" || !bank || (i != 0 && i + 2 != words.size())) continue;
    const bool has_of = i > 1 && (at(i - 1) == "of" || at(i - 1) == "on");
    const auto first = words.begin() + static_cast<std::ptrdiff_t>(has_of ? i - 1 : i);
    words.erase(first, words.begin() + static_cast<std::ptrdiff_t>(i + 2));
    if (words.empty()) break;
    return {joined(words, " "), bank};
  }
  return {std::string(trimmed(written)), std::nullopt};
}

bool is_set(const PartSet& part) { return !part.holds.empty(); }

std::vector<const PartSet*> named(const Drive& drive, std::string_view name,
                                  std::optional<int> bank) {
  std::vector<const PartSet*> found;
  for (const PartSet& part : drive.parts)
    if (same_part(part.name, name) && banks_meet(part.bank, bank)) found.push_back(&part);
  return found;
}

std::vector<const PartSet*> holding(const Drive& drive, std::string_view part,
                                    std::optional<int> bank) {
  std::vector<const PartSet*> found;
  for (const PartSet& set : drive.parts)
    if (in_list(set.holds, part) && banks_meet(set.bank, bank)) found.push_back(&set);
  return found;
}

}  // namespace tautmark::parts
