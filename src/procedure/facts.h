// SPDX-License-Identifier: Apache-2.0
// What a procedure knows of an engine under work: a fixed list of items, each with a few values, of
// the engine or of each bank. "chain on", "phaser locked", "bank 2: marks confirmed".
//
// An item that nobody has set is unknown, and unknown satisfies no condition. The words are those
// of the trade; a condition in words that are not in the list is an item of the procedure's own (a
// yes), which some step must give.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"

namespace tautmark::procedure {

enum class Item : std::uint8_t {
  chain,        // on every sprocket, off, as found: on, and never off since the engine came in
  slack,        // on the strand where the tensioner is, elsewhere
  tensioner,    // pinned, released, out
  extension,    // of the plunger, read before it was relieved
  phaser,       // locked, free
  camshaft,     // held at its flats, free
  phaser_bolt,  // out, snug, final
  caps,         // loose, final
  as_found,     // marks, recorded before the chain came off: kept for good
  marks,        // set, confirmed (sprockets against casting), proven (after turns)
  crank,        // at reference, elsewhere
  turned,       // two turns by hand since the chain went on
  accounted,    // every tool, rag and lost part; something lost
  covers,       // off, on
  primed,       // oil pressure up before the first start, its rise timed
  engine,       // started
  relearn,      // done
  recording,    // before, after
  handed_over,
};

// A condition as computed with: item, its value, and the bank it is of (0: the engine).
struct Fact {
  Item item{};
  int value = 0;
  int bank = 0;
  std::string own{};  // of the procedure's own items: its words; then item and value mean nothing
  auto operator<=>(const Fact&) const = default;
};

struct FactWords {
  Item item{};
  int value = 0;
  std::string_view words{};  // "chain on"
  bool of_bank = false;      // each bank has its own
};
std::span<const FactWords> all_facts();

// "chain on" with the step's bank, or of every bank where the step has none; "bank 2: chain on" as
// said. One fact for each bank meant. Refused: a bank that the engine has not; words that are
// nearly those of the list, with the suggestion.
Result<std::vector<Fact>> read_fact(std::string_view words, std::optional<int> step_bank,
                                    std::span<const int> banks);

std::string fact_text(const Fact& fact);  // "bank 2: chain on"

inline constexpr int kMostBanks = 8;  // numbered from 1, as in a drive file

// The engine as far as it is known. Small and cheap to copy: a search makes a great many.
class State {
 public:
  State() { values_.fill(kUnknown); }

  [[nodiscard]] bool holds(const Fact& fact) const;
  [[nodiscard]] std::optional<int> value_of(Item item, int bank = 0) const;
  void set(const Fact& fact);
  void forget(Item item, int bank = 0);
  void end(const Fact& fact);  // no more so; what it is instead is unknown

  // Those of the procedure's own first, the others item by item and bank by bank.
  [[nodiscard]] std::vector<Fact> facts() const;
  bool operator==(const State&) const = default;
  auto operator<=>(const State&) const = default;

 private:
  static constexpr std::int8_t kUnknown = -1;
  static constexpr std::size_t kItems = static_cast<std::size_t>(Item::handed_over) + 1;

  [[nodiscard]] static std::optional<std::size_t> place(Item item, int bank);

  std::array<std::int8_t, kItems*(kMostBanks + 1)> values_{};
  std::vector<std::string> own_{};  // sorted
};

// In words, item by item, what is unknown left out: "bank 1: chain on".
std::vector<std::string> state_text(const State& state);

}  // namespace tautmark::procedure
