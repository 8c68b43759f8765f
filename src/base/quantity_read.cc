// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <system_error>
#include <utility>
#include <vector>

#include "base/quantity_scan.h"
#include "base/quantity_text.h"
#include "base/text.h"

namespace tautmark {
namespace {

// A coverage factor outside is a confidence level or a slip: 2 is usual, and Student's t for one
// degree of freedom at 95.45 % is 13.97 (JCGM 100:2008, Table G.2).
constexpr double kSmallestCoverage = 1;
constexpr double kLargestCoverage = 14;

std::string_view one_value(const QuantityScanner& scanner) {
  return scanner.at_number() ? "one value is wanted here, and digits are not grouped"
                             : "one value is wanted here";
}

// The kind of the part behind ±: two temperatures differ by a temperature difference.
Kind difference_kind(Kind kind) {
  return kind == Kind::temperature ? Kind::temperature_difference : kind;
}

// "(k 2)" or "(k=2)" when it stands here.
FromText<std::optional<double>> coverage(QuantityScanner& scanner) {
  const std::size_t begin = scanner.position();
  if (!scanner.take("(")) return std::nullopt;
  const auto problem = [&](std::string what) {
    return text_error({begin, scanner.text().size()}, std::move(what), "write \"(k 2)\"");
  };
  if (!scanner.take("k") && !scanner.take("K")) return problem("a coverage factor is wanted here");
  scanner.take("=");
  const FromText<ScannedNumber> k = scanner.number();
  if (!k) return tl::unexpected(k.error());
  scanner.skip_blanks();
  if (!scanner.take(")")) return problem("the parenthesis is not closed");
  if (k->number < kSmallestCoverage || k->number > kLargestCoverage) {
    return problem(fmt::format("a coverage factor lies between {} and {}, not at {}",
                               kSmallestCoverage, kLargestCoverage, scanner.text(k->span)));
  }
  return k->number;
}

}  // namespace

bool take_plus_minus(QuantityScanner& scanner) {
  return scanner.take("±") || scanner.take("+/-") || scanner.take("+-");
}

FromText<ValueAndSpread> value_and_spread(QuantityScanner& scanner, const ScannedTerm& first,
                                          std::optional<Kind> wanted) {
  const FromText<ScannedTerm> second = scanner.term();
  if (!second) return tl::unexpected(second.error());
  if (second->unit.empty() && !first.unit.empty()) {
    return text_error(
        second->number.span, fmt::format("{} has no unit", scanner.text(second->number.span)),
        fmt::format("write {}", in_quotes(fmt::format("{} ± {} {}", scanner.text(first.number.span),
                                                      scanner.text(second->number.span),
                                                      scanner.text(first.unit)))));
  }
  if (second->unit.empty()) {
    return scanner.no_unit({first.number.span.begin, second->number.span.end});
  }
  const TextSpan value_unit = first.unit.empty() ? second->unit : first.unit;
  const FromText<const Unit*> unit = scanner.unit(first, value_unit, wanted);
  if (!unit) return tl::unexpected(unit.error());
  const FromText<AnyQuantity> value = scanner.value(first, **unit);
  if (!value) return tl::unexpected(value.error());
  const FromText<const Unit*> spread_unit =
      scanner.unit(*second, second->unit, difference_kind((*unit)->kind));
  if (!spread_unit) return tl::unexpected(spread_unit.error());
  const FromText<AnyQuantity> spread = scanner.value(*second, **spread_unit);
  if (!spread) return tl::unexpected(spread.error());
  if (spread->si < 0) {
    return text_error(second->number.span, "the part behind ± is negative",
                      fmt::format("write \"± {} {}\"",
                                  number_text(-second->number.number, second->number.decimals),
                                  (*spread_unit)->symbol));
  }
  return ValueAndSpread{*value, *spread, first, *second};
}

FromText<AnyQuantity> read_quantity(std::string_view text, std::optional<Kind> wanted,
                                    const TextRules& rules) {
  QuantityScanner scanner(text, wanted, rules);
  const FromText<ScannedTerm> term = scanner.term();
  if (!term) return tl::unexpected(term.error());
  if (!scanner.at_end()) return scanner.left_over(term->span(), one_value(scanner));
  if (term->unit.empty()) return scanner.no_unit(term->number.span);
  const FromText<const Unit*> unit = scanner.unit(*term, term->unit, wanted);
  if (!unit) return tl::unexpected(unit.error());
  return scanner.value(*term, **unit);
}

FromText<AnyMeasured> read_measured(std::string_view text, std::optional<Kind> wanted,
                                    const TextRules& rules) {
  QuantityScanner scanner(text, wanted, rules);
  const FromText<ScannedTerm> term = scanner.term();
  if (!term) return tl::unexpected(term.error());
  if (scanner.at_end()) {
    const FromText<AnyQuantity> value = read_quantity(text, wanted, rules);
    if (!value) return tl::unexpected(value.error());
    return AnyMeasured{.value = *value, .expanded_si = {}};
  }
  if (!take_plus_minus(scanner)) {
    const bool is_coverage = scanner.rest().starts_with('(');
    return scanner.left_over(
        term->span(), is_coverage ? "a coverage factor needs a ± before it" : one_value(scanner));
  }
  const FromText<ValueAndSpread> all = value_and_spread(scanner, *term, wanted);
  if (!all) return tl::unexpected(all.error());
  if (!(all->spread.si > 0)) {
    return text_error(all->spread_term.number.span, "an uncertainty of zero is no measurement",
                      "leave out the part behind ± when the uncertainty is not known");
  }
  const FromText<std::optional<double>> k = coverage(scanner);
  if (!k) return tl::unexpected(k.error());
  const TextSpan span{term->number.span.begin, all->spread_term.span().end};
  if (!scanner.at_end()) {
    return scanner.left_over(span, "only a coverage factor such as \"(k 2)\" may follow");
  }
  AnyMeasured measured{.value = all->value, .expanded_si = all->spread.si};
  measured.coverage = k->value_or(measured.coverage);
  measured.coverage_said = k->has_value();
  return measured;
}

FromText<AnyList> read_list(std::string_view text, std::optional<Kind> wanted,
                            const TextRules& rules) {
  QuantityScanner scanner(text, wanted, rules);
  std::vector<ScannedTerm> terms;
  do {
    const FromText<ScannedTerm> term = scanner.term();
    if (!term) return tl::unexpected(term.error());
    terms.push_back(*term);
    if (scanner.at_end()) break;
    const std::size_t comma = scanner.position();
    if (scanner.take(",")) {
      if (scanner.position() == comma + 1 && scanner.at_number()) {
        return text_error({comma, comma + 1}, "a comma between values is followed by a blank",
                          "write \", \" or \";\"");
      }
    } else if (!scanner.take(";") && !scanner.at_number()) {
      return scanner.left_over(term->span(), "a list holds values only");
    }
  } while (true);

  const ScannedTerm& last = terms.back();
  if (last.unit.empty()) return scanner.no_unit(last.number.span);
  const auto has_unit = [](const ScannedTerm& term) { return !term.unit.empty(); };
  const bool one_for_all = std::none_of(terms.begin(), terms.end() - 1, has_unit);
  AnyList list;
  for (const ScannedTerm& term : terms) {
    if (!one_for_all && term.unit.empty()) return scanner.no_unit(term.number.span);
    const std::optional<Kind> kind = list.values.empty() ? wanted : list.kind;
    const FromText<const Unit*> unit =
        scanner.unit(term, one_for_all ? last.unit : term.unit, kind);
    if (!unit) return tl::unexpected(unit.error());
    const FromText<AnyQuantity> value = scanner.value(term, **unit);
    if (!value) return tl::unexpected(value.error());
    list.kind = value->kind;
    list.values.push_back(*value);
  }
  return list;
}

FromText<double> read_number(std::string_view text, const TextRules& rules) {
  QuantityScanner scanner(text, std::nullopt, rules);
  if (scanner.at_end()) return text_error({0, text.size()}, "empty: a number is wanted", "");
  FromText<ScannedNumber> number = scanner.number();
  if (!number) {
    if (number.error().hint.starts_with("write a number and a unit")) number.error().hint.clear();
    return tl::unexpected(number.error());
  }
  scanner.skip_blanks();
  if (!scanner.at_end()) return scanner.left_over(number->span, "a plain number is wanted");
  return number->number;
}

FromText<long long> read_integer(std::string_view text) {
  const std::string_view body = trimmed(text);
  const auto begin = static_cast<std::size_t>(body.data() - text.data());
  if (body.empty()) return text_error({0, text.size()}, "empty: a whole number is wanted");
  const TextSpan span{begin, begin + body.size()};
  const bool has_plus = body.size() > 1 && body[0] == '+' && body[1] != '-';
  const std::string_view digits = has_plus ? body.substr(1) : body;
  long long value = 0;
  const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  if (read.ec == std::errc::result_out_of_range) {
    return text_error(span, fmt::format("{} is too large", in_quotes(body)));
  }
  if (read.ec != std::errc() || read.ptr != digits.data() + digits.size()) {
    return text_error(span, fmt::format("a whole number is wanted, not {}", in_quotes(body)));
  }
  return value;
}

}  // namespace tautmark
