// SPDX-License-Identifier: Apache-2.0
#include "draw/sheet.h"

#include <algorithm>
#include <array>
#include <set>

#include "base/text.h"

namespace tautmark::draw {
namespace {

struct NamedColor {
  std::string_view word;
  std::string_view fill;
};
// Words that people use for marked links. The first that is found in the name counts.
constexpr std::array kNamedColors{
    NamedColor{"copper", "#b8683d"}, NamedColor{"bronze", "#a4773f"},
    NamedColor{"brass", "#cfab4a"},  NamedColor{"gold", "#d8b13c"},
    NamedColor{"yellow", "#ecc92f"}, NamedColor{"orange", "#e08a2e"},
    NamedColor{"blue", "#3f74b5"},   NamedColor{"green", "#4c8f5b"},
    NamedColor{"red", "#bf3f34"},    NamedColor{"silver", "#c9ced2"},
    NamedColor{"white", "#fdfdfb"},  NamedColor{"black", "#22262a"},
    NamedColor{"dark", "#3a3f45"},   NamedColor{"violet", "#7a5aa0"},
    NamedColor{"brown", "#7d5a3c"},
};
constexpr std::string_view kOtherFill = "#9aa0a6";

std::string first_character(std::string_view name) {
  std::size_t end = name.empty() ? 0 : 1;
  while (end < name.size() && (static_cast<unsigned char>(name[end]) & 0xC0U) == 0x80U) ++end;
  std::string letter(name.substr(0, end));
  if (letter.size() == 1 && letter[0] >= 'a' && letter[0] <= 'z')
    letter[0] = static_cast<char>(letter[0] - 'a' + 'A');
  return letter;
}

}  // namespace

std::vector<LinkColor> link_colors(const Figure& figure) {
  std::vector<LinkColor> colors;
  for (const FigureChain& chain : figure.chains) {
    for (const FigureLinkMark& mark : chain.marked) {
      if (color_index(colors, mark.color) < colors.size()) continue;
      const std::string name = lower_ascii(mark.color);
      std::string_view fill = kOtherFill;
      for (const NamedColor& named : kNamedColors) {
        if (name.find(named.word) == std::string::npos) continue;
        fill = named.fill;
        break;
      }
      colors.push_back({mark.color, first_character(mark.color), std::string(fill)});
    }
  }
  return colors;
}

std::size_t color_index(const std::vector<LinkColor>& colors, std::string_view name) {
  const auto found =
      std::find_if(colors.begin(), colors.end(), [&](const auto& c) { return c.name == name; });
  return static_cast<std::size_t>(found - colors.begin());
}

ChainNumbers chain_numbers(const Figure& figure) {
  const auto& chains = figure.chains;
  ChainNumbers numbers{std::vector<std::string>(chains.size()), ""};
  if (chains.size() < 2) return numbers;
  std::set<int> banks;
  for (const FigureChain& chain : chains)
    if (chain.bank) banks.insert(*chain.bank);
  const bool by_bank = banks.size() == chains.size();
  for (std::size_t i = 0; i < chains.size(); ++i)
    numbers.of_chain[i] = std::to_string(by_bank ? *chains[i].bank : static_cast<int>(i) + 1);
  numbers.note = "in a tag: letter of the color, number of the bank";
  if (!by_bank) {
    numbers.note = "in a tag: letter of the color, number of the chain:";
    for (std::size_t i = 0; i < chains.size(); ++i)
      numbers.note += (i == 0 ? " " : ", ") + numbers.of_chain[i] + " " + chains[i].name;
  }
  return numbers;
}

void Sheet::place(const Label& label, std::span<const Place> places) {
  if (!labels.place(words, label, places)) unplaced.push_back(joined(label.lines, " "));
}

}  // namespace tautmark::draw
