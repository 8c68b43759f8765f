// SPDX-License-Identifier: Apache-2.0
// What is said about a text that is not a quantity: the unit that does not fit, what is missing,
// what is left over, and what can be typed instead.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "base/quantity_scan.h"
#include "base/text.h"

namespace tautmark {
namespace {

std::string plain_number(double number) { return fmt::format("{:.12g}", number); }

std::vector<std::string> symbols_of(Kind kind) {
  std::vector<std::string> symbols;
  for (const Unit& unit : units_of(kind)) symbols.emplace_back(unit.symbol);
  return symbols;
}

// The unit close to what was typed. One of another kind would not help.
std::optional<std::string> nearest_unit(std::string_view word, std::optional<Kind> wanted) {
  std::vector<std::string> spellings;
  for (int i = 0; i < kKindCount; ++i) {
    const auto kind = static_cast<Kind>(i);
    if (wanted && kind != *wanted) continue;
    for (const Unit& unit : units_of(kind)) {
      spellings.emplace_back(unit.symbol);
      for (const std::string_view spelling : unit.spellings) spellings.emplace_back(spelling);
    }
  }
  const std::optional<std::string> near = nearest(word, spellings);
  if (!near) return std::nullopt;
  return std::string(units_spelled(*near).front()->symbol);
}

// What can be typed instead of a spelling that is asked back.
// No number is offered that would be a guess.
std::string ask_back_hint(std::string_view number, double value, std::string_view spelling,
                          std::optional<Kind> wanted) {
  const std::string word = lower_ascii(spelling);
  const auto one = [&](std::string_view unit) {
    return fmt::format("write \"{} {}\"", number, unit);
  };
  const auto either = [&](std::string_view a, std::string_view b) {
    return fmt::format("{} or \"{} {}\"", one(a), number, b);
  };
  if (word.starts_with("t") && word.find("th") != std::string::npos) {
    if (!word.starts_with("tenth")) return {};  // teeth
    return fmt::format("write \"{} in\" or \"{} mm\"", plain_number(value / 1e4),
                       plain_number(value / 10));
  }
  const std::string_view turn = word.starts_with("rad") ? "rad" : "deg";
  if (wanted == Kind::crank_angle) {
    return fmt::format("write \"{} {} crank\", or \"{} {} crank\" when it was read at the cam",
                       number, turn, plain_number(2 * value), turn);
  }
  if (wanted == Kind::cam_angle) {
    return fmt::format("write \"{} {} cam\", or \"{} {} cam\" when it was read at the crank",
                       number, turn, plain_number(value / 2), turn);
  }
  if (wanted == Kind::temperature || wanted == Kind::temperature_difference) {
    return either("degC", "degF");
  }
  if (word.starts_with("mil")) return either("thou", "mm");
  if (word.find("ca") != std::string::npos) return either("deg crank", "deg cam");
  const bool is_metric = word.starts_with('k');
  if (wanted == Kind::pressure) return one(is_metric ? "kgf/cm²" : "psi");
  if (wanted == Kind::force) return one(is_metric ? "kgf" : "lbf");
  return is_metric ? either("kgf·m", "kgf·cm") : either("lbf·in", "lbf·ft");
}

}  // namespace

tl::unexpected<TextError> text_error(TextSpan span, std::string problem, std::string hint) {
  return tl::unexpected<TextError>(
      TextError{span.begin, span.end - span.begin, std::move(problem), std::move(hint)});
}

std::string a_kind(std::optional<Kind> kind) {
  if (!kind) return "a quantity";
  const std::string_view name = kind_name(*kind);
  return fmt::format("{} {}", name.starts_with('a') ? "an" : "a", name);
}

std::string in_quotes(std::string_view text) {
  constexpr std::size_t kMostBytes = 40;
  std::string shown = "\"";
  for (std::string_view rest = text; !rest.empty();) {
    if (text.size() - rest.size() >= kMostBytes) {
      shown += "...";
      break;
    }
    const std::size_t bad = first_invalid_utf8(rest).value_or(rest.size());
    const bool is_control = static_cast<unsigned char>(rest[0]) < 0x20 || rest[0] == 0x7F;
    if (bad == 0 || is_control) {
      shown += '?';
      rest.remove_prefix(1);
      continue;
    }
    std::size_t length = 1;  // to the next lead byte
    while (length < rest.size() && (static_cast<unsigned char>(rest[length]) & 0xC0U) == 0x80U) {
      ++length;
    }
    length = std::min(length, bad);
    shown += rest.substr(0, length);
    rest.remove_prefix(length);
  }
  return shown + '"';
}

tl::unexpected<TextError> QuantityScanner::no_number() const {
  const Kind example = wanted_.value_or(Kind::length);
  const std::string hint = fmt::format("write a number and a unit, for example \"{} {}\"", 12.5,
                                       default_unit(example).symbol);
  if (trimmed(text_).empty()) {
    return text_error({0, text_.size()}, fmt::format("empty: {} is wanted", a_kind(wanted_)), hint);
  }
  if (at_end()) {
    return text_error({at_, at_}, "a number is missing at the end", hint);
  }
  return text_error({at_, text_.size()},
                    fmt::format("a number is wanted, not {}", in_quotes(rest())), hint);
}

tl::unexpected<TextError> QuantityScanner::no_unit(TextSpan span) const {
  const std::string_view typed = text(span);
  const std::string_view unit = default_unit(wanted_.value_or(Kind::length)).symbol;
  return text_error(span, fmt::format("{} has no unit", typed),
                    fmt::format("write {}\"{} {}\"",
                                wanted_ ? "" : "it behind the number, such as ", typed, unit));
}

FromText<const Unit*> QuantityScanner::unit(const ScannedTerm& term, TextSpan unit_text,
                                            std::optional<Kind> kind) const {
  const std::string_view spelling = text(unit_text);
  const std::string_view number = text(term.number.span);
  if (const std::string_view question = ask_back(spelling, kind); !question.empty()) {
    return text_error(unit_text, std::string(question),
                      ask_back_hint(number, term.number.number, spelling, kind));
  }
  const std::span<const Unit* const> units = units_spelled(spelling);
  if (units.empty()) {
    std::string hint;
    if (const std::optional<std::string> near = nearest_unit(spelling, kind)) {
      hint = fmt::format("did you mean \"{} {}\"?", number, *near);
    } else if (kind) {
      hint = fmt::format("the units are {}", joined(symbols_of(*kind), ", "));
    }
    const std::string of_kind = kind ? fmt::format(" of {}", kind_name(*kind)) : "";
    return text_error(unit_text, fmt::format("{} is not a unit{}", in_quotes(spelling), of_kind),
                      hint);
  }
  if (!kind) return units.front();  // a temperature point comes before a difference
  const auto fits = std::find_if(units.begin(), units.end(),
                                 [&](const Unit* unit) { return unit->kind == *kind; });
  if (fits != units.end()) return *fits;

  const Unit& other = *units.front();
  std::string hint = fmt::format("the units are {}", joined(symbols_of(*kind), ", "));
  if (other.kind == Kind::cam_angle && *kind == Kind::crank_angle) {
    hint = fmt::format("one cam degree is two crank degrees: \"{} deg crank\"",
                       plain_number(2 * to_si(term.number.number, other) / kRadiansPerDegree));
  }
  if (other.kind == Kind::crank_angle && *kind == Kind::cam_angle) {
    hint = fmt::format("one cam degree is two crank degrees: \"{} deg cam\"",
                       plain_number(to_si(term.number.number, other) / kRadiansPerDegree / 2));
  }
  return text_error(
      unit_text, fmt::format("{} is {}; {} is wanted", spelling, a_kind(other.kind), a_kind(kind)),
      hint);
}

FromText<AnyQuantity> QuantityScanner::value(const ScannedTerm& term, const Unit& unit) const {
  const double si = to_si(term.number.number, unit);
  if (!std::isfinite(si)) {
    return text_error(term.span(), fmt::format("{} is too large", in_quotes(text(term.span()))));
  }
  if (unit.kind == Kind::temperature && si < 0) {
    return text_error(term.span(),
                      fmt::format("{} {} is below absolute zero, {} {}", text(term.number.span),
                                  unit.symbol, plain_number(from_si(0, unit)), unit.symbol));
  }
  return AnyQuantity{unit.kind, si, &unit, term.number.decimals};
}

tl::unexpected<TextError> QuantityScanner::left_over(TextSpan behind, std::string_view what) {
  const TextSpan here{at_, text_.size()};
  const std::string_view found = trimmed(rest());
  if (at_number()) {
    const FromText<ScannedNumber> second = number();
    if (!second) return tl::unexpected(second.error());
  }
  return text_error(
      {here.begin, here.begin + found.size()},
      fmt::format("{} behind {}: {}", in_quotes(found), in_quotes(text(behind)), what));
}

tl::unexpected<TextError> QuantityScanner::sign_between(TextSpan number, TextSpan sign) const {
  const std::string_view behind = trimmed(text_.substr(sign.end));
  return text_error(sign,
                    fmt::format("a sign behind {}: it can be a minus or mean \"to\"", text(number)),
                    fmt::format("for an interval write {}",
                                in_quotes(fmt::format("{}..{}", text(number), behind))));
}

}  // namespace tautmark
