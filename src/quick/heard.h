// SPDX-License-Identifier: Apache-2.0
// Reads what was typed for one question; whatever is missing or ambiguous becomes an Ask. Only for
// the files of src/quick.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity_text.h"
#include "measure/uncertainty.h"
#include "quick/quick.h"

namespace tautmark::quick {

template <class T>
using Said = tl::expected<T, Ask>;

// A measured value and, where something is known about it, its uncertainty.
struct Reading {
  double value = 0;  // SI
  const Unit* unit = nullptr;
  int decimals = 0;         // as typed, the most of the repeats
  std::optional<double> u;  // standard uncertainty; empty: neither ± nor instrument was said
  double nu = kInfiniteNu;
  double repeat_sd = 0;  // of a single reading; 0 when a ± was typed
  int n = 1;
  std::string how;      // "mean of 3, micrometer-0-25"
  std::string assumed;  // set when a program default went into u
};

struct SaidAngle {
  CrankAngle crank{};
  double degrees = 0;  // as typed, cam or crank
  bool was_cam = false;
  int decimals = 0;
};

enum class EarlyLate : std::uint8_t { early, late };

class Heard {
 public:
  Heard(const QuickQuestion& question, const Typed& typed) : question_(question), typed_(typed) {}

  [[nodiscard]] bool has(std::string_view input) const { return !text(input).empty(); }
  [[nodiscard]] std::string_view text(std::string_view input) const;

  // The question of the table; or a sentence of its own. Either with example and choices.
  [[nodiscard]] Ask ask(std::string_view input) const;
  [[nodiscard]] Ask ask(std::string_view input, std::string sentence) const;
  [[nodiscard]] Ask ask(std::string_view input, const TextError& error) const;

  [[nodiscard]] Said<AnyQuantity> quantity(std::string_view input, Kind kind) const;
  // Repeats, or a value with ±. The scatter of repeats and what is known of the gauge named in
  // `instrument` make the uncertainty (measure/instrument.h).
  [[nodiscard]] Said<Reading> reading(std::string_view input, Kind kind,
                                      std::string_view instrument) const;
  // Asks for the instrument, naming those that exist for the kind.
  [[nodiscard]] Ask ask_instrument(std::string_view instrument, Kind kind) const;

  // A plain count; one of `words` may follow: "138 links".
  [[nodiscard]] Said<int> count(std::string_view input) const;
  [[nodiscard]] Said<std::vector<int>> counts(std::string_view input) const;
  // Index into the choices of the input's table row. A unique beginning is enough.
  [[nodiscard]] Said<std::size_t> choice(std::string_view input) const;

  // An angle without a sign. "deg" without crank or cam needs `which` (choices crank|cam).
  [[nodiscard]] Said<SaidAngle> angle(std::string_view input, std::string_view which) const;
  [[nodiscard]] Said<std::vector<SaidAngle>> angles(std::string_view input,
                                                    std::string_view which) const;

 private:
  [[nodiscard]] Said<SaidAngle> as_crank(std::string_view input, std::string_view which,
                                         const AnyQuantity& typed) const;

  const QuickQuestion& question_;
  const Typed& typed_;
};

// Takes "late", "retarded", "early", "advanced" out of a text. Both at once: said twice, empty.
std::optional<EarlyLate> take_early_late(std::string& text);

}  // namespace tautmark::quick
