// SPDX-License-Identifier: Apache-2.0
#include "base/quantity_scan.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <system_error>

#include "base/text.h"

namespace tautmark {
namespace {

// Word processors put these where a blank was meant.
constexpr std::array<std::string_view, 7> kBlankSigns = {" ",      "\t",     "\n",    "\r",
                                                         "\u00A0", "\u202F", "\u2009"};

// Where a unit ends at the latest.
constexpr std::array<std::string_view, 12> kAfterUnit = {"±", "+/-", "+-", "..", "–", "—",
                                                         ";", ",",   "<",  ">",  "≤", "≥"};

// More decimals than a double can hold say nothing; the cap keeps printed texts short.
constexpr int kMostDecimals = 30;

// More digits or powers of ten than any number has, and far from overflowing an int.
constexpr std::size_t kFarAway = 1000;
constexpr int kFarAwayPower = 1000;

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

std::size_t blank_length(std::string_view text) {
  for (const std::string_view blank : kBlankSigns) {
    if (text.starts_with(blank)) return blank.size();
  }
  return 0;
}

std::string_view without_blanks_in_front(std::string_view text) {
  for (std::size_t n = blank_length(text); n > 0; n = blank_length(text)) text.remove_prefix(n);
  return text;
}

std::size_t sign_length(std::string_view text) {
  if (text.starts_with('+') || text.starts_with('-')) return 1;
  constexpr std::string_view kMinusSign = "−";
  return text.starts_with(kMinusSign) ? kMinusSign.size() : 0;
}

std::size_t digits_length(std::string_view text) {
  const auto* end = std::find_if_not(text.begin(), text.end(), is_digit);
  return static_cast<std::size_t>(end - text.begin());
}

// True when `text` starts with `sign` and a digit follows: a decimal sign, not a full stop or "..".
bool starts_decimals(std::string_view text, char sign) {
  return text.size() > 1 && text[0] == sign && is_digit(text[1]);
}

bool starts_number(std::string_view text) {
  // "1/min" is a unit.
  if (text.size() > 2 && text.starts_with("1/") && is_letter(text[2])) return false;
  text.remove_prefix(sign_length(text));
  return (!text.empty() && is_digit(text[0])) || starts_decimals(text, '.') ||
         starts_decimals(text, ',');
}

// "(k 2)", "(k=2)": the coverage factor, which is no part of a unit as "(crank)" is.
bool starts_coverage(std::string_view text) {
  if (!text.starts_with('(')) return false;
  text = without_blanks_in_front(text.substr(1));
  if (!text.starts_with('k') && !text.starts_with('K')) return false;
  text = without_blanks_in_front(text.substr(1));
  return text.starts_with('=') || starts_number(text);
}

bool starts_word_to(std::string_view text) {
  if (text.size() < 2 || lower_ascii(text.substr(0, 2)) != "to") return false;
  text.remove_prefix(2);
  return text.empty() || blank_length(text) > 0 || starts_number(text);
}

bool ends_unit(std::string_view text) {
  return starts_coverage(text) ||
         std::any_of(kAfterUnit.begin(), kAfterUnit.end(),
                     [&](std::string_view sign) { return text.starts_with(sign); });
}

}  // namespace

QuantityScanner::QuantityScanner(std::string_view text, std::optional<Kind> wanted,
                                 const TextRules& rules)
    : text_(text), wanted_(wanted), rules_(rules) {
  skip_blanks();
}

std::string_view QuantityScanner::text(TextSpan span) const {
  return text_.substr(span.begin, span.end - span.begin);
}

bool QuantityScanner::at_number() const { return starts_number(rest()); }

void QuantityScanner::skip_blanks() { at_ = text_.size() - without_blanks_in_front(rest()).size(); }

bool QuantityScanner::take(std::string_view token) {
  if (!rest().starts_with(token)) return false;
  at_ += token.size();
  skip_blanks();
  return true;
}

bool QuantityScanner::take_words(std::string_view words) {
  const std::size_t start = at_;
  for (std::string_view word : split(words, ' ')) {
    const std::string_view here = rest();
    const bool fits = lower_ascii(here.substr(0, word.size())) == word;
    const std::string_view behind = here.substr(std::min(word.size(), here.size()));
    if (!fits || (!behind.empty() && is_letter(behind[0]) && is_letter(word.back()))) {
      at_ = start;
      return false;
    }
    at_ += word.size();
    skip_blanks();
  }
  return true;
}

FromText<ScannedNumber> QuantityScanner::number() {
  if (!at_number()) return no_number();
  const std::size_t begin = at_;
  const std::size_t sign = sign_length(rest());
  std::string plain;  // the number as from_chars wants it
  if (sign > 0 && !rest().starts_with('+')) plain = "-";
  at_ += sign;
  plain += take_digits();
  int decimals = 0;
  if (starts_decimals(rest(), rules_.decimal_sign)) {
    ++at_;
    const std::string_view digits = take_digits();
    decimals = static_cast<int>(std::min(digits.size(), kFarAway));
    if (plain.empty() || plain == "-") plain += '0';
    plain += '.';
    plain += digits;
  }
  if (starts_decimals(rest(), '.') || starts_decimals(rest(), ',')) return unclear_sign(begin);
  if (rest().size() > 1 && rest()[0] == '/' && is_digit(rest()[1])) return fraction(begin, plain);
  const std::string_view exponent = take_exponent();
  if (!exponent.empty()) {
    plain += 'e';
    plain += exponent;
    int power = 0;
    const auto read = std::from_chars(exponent.data(), exponent.data() + exponent.size(), power);
    if (read.ec == std::errc()) decimals -= std::clamp(power, -kFarAwayPower, kFarAwayPower);
  }
  const TextSpan span{begin, at_};
  if (sign_length(rest()) > 0 && starts_number(rest())) {
    return sign_between(span, {at_, at_ + sign_length(rest())});
  }
  double value = 0;
  const auto read = std::from_chars(plain.data(), plain.data() + plain.size(), value);
  if (read.ec != std::errc() || read.ptr != plain.data() + plain.size() || !std::isfinite(value)) {
    return text_error(span, fmt::format("{} is too large or too small", in_quotes(text(span))));
  }
  return ScannedNumber{value, std::clamp(decimals, 0, kMostDecimals), span};
}

std::string_view QuantityScanner::take_digits() {
  const std::string_view digits = rest().substr(0, digits_length(rest()));
  at_ += digits.size();
  return digits;
}

// "e-3" gives "-3", "e+3" gives "3"; an 'e' without digits is no exponent.
std::string_view QuantityScanner::take_exponent() {
  if (!rest().starts_with('e') && !rest().starts_with('E')) return {};
  std::string_view exponent = rest().substr(1);
  const std::size_t sign = exponent.starts_with('+') || exponent.starts_with('-') ? 1 : 0;
  const std::size_t length = digits_length(exponent.substr(sign));
  if (length == 0) return {};
  exponent = exponent.substr(0, sign + length);
  at_ += 1 + exponent.size();
  if (exponent.starts_with('+')) exponent.remove_prefix(1);
  return exponent;
}

// The digits from `begin` hold the other decimal sign, or two: both readings are named.
tl::unexpected<TextError> QuantityScanner::unclear_sign(std::size_t begin) {
  at_ = begin + sign_length(text_.substr(begin));
  std::string joined(text_.substr(begin, at_ - begin));
  std::string pointed = joined;
  std::size_t signs = 0;
  while (!at_end()) {
    const bool is_sign = starts_decimals(rest(), '.') || starts_decimals(rest(), ',');
    if (!is_sign && !is_digit(rest()[0])) break;
    if (is_sign) ++signs;
    if (!is_sign) joined += rest()[0];
    pointed += is_sign ? rules_.decimal_sign : rest()[0];
    ++at_;
  }
  const TextSpan span{begin, at_};
  const std::string_view shown = text(span);
  if (signs > 1) {
    return text_error(span, fmt::format("{} has two decimal signs", shown),
                      fmt::format("digits are not grouped: write \"{}\"", joined));
  }
  const std::string_view declare =
      rules_.decimal_sign == '.' ? ", or declare \"decimal_sign: comma\" for the whole file" : "";
  return text_error(span,
                    fmt::format("{} can be {} or {}: the decimal sign here is the {}", shown,
                                pointed, joined, rules_.decimal_sign == ',' ? "comma" : "point"),
                    fmt::format("write \"{}\" or \"{}\"{}", pointed, joined, declare));
}

tl::unexpected<TextError> QuantityScanner::fraction(std::size_t begin, const std::string& above) {
  ++at_;
  const std::string below(take_digits());
  double numerator = 0;
  double denominator = 0;
  std::from_chars(above.data(), above.data() + above.size(), numerator);
  std::from_chars(below.data(), below.data() + below.size(), denominator);
  // Behind a whole number, "1 1/2", the decimal number is another one.
  const bool is_first = without_blanks_in_front(text_.substr(0, begin)).empty();
  std::string hint = "write a decimal number";
  if (denominator > 0 && is_first) hint += fmt::format(": \"{:.12g}\"", numerator / denominator);
  return text_error({begin, at_}, fmt::format("{} is a fraction", text({begin, at_})), hint);
}

TextSpan QuantityScanner::unit_text() {
  const std::size_t behind_number = at_;
  skip_blanks();
  const std::size_t begin = at_;
  std::size_t end = begin;  // behind the last character that is no blank
  bool after_blank = true;
  while (!at_end()) {
    const std::string_view here = rest();
    const std::size_t blank = blank_length(here);
    if (blank > 0) {
      after_blank = true;
      at_ += blank;
      continue;
    }
    if (ends_unit(here) || (after_blank && (starts_number(here) || starts_word_to(here)))) break;
    after_blank = false;
    end = ++at_;
  }
  at_ = end == begin ? behind_number : end;
  return {begin, end};
}

FromText<ScannedTerm> QuantityScanner::term() {
  const FromText<ScannedNumber> found = number();
  if (!found) return tl::unexpected(found.error());
  ScannedTerm term{*found, unit_text()};
  const std::string_view unit = text(term.unit);
  if (unit == "-") return sign_between(term.number.span, term.unit);
  skip_blanks();
  return term;
}

}  // namespace tautmark
