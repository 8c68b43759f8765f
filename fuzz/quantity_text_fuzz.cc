// SPDX-License-Identifier: Apache-2.0
// Quantities as people write them: one value, with ±, an interval, a list. The first byte chooses
// the kind that is wanted and the decimal sign.
#include <cmath>
#include <cstdint>

#include "base/quantity_text.h"
#include "fuzz_check.h"

using namespace tautmark;

namespace {

template <class T>
bool is_accepted(const FromText<T>& value, std::string_view text) {
  if (value) return true;
  const TextError& error = value.error();
  fuzz::require(!error.problem.empty(), "rejected without a problem");
  fuzz::require(error.offset <= text.size() && error.length <= text.size() - error.offset,
                "a place outside the text");
  if (!first_invalid_utf8(text)) {
    fuzz::require(!first_invalid_utf8(error.problem), "a problem that is no text", error.problem);
    fuzz::require(!first_invalid_utf8(error.hint), "a hint that is no text", error.hint);
  }
  return false;
}

void check(const AnyQuantity& value, std::optional<Kind> wanted) {
  fuzz::require(value.unit != nullptr && value.unit->kind == value.kind,
                "a value without its unit");
  fuzz::require(std::isfinite(value.si), "a value that is no number");
  fuzz::require(!wanted || value.kind == *wanted, "another kind than is wanted");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  const TextRules rules{(data[0] & 0x80U) != 0 ? ',' : '.'};
  const int number = data[0] & 0x7FU;
  std::optional<Kind> wanted;
  if (number < kKindCount) wanted = static_cast<Kind>(number);
  const std::string_view text(reinterpret_cast<const char*>(data) + 1, size - 1);

  if (const auto value = read_quantity(text, wanted, rules); is_accepted(value, text)) {
    check(*value, wanted);
    // What is printed reads back to the same value.
    const std::string shown = quantity_text(value->si, *value->unit);
    const auto again = read_quantity(shown, value->kind);
    fuzz::require(again.has_value(), "what was printed is not readable", shown);
    fuzz::require(std::abs(again->si - value->si) <= 1e-12 * std::abs(value->si) + 1e-15,
                  "what was printed is another value", shown);
  }
  if (const auto value = read_measured(text, wanted, rules); is_accepted(value, text)) {
    check(value->value, wanted);
    fuzz::require(!value->expanded_si || *value->expanded_si > 0, "an uncertainty of nothing");
    fuzz::require(value->coverage >= 1, "a coverage factor below one");
  }
  if (const auto range = read_interval(text, wanted, rules); is_accepted(range, text)) {
    fuzz::require(range->lower_si || range->upper_si, "a range without ends");
    fuzz::require(!range->lower_si || !range->upper_si || *range->lower_si <= *range->upper_si,
                  "a range that is reversed");
    fuzz::require(!wanted || range->kind == *wanted, "another kind than is wanted");
  }
  if (const auto list = read_list(text, wanted, rules); is_accepted(list, text)) {
    fuzz::require(!list->values.empty(), "a list of nothing");
    for (const AnyQuantity& value : list->values) check(value, list->kind);
  }
  is_accepted(read_number(text, rules), text);
  is_accepted(read_integer(text), text);
  return 0;
}
