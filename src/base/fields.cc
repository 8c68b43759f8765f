// SPDX-License-Identifier: Apache-2.0
// The leaves of the field descriptions.
#include "base/fields.h"

#include <fmt/format.h>

#include "base/quantity_scan.h"
#include "base/text.h"

namespace tautmark {
namespace {

template <class T>
std::string text_member(const void* value) {
  return static_cast<const T*>(value)->text;
}

// A leaf whose struct is {value, text}, read by one of the functions of quantity_text.h.
template <class T, auto kRead>
TypeInfo written_leaf(std::string_view name, std::string_view help) {
  TypeInfo info;
  info.name = name;
  info.help = help;
  info.read = [](std::string_view text, const TextRules& rules,
                 void* out) -> std::optional<TextError> {
    auto value = kRead(text, std::nullopt, rules);
    if (!value) return value.error();
    *static_cast<T*>(out) = {std::move(*value), std::string(text)};
    return std::nullopt;
  };
  info.write = &text_member<T>;
  return info;
}

template <class T>
TypeInfo whole_number_leaf() {
  TypeInfo info;
  info.name = "whole number";
  info.json_type = "integer";
  info.read = [](std::string_view text, const TextRules&, void* out) -> std::optional<TextError> {
    const auto value = read_integer(text);
    if (!value) return value.error();
    if (*value < std::numeric_limits<T>::min() || *value > std::numeric_limits<T>::max())
      return TextError{0, text.size(), fmt::format("{} is too large", text), {}};
    *static_cast<T*>(out) = static_cast<T>(*value);
    return std::nullopt;
  };
  info.write = [](const void* value) { return std::to_string(*static_cast<const T*>(value)); };
  info.number = [](const void* value) -> std::optional<double> {
    return static_cast<double>(*static_cast<const T*>(value));
  };
  return info;
}

}  // namespace

const TypeInfo& TypeOf<std::string>::get() {
  static const TypeInfo kInfo = [] {
    TypeInfo info;
    info.name = "text";
    info.read = [](std::string_view text, const TextRules&, void* out) -> std::optional<TextError> {
      if (trimmed(text).empty())
        return TextError{0, text.size(), "a text is wanted here, this one is empty",
                         "write the text, or remove the key"};
      *static_cast<std::string*>(out) = std::string(text);
      return std::nullopt;
    };
    info.write = [](const void* value) { return *static_cast<const std::string*>(value); };
    return info;
  }();
  return kInfo;
}

const TypeInfo& TypeOf<int>::get() {
  static const TypeInfo kInfo = whole_number_leaf<int>();
  return kInfo;
}

const TypeInfo& TypeOf<std::int64_t>::get() {
  static const TypeInfo kInfo = whole_number_leaf<std::int64_t>();
  return kInfo;
}

const TypeInfo& TypeOf<bool>::get() {
  static const TypeInfo kInfo = [] {
    TypeInfo info;
    info.name = "yes or no";
    info.json_type = "boolean";
    info.read = [](std::string_view text, const TextRules&, void* out) -> std::optional<TextError> {
      const std::string word = folded(text);
      if (word != "true" && word != "false" && word != "yes" && word != "no")
        return TextError{0, text.size(), fmt::format("{} is neither yes nor no", in_quotes(text)),
                         "yes"};
      *static_cast<bool*>(out) = word == "true" || word == "yes";
      return std::nullopt;
    };
    info.write = [](const void* value) {
      return std::string(*static_cast<const bool*>(value) ? "true" : "false");
    };
    return info;
  }();
  return kInfo;
}

const TypeInfo& TypeOf<Date>::get() {
  static const TypeInfo kInfo = [] {
    TypeInfo info;
    info.name = "date";
    info.help = "ISO 8601: 2026-03-02, or with the time of day 2026-03-02T10:15";
    info.read = [](std::string_view text, const TextRules&, void* out) -> std::optional<TextError> {
      auto date = read_date(text);
      if (!date) return date.error();
      *static_cast<Date*>(out) = std::move(*date);
      return std::nullopt;
    };
    info.write = &text_member<Date>;
    return info;
  }();
  return kInfo;
}

const TypeInfo& TypeOf<WrittenAny>::get() {
  static const TypeInfo kInfo =
      written_leaf<WrittenAny, &read_quantity>("quantity", "a number with its unit");
  return kInfo;
}

const TypeInfo& TypeOf<WrittenMeasured>::get() {
  static const TypeInfo kInfo = written_leaf<WrittenMeasured, &read_measured>(
      "quantity with ±", "a number with its unit, and ± its expanded uncertainty (k = 2)");
  return kInfo;
}

const TypeInfo& TypeOf<WrittenAnyRange>::get() {
  static const TypeInfo kInfo = written_leaf<WrittenAnyRange, &read_interval>(
      "range", "a range: a..b unit, a ± b unit, at least a unit, at most b unit");
  return kInfo;
}

const TypeInfo& TypeOf<WrittenList>::get() {
  static const TypeInfo kInfo = [] {
    TypeInfo info = written_leaf<WrittenList, &read_list>(
        "readings", "one or more numbers and their unit: 27.957 27.958 27.956 mm");
    info.accepts_scalar_list = true;
    return info;
  }();
  return kInfo;
}

std::optional<TextError> read_choice(std::string_view text, std::span<const std::string_view> names,
                                     std::size_t& index) {
  const std::string wanted = folded(text);
  std::vector<std::string> known;
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (names[i] == wanted) {
      index = i;
      return std::nullopt;
    }
    known.emplace_back(names[i]);
  }
  TextError error{0,
                  text.size(),
                  fmt::format("{} is not one of: {}", in_quotes(text), joined(known, ", ")),
                  {}};
  if (const auto near = nearest(wanted, known))
    error.hint = fmt::format("did you mean \"{}\"?", *near);
  return error;
}

bool is_required(const FieldInfo& field) {
  if (field.options.required) return *field.options.required;
  const Shape shape = field.type().shape;
  return shape == Shape::leaf || shape == Shape::record;
}

void Places::note(const std::string& path, const Node& node) {
  spots_.insert_or_assign(path, Spot{node.file, node.line, node.column, node.length});
}

TextPlace Places::at(std::string path) const {
  for (;;) {
    const auto spot = spots_.find(path);
    if (spot != spots_.end()) {
      TextPlace place;
      place.line = spot->second.line;
      place.column = spot->second.column;
      place.length = spot->second.length;
      if (spot->second.file) {
        place.file = spot->second.file->name;
        place.line_text = spot->second.file->shown_line(place.line);
      }
      return place;
    }
    if (path.empty()) return {};
    const auto cut = path.find_last_of(".[");
    path = cut == std::string::npos ? std::string() : path.substr(0, cut);
  }
}

bool Places::failed(const std::string& path) const {
  // The path itself (a record fails with any of its parts) or the value that it lies in.
  for (std::string part = path;;) {
    if (failed_.contains(part)) return part == path || !failed_below(part);
    const auto cut = part.find_last_of(".[");
    if (cut == std::string::npos) return false;
    part.resize(cut);
  }
}

bool Places::failed_below(const std::string& path) const {
  const auto next = failed_.upper_bound(path);
  return next != failed_.end() && next->starts_with(path) && next->size() > path.size() &&
         ((*next)[path.size()] == '.' || (*next)[path.size()] == '[');
}

namespace {
constexpr int kFirstYear = 1900;  // before it a slip of the keyboard is likelier than the date
constexpr int kLastYear = 2199;
}  // namespace

FromText<Date> read_date(std::string_view text) {
  const auto refuse = [&](std::string problem) {
    return tl::make_unexpected(
        TextError{0, text.size(), std::move(problem), "write 2026-03-02 or 2026-03-02T10:15"});
  };
  const auto digits = [&](std::size_t at, std::size_t count) -> int {
    int value = 0;
    for (std::size_t i = at; i < at + count; ++i) {
      if (i >= text.size() || text[i] < '0' || text[i] > '9') return -1;
      value = value * 10 + (text[i] - '0');
    }
    return value;
  };
  const int year = digits(0, 4), month = digits(5, 2), day = digits(8, 2);
  if (text.size() < 10 || year < 0 || month < 0 || day < 0 || text[4] != '-' || text[7] != '-')
    return refuse(fmt::format("{} is not a date", in_quotes(text)));
  static constexpr int kDays[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
  if (year < kFirstYear || year > kLastYear)
    return refuse(fmt::format("the year {} is not one of a case", text.substr(0, 4)));
  if (month < 1 || month > 12 || day < 1 || day > kDays[month - 1] + (month == 2 && leap ? 1 : 0))
    return refuse(fmt::format("{} is not in the calendar", text.substr(0, 10)));
  std::size_t at = 10;
  if (at < text.size()) {
    const int hour = digits(11, 2), minute = digits(14, 2);
    if ((text[10] != 'T' && text[10] != ' ') || hour < 0 || hour > 23 || minute < 0 ||
        minute > 59 || text.size() < 16 || text[13] != ':')
      return refuse(fmt::format("{} is not a time of day", in_quotes(text.substr(10))));
    at = 16;
    if (at < text.size() && text[at] == ':') {
      const int second = digits(17, 2);
      if (second < 0 || second > 60) return refuse("the seconds are not readable");
      at = 19;
    }
    const std::string_view zone = text.substr(at);
    const auto within = [](int number, int last) { return number >= 0 && number <= last; };
    const bool offset = zone.size() == 6 && (zone[0] == '+' || zone[0] == '-') && zone[3] == ':' &&
                        within(digits(at + 1, 2), 14) && within(digits(at + 4, 2), 59);
    if (!zone.empty() && zone != "Z" && !offset)
      return refuse(fmt::format("{} is not an offset from UTC", in_quotes(zone)));
  }
  return Date{std::string(text)};
}

std::string date_order(const Date& date) {
  std::string order = date.text.substr(0, 10);
  std::string time = date.text.size() >= 16 ? date.text.substr(11, 5) : "00:00";
  time += date.text.size() >= 19 && date.text[16] == ':' ? date.text.substr(16, 3) : ":00";
  return order + " " + time;
}

}  // namespace tautmark
