// SPDX-License-Identifier: Apache-2.0
// The pieces that the readers of quantity_text.h share: a cursor over the text that finds numbers
// and units, and the sentences for what is wrong with them. Not for use outside src/base.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>

#include "base/quantity_text.h"

namespace tautmark {

struct TextSpan {
  std::size_t begin = 0;
  std::size_t end = 0;
  [[nodiscard]] bool empty() const { return begin == end; }
};

struct ScannedNumber {
  double number = 0;
  int decimals = 0;
  TextSpan span;
};

// A number and the unit text behind it, which may be empty: "27.98 mm", "27.98".
struct ScannedTerm {
  ScannedNumber number;
  TextSpan unit;
  [[nodiscard]] TextSpan span() const {
    return {number.span.begin, unit.empty() ? number.span.end : unit.end};
  }
};

class QuantityScanner {
 public:
  QuantityScanner(std::string_view text, std::optional<Kind> wanted, const TextRules& rules);

  [[nodiscard]] std::string_view text() const { return text_; }
  [[nodiscard]] std::string_view text(TextSpan span) const;
  [[nodiscard]] std::size_t position() const { return at_; }
  [[nodiscard]] std::string_view rest() const { return text_.substr(at_); }
  [[nodiscard]] bool at_end() const { return at_ == text_.size(); }
  // True when a number can begin here; "1/min" begins a unit.
  [[nodiscard]] bool at_number() const;

  void skip_blanks();
  // Moves over `token` and the blanks behind it if it stands here.
  bool take(std::string_view token);
  // The same for words: letter case and the width of blanks do not matter, a word ends where
  // letters end.
  bool take_words(std::string_view words);

  FromText<ScannedNumber> number();
  FromText<ScannedTerm> term();

  // The unit that a term's unit text means for a quantity of `kind` (any kind when empty).
  [[nodiscard]] FromText<const Unit*> unit(const ScannedTerm& term, TextSpan unit_text,
                                           std::optional<Kind> kind) const;
  // A value in a unit, refused where no such quantity exists.
  [[nodiscard]] FromText<AnyQuantity> value(const ScannedTerm& term, const Unit& unit) const;

  // What stands here and does not belong to `what`, in one error.
  [[nodiscard]] tl::unexpected<TextError> left_over(TextSpan behind, std::string_view what);
  [[nodiscard]] tl::unexpected<TextError> no_unit(TextSpan span) const;

  // "27.96-27.98", the scanner at the hyphen: an interval or a slip, and a minus looks the same.
  [[nodiscard]] tl::unexpected<TextError> sign_between(TextSpan number, TextSpan sign) const;

 private:
  [[nodiscard]] std::string_view take_digits();
  [[nodiscard]] std::string_view take_exponent();
  [[nodiscard]] TextSpan unit_text();
  [[nodiscard]] tl::unexpected<TextError> unclear_sign(std::size_t begin);
  [[nodiscard]] tl::unexpected<TextError> fraction(std::size_t begin, const std::string& above);
  [[nodiscard]] tl::unexpected<TextError> no_number() const;

  std::string_view text_;
  std::optional<Kind> wanted_;
  TextRules rules_;
  std::size_t at_ = 0;
};

// "a ± b": one unit may serve both.
struct ValueAndSpread {
  AnyQuantity value;
  AnyQuantity spread;
  ScannedTerm value_term;
  ScannedTerm spread_term;
};

bool take_plus_minus(QuantityScanner& scanner);

// The value stands in `first`, the scanner behind the ±. "95 ± 2 degC" gives one unit for both:
// the value is then a point and the spread a difference.
FromText<ValueAndSpread> value_and_spread(QuantityScanner& scanner, const ScannedTerm& first,
                                          std::optional<Kind> wanted);

tl::unexpected<TextError> text_error(TextSpan span, std::string problem, std::string hint = {});

// "a length", "an angle"; "a quantity" when no kind is wanted.
std::string a_kind(std::optional<Kind> kind);

// A piece of the text for a message: in quotes, never longer than a line, control characters and
// broken UTF-8 replaced.
std::string in_quotes(std::string_view text);

}  // namespace tautmark
