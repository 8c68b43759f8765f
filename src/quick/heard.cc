// SPDX-License-Identifier: Apache-2.0
#include "quick/heard.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "base/text.h"
#include "geometry/counts.h"
#include "measure/instrument.h"

namespace tautmark::quick {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_word_character(char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; }

bool has_word(std::string_view text, std::string_view word) {
  for (std::size_t at = text.find(word); at != std::string_view::npos;
       at = text.find(word, at + 1)) {
    const std::size_t end = at + word.size();
    const bool begins = at == 0 || !is_word_character(text[at - 1]);
    if (begins && (end == text.size() || !is_word_character(text[end]))) return true;
  }
  return false;
}

// A sentence that begins with a word as typed keeps it: "mm" is a unit, "Mm" is none.
std::string sentence(const TextError& error, std::string_view typed) {
  std::string text = error.problem;
  const std::string_view first_word = std::string_view(text).substr(0, text.find(' '));
  if (!text.empty() && !has_word(typed, first_word)) {
    text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  }
  if (!error.hint.empty()) text += "; " + error.hint;
  return text + ".";
}

// Where an angle is wanted, no length is offered instead.
TextError about_an_angle(TextError error) {
  constexpr std::string_view kNoUnit = " has no unit";
  constexpr std::string_view kLengthExample = "12.5 mm";
  if (error.problem.ends_with(kNoUnit)) {
    const std::string_view problem = error.problem;
    error.hint = fmt::format("write \"{} deg crank\" or \"{} deg cam\"",
                             problem.substr(0, problem.size() - kNoUnit.size()),
                             problem.substr(0, problem.size() - kNoUnit.size()));
  }
  if (const std::size_t at = error.hint.find(kLengthExample); at != std::string::npos)
    error.hint.replace(at, kLengthExample.size(), "12.5 deg crank");
  return error;
}

std::string names_of(Kind kind) {
  std::vector<std::string> names;
  for (const InstrumentType& type : instrument_types()) {
    if (type.kind == kind && type.name != "unknown") names.emplace_back(type.name);
  }
  return joined(names, ", ");
}

// The first run of digits of `text` and what follows it.
struct LeadingCount {
  std::string_view digits;
  std::string_view rest;
};
LeadingCount leading_count(std::string_view text) {
  text = trimmed(text);
  const auto* end = std::find_if_not(text.begin(), text.end(), is_digit);
  const auto length = static_cast<std::size_t>(end - text.begin());
  return {text.substr(0, length), trimmed(text.substr(length))};
}

std::optional<int> as_count(std::string_view digits) {
  const FromText<long long> number = read_integer(digits);
  if (!number || *number < 0 || *number > kMostTeeth) return std::nullopt;
  return static_cast<int>(*number);
}

// Removes every occurrence of a whole word.
bool take_word(std::string& text, std::string_view word) {
  const std::string lower = lower_ascii(text);
  for (std::size_t at = lower.find(word); at != std::string::npos; at = lower.find(word, at + 1)) {
    const std::size_t end = at + word.size();
    const bool begins = at == 0 || !is_word_character(lower[at - 1]);
    const bool ends = end == lower.size() || !is_word_character(lower[end]);
    if (!begins || !ends) continue;
    text.erase(at, word.size());
    return true;
  }
  return false;
}

}  // namespace

std::string_view Heard::text(std::string_view input) const {
  const auto found = typed_.find(input);
  return found == typed_.end() ? std::string_view{} : trimmed(found->second);
}

Ask Heard::ask(std::string_view input) const {
  const Input* row = find_input(question_, input);
  return ask(input, row == nullptr ? std::string{} : std::string(row->ask));
}

Ask Heard::ask(std::string_view input, std::string sentence) const {
  const Input* row = find_input(question_, input);
  return Ask{.input = std::string(input),
             .sentence = std::move(sentence),
             .example = row == nullptr ? std::string{} : std::string(row->example),
             .choices = row == nullptr ? std::string{} : std::string(row->choices)};
}

Ask Heard::ask(std::string_view input, const TextError& error) const {
  return ask(input, sentence(error, text(input)));
}

Said<AnyQuantity> Heard::quantity(std::string_view input, Kind kind) const {
  const FromText<AnyQuantity> read = read_quantity(text(input), kind);
  if (!read) return tl::make_unexpected(ask(input, read.error()));
  return *read;
}

Ask Heard::ask_instrument(std::string_view instrument, Kind kind) const {
  return ask(instrument,
             fmt::format("{} Known for a {}: {}. Say \"unknown\" and "
                         "a cautious uncertainty is taken, or write the value with its ±.",
                         ask(instrument).sentence, kind_name(kind), names_of(kind)));
}

Said<Reading> Heard::reading(std::string_view input, Kind kind, std::string_view instrument) const {
  const std::string_view typed = text(input);
  const bool has_spread = typed.find("±") != std::string_view::npos ||
                          typed.find("+/-") != std::string_view::npos ||
                          typed.find("+-") != std::string_view::npos;
  if (has_spread) {
    const FromText<AnyMeasured> read = read_measured(typed, kind);
    if (!read) return tl::make_unexpected(ask(input, read.error()));
    Reading result{
        .value = read->value.si, .unit = read->value.unit, .u = {}, .how = {}, .assumed = {}};
    result.decimals = read->value.decimals;
    if (read->expanded_si) result.u = *read->expanded_si / read->coverage;
    result.how = "as typed";
    if (!read->coverage_said) result.assumed = "the ± as typed is an expanded uncertainty, k = 2";
    return result;
  }

  const FromText<AnyList> read = read_list(typed, kind);
  if (!read) return tl::make_unexpected(ask(input, read.error()));
  std::vector<double> values;
  Reading result{.unit = read->values.front().unit, .u = {}, .how = {}, .assumed = {}};
  double sum = 0;
  for (const AnyQuantity& value : read->values) {
    values.push_back(value.si);
    sum += value.si;
    result.decimals = std::max(result.decimals, value.decimals);
  }
  result.n = static_cast<int>(values.size());
  result.value = sum / result.n;
  result.how = result.n == 1 ? "one reading" : fmt::format("mean of {} readings", result.n);
  if (!has(instrument)) return result;

  const Result<InstrumentType> type = instrument_type(folded(text(instrument)), kind);
  if (!type) {
    return tl::make_unexpected(ask(
        instrument, fmt::format("No instrument is called \"{}\" here. Known for a {}: {}, unknown.",
                                text(instrument), kind_name(kind), names_of(kind))));
  }
  const Result<InstrumentType> here = instrument_at(*type, result.value);
  if (!here) return tl::make_unexpected(ask(instrument, here.error().why + "."));
  const Result<ReadingResult> budgeted = reading_result(values, *here);
  if (!budgeted) return tl::make_unexpected(ask(input, budgeted.error().why + "."));
  result.value = budgeted->value;
  result.u = budgeted->budget.u;
  result.nu = budgeted->budget.nu;
  result.repeat_sd = budgeted->repeat_sd;
  result.how += fmt::format(", {}", type->name);
  result.assumed = fmt::format(
      "{}: ± {} for the gauge (k = 2) is a program default of no maker; its certificate decides",
      type->name,
      quantity_text(here->expanded_U, *result.unit, decimals_for(here->expanded_U, *result.unit)));
  return result;
}

Said<int> Heard::count(std::string_view input) const {
  const LeadingCount found = leading_count(text(input));
  const std::optional<int> number = as_count(found.digits);
  const bool only_words = std::all_of(found.rest.begin(), found.rest.end(),
                                      [](char c) { return is_word_character(c) || c == ' '; });
  if (!number || !only_words) {
    return tl::make_unexpected(
        ask(input, fmt::format("\"{}\" is no count: a whole number is wanted.", text(input))));
  }
  return *number;
}

Said<std::vector<int>> Heard::counts(std::string_view input) const {
  std::vector<int> result;
  std::string_view rest = text(input);
  while (!rest.empty()) {
    const LeadingCount found = leading_count(rest);
    const std::optional<int> number = as_count(found.digits);
    // "61.5" is no count, and must not be read as two. A comma is no decimal sign between counts.
    const bool has_decimals =
        found.rest.size() > 1 && found.rest[0] == '.' && is_digit(found.rest[1]);
    if (!number || has_decimals) {
      return tl::make_unexpected(
          ask(input, fmt::format("\"{}\" is no list of counts: whole numbers with blanks between "
                                 "them are wanted.",
                                 text(input))));
    }
    result.push_back(*number);
    rest = found.rest;
    const std::size_t next = rest.find_first_not_of(",;+/ ");
    rest = next == std::string_view::npos ? std::string_view{} : rest.substr(next);
  }
  return result;
}

Said<std::size_t> Heard::choice(std::string_view input) const {
  const Input* row = find_input(question_, input);
  const std::vector<std::string> choices = split(row == nullptr ? "" : row->choices, '|');
  const std::string said = folded(text(input));
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < choices.size(); ++i) {
    if (choices[i] == said) return i;
    if (!said.empty() && choices[i].starts_with(said)) found.push_back(i);
  }
  if (found.size() == 1) return found.front();
  return tl::make_unexpected(
      ask(input, fmt::format("\"{}\" is none of: {}. {}", text(input), joined(choices, ", "),
                             row == nullptr ? "" : row->ask)));
}

Said<SaidAngle> Heard::as_crank(std::string_view input, std::string_view which,
                                const AnyQuantity& typed) const {
  std::optional<bool> is_cam;
  if (has(which)) {
    const Said<std::size_t> chosen = choice(which);
    if (!chosen) return tl::make_unexpected(chosen.error());
    is_cam = *chosen == 1;
  }
  const bool says_crank = typed.kind == Kind::crank_angle;
  const bool says_cam = typed.kind == Kind::cam_angle;
  if (!says_crank && !says_cam && typed.kind != Kind::angle) {
    return tl::make_unexpected(
        ask(input, fmt::format("\"{}\" is a {}; an angle in degrees is wanted.", text(input),
                               kind_name(typed.kind))));
  }
  if (is_cam && (says_crank || says_cam) && *is_cam != says_cam) {
    return tl::make_unexpected(
        ask(which, fmt::format("\"{}\" and \"{}\" contradict each other. {}", text(input),
                               text(which), ask(which).sentence)));
  }
  if (says_crank || says_cam) is_cam = says_cam;
  if (!is_cam) {
    return tl::make_unexpected(
        ask(which, fmt::format("{} One cam degree is two crank degrees.", ask(which).sentence)));
  }
  if (typed.si < 0) {
    return tl::make_unexpected(
        ask(input, fmt::format("\"{}\" has a sign, and people use both signs for late: say the "
                               "degrees without it, and the direction in words.",
                               text(input))));
  }
  SaidAngle result{.was_cam = *is_cam, .decimals = typed.decimals};
  result.degrees = in_deg(Angle::from_si(typed.si));
  result.crank = *is_cam ? to_crank(CamAngle::from_si(typed.si)) : CrankAngle::from_si(typed.si);
  return result;
}

Said<SaidAngle> Heard::angle(std::string_view input, std::string_view which) const {
  std::string plain(text(input));
  take_early_late(plain);
  const FromText<AnyQuantity> read = read_quantity(trimmed(plain), std::nullopt);
  if (!read) {
    if (read_number(trimmed(plain))) {
      return tl::make_unexpected(
          ask(input, fmt::format("{} what? Say degrees, and crank or cam.", trimmed(plain))));
    }
    return tl::make_unexpected(ask(input, about_an_angle(read.error())));
  }
  return as_crank(input, which, *read);
}

Said<std::vector<SaidAngle>> Heard::angles(std::string_view input, std::string_view which) const {
  // People write pairs as 70.6/174.4, and commas between them: one list for the reader.
  std::string plain(text(input));
  std::replace(plain.begin(), plain.end(), '/', ' ');
  for (std::size_t i = 0; i + 1 < plain.size(); ++i) {
    if ((plain[i] == ',' || plain[i] == ';') && plain[i + 1] == ' ') plain[i] = ' ';
  }
  const FromText<AnyList> read = read_list(plain, std::nullopt);
  if (!read) return tl::make_unexpected(ask(input, about_an_angle(read.error())));
  std::vector<SaidAngle> result;
  for (const AnyQuantity& value : read->values) {
    const Said<SaidAngle> one = as_crank(input, which, value);
    if (!one) return tl::make_unexpected(one.error());
    result.push_back(*one);
  }
  return result;
}

std::optional<EarlyLate> take_early_late(std::string& text) {
  bool is_late = false;
  bool is_early = false;
  for (const std::string_view word : {"late", "retarded", "retard"})
    is_late |= take_word(text, word);
  for (const std::string_view word : {"early", "advanced", "advance"}) {
    is_early |= take_word(text, word);
  }
  if (is_late == is_early) return std::nullopt;
  return is_late ? EarlyLate::late : EarlyLate::early;
}

}  // namespace tautmark::quick
