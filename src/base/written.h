// SPDX-License-Identifier: Apache-2.0
// Values that keep what was typed: the value in SI for the computation, the text for the person.
// Two written values are equal when both the value and the text are.
#pragma once

#include <optional>
#include <string>

#include "base/quantity.h"
#include "base/quantity_text.h"

namespace tautmark {

template <class Q>
struct Written {
  Q value{};
  std::string text;
  bool operator==(const Written&) const = default;
};

template <class Q>
struct WrittenRange {  // at least one end
  std::optional<Q> lower, upper;
  std::string text;
  bool operator==(const WrittenRange&) const = default;
};

// Where the kind follows from what is measured, not from the field.
struct WrittenAny {
  AnyQuantity value;
  std::string text;
  bool operator==(const WrittenAny& other) const {
    return text == other.text && value.kind == other.value.kind && value.si == other.value.si;
  }
};
struct WrittenMeasured {
  AnyMeasured value;
  std::string text;
  bool operator==(const WrittenMeasured& other) const {
    return text == other.text && value.value.si == other.value.value.si &&
           value.expanded_si == other.value.expanded_si;
  }
};
struct WrittenAnyRange {
  AnyInterval value;
  std::string text;
  bool operator==(const WrittenAnyRange& other) const {
    return text == other.text && value.lower_si == other.value.lower_si &&
           value.upper_si == other.value.upper_si;
  }
};
struct WrittenList {
  AnyList value;
  std::string text;
  bool operator==(const WrittenList& other) const {
    if (text != other.text || value.values.size() != other.value.values.size()) return false;
    for (std::size_t i = 0; i < value.values.size(); ++i)
      if (value.values[i].si != other.value.values[i].si) return false;
    return true;
  }
};

// An ISO 8601 calendar date, with or without a time of day and an offset: "2026-03-02",
// "2026-03-02T10:15", "2026-03-02 10:15:30+01:00". Kept as typed.
struct Date {
  std::string text;
  bool operator==(const Date&) const = default;
};
// Refuses dates that are not in the calendar.
FromText<Date> read_date(std::string_view text);
// Comparable: "2026-03-02 10:15:30"; offsets are not resolved, since shops write local time.
std::string date_order(const Date& date);

}  // namespace tautmark
