// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <initializer_list>
#include <string>

#include "base/quantity_scan.h"
#include "base/quantity_text.h"
#include "base/text.h"

namespace tautmark {
namespace {

// Beyond these decimals only the noise of the conversion is left.
constexpr int kExactDecimals = 12;
constexpr double kNoise = 1e-6;

enum class End { none, lower, upper, refused_lower, refused_upper };

End take_one_sided(QuantityScanner& scanner) {
  const auto any_words = [&](std::initializer_list<std::string_view> all) {
    return std::any_of(all.begin(), all.end(),
                       [&](std::string_view words) { return scanner.take_words(words); });
  };
  if (scanner.take(">=") || scanner.take("≥")) return End::lower;
  if (scanner.take("<=") || scanner.take("≤")) return End::upper;
  if (any_words({"at least", "min.", "min", "minimum"})) return End::lower;
  if (any_words({"at most", "max.", "max", "maximum"})) return End::upper;
  if (scanner.take(">")) return End::refused_lower;
  if (scanner.take("<")) return End::refused_upper;
  if (any_words({"above", "over", "more than", "greater than"})) return End::refused_lower;
  if (any_words({"below", "under", "less than", "up to"})) return End::refused_upper;
  return End::none;
}

FromText<AnyInterval> one_sided(QuantityScanner& scanner, End end, std::size_t begin,
                                std::optional<Kind> wanted) {
  const TextSpan word{begin, scanner.position()};
  if (end == End::refused_lower || end == End::refused_upper) {
    const bool is_lower = end == End::refused_lower;
    return text_error(
        {word.begin, word.begin + trimmed(scanner.text(word)).size()},
        fmt::format("{} leaves the end itself open: limits here include it",
                    in_quotes(trimmed(scanner.text(word)))),
        fmt::format("write {}", in_quotes(fmt::format("at {} {}", is_lower ? "least" : "most",
                                                      trimmed(scanner.rest())))));
  }
  const FromText<ScannedTerm> term = scanner.term();
  if (!term) return tl::unexpected(term.error());
  if (term->unit.empty()) return scanner.no_unit(term->number.span);
  const FromText<const Unit*> unit = scanner.unit(*term, term->unit, wanted);
  if (!unit) return tl::unexpected(unit.error());
  const FromText<AnyQuantity> value = scanner.value(*term, **unit);
  if (!value) return tl::unexpected(value.error());
  if (!scanner.at_end()) {
    return scanner.left_over(term->span(), "one end is wanted here; for two write \"a..b\"");
  }
  AnyInterval interval{.kind = value->kind,
                       .lower_si = {},
                       .upper_si = {},
                       .unit = *unit,
                       .decimals = value->decimals};
  (end == End::lower ? interval.lower_si : interval.upper_si) = value->si;
  return interval;
}

bool fits_decimals(double number, int decimals) {
  const double scaled = number * std::pow(10, decimals);
  return std::fabs(scaled - std::round(scaled)) <= kNoise;
}

// The end of "a ± b". When both were typed in one unit the end is what a person would have typed:
// 27.97 ± 0.01 mm ends at the same number as 27.96..27.98 mm.
double end_si(const ValueAndSpread& all, double direction, int decimals) {
  const Unit& unit = *all.value.unit;
  const Unit& spread_unit = *all.spread.unit;
  const double si = all.value.si + direction * all.spread.si;
  if (unit.symbol != spread_unit.symbol) return si;
  const double number = all.value_term.number.number + direction * all.spread_term.number.number;
  if (decimals > kExactDecimals) return to_si(number, unit);
  const std::string text = number_text(number, decimals);
  double typed = number;
  std::from_chars(text.data(), text.data() + text.size(), typed);
  return to_si(typed, unit);
}

// A spread in a finer unit needs more decimals than were typed: 27.98 mm ± 3 um. One in a unit of
// another system may need any number of them; then three more than typed will do.
int decimals_shown(double lower_si, double upper_si, const Unit& unit, int typed) {
  for (int decimals = typed; decimals <= kExactDecimals; ++decimals) {
    if (fits_decimals(from_si(lower_si, unit), decimals) &&
        fits_decimals(from_si(upper_si, unit), decimals)) {
      return decimals;
    }
  }
  return typed + 3;
}

FromText<AnyInterval> around(QuantityScanner& scanner, const ScannedTerm& first,
                             std::optional<Kind> wanted) {
  const FromText<ValueAndSpread> all = value_and_spread(scanner, first, wanted);
  if (!all) return tl::unexpected(all.error());
  const TextSpan span{first.number.span.begin, all->spread_term.span().end};
  if (!scanner.at_end()) return scanner.left_over(span, "nothing is wanted behind an interval");
  const Unit& unit = *all->value.unit;
  const int decimals = std::max(all->value.decimals, all->spread.decimals);
  const double lower = end_si(*all, -1, decimals);
  const double upper = end_si(*all, 1, decimals);
  if (!std::isfinite(lower) || !std::isfinite(upper)) return text_error(span, "it is too large");
  if (unit.kind == Kind::temperature && lower < 0) {
    return text_error(span, "the lower end is below absolute zero");
  }
  return AnyInterval{unit.kind, lower, upper, &unit, decimals_shown(lower, upper, unit, decimals)};
}

FromText<AnyInterval> from_to(QuantityScanner& scanner, const ScannedTerm& first,
                              std::optional<Kind> wanted) {
  const FromText<ScannedTerm> second = scanner.term();
  if (!second) return tl::unexpected(second.error());
  const TextSpan span{first.number.span.begin, second->span().end};
  const std::string_view a = scanner.text(first.number.span);
  const std::string_view b = scanner.text(second->number.span);
  if (second->unit.empty()) {
    if (first.unit.empty()) return scanner.no_unit(span);
    return text_error(second->number.span, fmt::format("{} has no unit", b),
                      fmt::format("write {}", in_quotes(fmt::format("{}..{} {}", a, b,
                                                                    scanner.text(first.unit)))));
  }
  const FromText<const Unit*> upper_unit = scanner.unit(*second, second->unit, wanted);
  if (!upper_unit) return tl::unexpected(upper_unit.error());
  const Unit& unit = **upper_unit;
  if (!first.unit.empty()) {
    const FromText<const Unit*> lower_unit = scanner.unit(first, first.unit, wanted);
    if (!lower_unit) return tl::unexpected(lower_unit.error());
    if (*lower_unit != &unit) {
      return text_error(
          span,
          fmt::format("the ends have two units, {} and {}", (*lower_unit)->symbol, unit.symbol),
          "write both ends in the same unit");
    }
  }
  const FromText<AnyQuantity> lower = scanner.value(first, unit);
  if (!lower) return tl::unexpected(lower.error());
  const FromText<AnyQuantity> upper = scanner.value(*second, unit);
  if (!upper) return tl::unexpected(upper.error());
  if (lower->si > upper->si) {
    return text_error(span, fmt::format("the interval is reversed: {} is more than {}", a, b),
                      fmt::format("write \"{}..{} {}\"", b, a, unit.symbol));
  }
  if (!scanner.at_end()) return scanner.left_over(span, "nothing is wanted behind an interval");
  return AnyInterval{unit.kind, lower->si, upper->si, &unit,
                     std::max(lower->decimals, upper->decimals)};
}

}  // namespace

FromText<AnyInterval> read_interval(std::string_view text, std::optional<Kind> wanted,
                                    const TextRules& rules) {
  QuantityScanner scanner(text, wanted, rules);
  const std::size_t begin = scanner.position();
  const End end = take_one_sided(scanner);
  if (end != End::none) return one_sided(scanner, end, begin, wanted);
  const FromText<ScannedTerm> first = scanner.term();
  if (!first) return tl::unexpected(first.error());
  if (take_plus_minus(scanner)) return around(scanner, *first, wanted);
  if (scanner.take("..") || scanner.take("–") || scanner.take_words("to")) {
    return from_to(scanner, *first, wanted);
  }
  if (!scanner.at_end()) {
    return scanner.left_over(first->span(), "an interval is written \"a..b\" with one unit");
  }
  if (first->unit.empty()) return scanner.no_unit(first->number.span);
  const FromText<const Unit*> unit = scanner.unit(*first, first->unit, wanted);
  if (!unit) return tl::unexpected(unit.error());
  const std::string_view value = scanner.text(first->span());
  const std::string_view number = scanner.text(first->number.span);
  const std::string_view symbol = (*unit)->symbol;
  return text_error(
      first->span(), fmt::format("{} is one value; an interval is wanted", value),
      fmt::format("write \"at least {}\", \"at most {}\", \"{} ± b {}\" or \"a..b {}\"", value,
                  value, number, symbol, symbol));
}

}  // namespace tautmark
