// SPDX-License-Identifier: Apache-2.0
#include "cli/interview.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "base/text.h"

namespace tautmark::cli {
namespace {

const FieldInfo* field_of(const InterviewRow& row) {
  if (row.record == nullptr) return nullptr;
  for (const FieldInfo& field : row.record().fields())
    if (field.key == row.field) return &field;
  throw std::logic_error(fmt::format("no field {} for the question {}", row.field, row.key));
}

const TypeInfo& inner_type(const FieldInfo& field) {
  const TypeInfo& type = field.type();
  return type.shape == Shape::leaf ? type : type.element();
}

// Digits, signs and "at least": no unit in it.
bool is_bare(std::string_view text) {
  std::string rest = folded(text);
  for (const std::string_view word : {"at least", "at most", "to", "±", "≤", "≥"})
    for (auto at = rest.find(word); at != std::string::npos; at = rest.find(word))
      rest.replace(at, word.size(), " ");
  return rest.find_first_of("0123456789") != std::string::npos &&
         rest.find_first_not_of("0123456789.,+-<>=/ ") == std::string::npos;
}

}  // namespace

std::optional<std::string> Interview::hear(const InterviewRow& row, std::string_view about,
                                           std::string_view explain, std::string_view example,
                                           UnitTable table) {
  if (!running()) return std::nullopt;
  const FieldInfo* field = field_of(row);
  last_ = InterviewQuestion{};
  last_.row = &row;
  last_.ask = std::string(row.ask);
  if (const auto at = last_.ask.find("{}"); at != std::string::npos)
    last_.ask.replace(at, 2, about);
  last_.example = example.empty() ? std::string(row.example) : std::string(example);
  if (last_.example.empty() && field != nullptr) last_.example = std::string(field->example);
  for (const std::string_view part :
       {row.explain, field != nullptr ? field->help : std::string_view(), explain}) {
    if (part.empty()) continue;
    last_.explain += fmt::format("{}{}", last_.explain.empty() ? "" : " ", part);
  }
  if (!row.choices.empty())
    last_.choices = joined(split(row.choices, '|'), ", ");
  else if (field != nullptr)
    last_.choices = &inner_type(*field) == &type_of<bool>()
                        ? std::string("yes, no")
                        : fmt::format("{}", fmt::join(inner_type(*field).choices, ", "));
  last_.unit = unit_of(table);
  if (state_.taken == answers_.size()) {
    state_.next = last_;
    return std::nullopt;
  }
  const std::string_view text = trimmed(answers_[state_.taken++]);
  const bool readable =
      !first_invalid_utf8(text) && std::none_of(text.begin(), text.end(), [](char c) {
        return static_cast<unsigned char>(c) < 0x20 || c == 0x7F;
      });
  if (!readable) {
    refuse("this holds characters that no file can keep", last_.example);
    return std::nullopt;
  }
  if (!text.empty() && text != "-") return std::string(text);
  if (row.needed) refuse("this is needed", last_.example);
  return std::nullopt;
}

void Interview::refuse(std::string reason, std::string hint) {
  if (!running()) return;
  --state_.taken;
  state_.next = last_;
  state_.refused = InterviewRefusal{std::move(reason), std::move(hint)};
}

std::optional<std::string> Interview::words(std::string_view key, std::string_view about) {
  return hear(interview_row(key), about, {}, {}, UnitTable::none);
}

std::optional<int> Interview::number(std::string_view key, int lower, int upper,
                                     std::string_view about) {
  const auto text = words(key, about);
  if (!text) return std::nullopt;
  const auto value = read_integer(*text);
  if (!value) {
    refuse(value.error().problem, value.error().hint);
  } else if (*value < lower || *value > upper) {
    refuse(fmt::format("{} is not possible: {} to {}", *text, lower, upper));
  } else {
    return static_cast<int>(*value);
  }
  return std::nullopt;
}

bool Interview::yes(std::string_view key, std::string_view about) {
  const auto text = words(key, about);
  bool value = false;
  if (text)
    if (const auto error = type_of<bool>().read(*text, rules, &value))
      refuse(error->problem, "yes, or no");
  return running() && value;
}

std::optional<std::string> Interview::choice(std::string_view key, std::string_view about) {
  const auto text = words(key, about);
  if (!text) return std::nullopt;
  const auto choices = split(interview_row(key).choices, '|');
  for (const std::string& each : choices)
    if (folded(each) == folded(*text)) return each;
  refuse(fmt::format("\"{}\" is not one of: {}", *text, joined(choices, ", ")),
         nearest(*text, choices).value_or(""));
  return std::nullopt;
}

void Interview::ask_unit(std::string_view key, UnitTable table) {
  if (const auto unit = choice(key)) units_[table] = *unit;
}

std::string Interview::unit_of(UnitTable table) const {
  switch (table) {
    case UnitTable::speed:
      return "1/min";
    case UnitTable::percent:
      return "%";
    case UnitTable::seconds:
      return "s";
    default:
      break;
  }
  const auto found = units_.find(table);
  return found == units_.end() ? std::string() : found->second;
}

std::string Interview::with_unit(const std::string& text, UnitTable table) const {
  const std::string unit = unit_of(table);
  return unit.empty() || !is_bare(text) ? text : fmt::format("{} {}", text, unit);
}

bool Interview::take_leaf(const FieldInfo& field, const TypeInfo& type, const std::string& text,
                          void* out) {
  if (const auto error = type.read(text, rules, out)) {
    refuse(error->problem, error->hint);
    return false;
  }
  if (!field.options.bounds || type.number == nullptr) return true;
  const auto number = type.number(out);
  const Bounds& bounds = *field.options.bounds;
  const bool below =
      number && (*number < bounds.lower || (bounds.above_lower && *number == bounds.lower));
  if (!below && !(number && *number > bounds.upper)) return true;
  refuse(fmt::format("{} is not possible here", text),
         fmt::format("for example: {}", field.example));
  return false;
}

// Numbers may stand with blanks, commas or dashes between them, words with semicolons.
bool Interview::take_list(const TypeInfo& type, const std::string& text, void* out) {
  const TypeInfo& element = type.element();
  std::string separated = text;
  if (&element == &type_of<int>())
    std::replace_if(
        separated.begin(), separated.end(), [](char c) { return c == ',' || c == ' ' || c == '-'; },
        ';');
  for (const std::string& part : split(separated, ';')) {
    const std::string item(trimmed(part));
    if (item.empty()) continue;
    if (const auto error = element.read(item, rules, type.append(out))) {
      refuse(error->problem, error->hint);
      return false;
    }
  }
  return true;
}

bool Interview::fill(std::string_view key, void* record, std::string_view about,
                     std::string_view explain, std::string_view example,
                     std::optional<UnitTable> table) {
  const InterviewRow& row = interview_row(key);
  const UnitTable of = table.value_or(row.table);
  const auto text = hear(row, about, explain, example, of);
  if (!text) return false;
  const FieldInfo& field = *field_of(row);
  const TypeInfo& type = field.type();
  void* member = field.edit(record);
  if (type.shape == Shape::list) return take_list(type, *text, member);
  void* out = type.shape == Shape::optional ? type.append(member) : member;
  return take_leaf(field, inner_type(field), with_unit(*text, of), out);
}

}  // namespace tautmark::cli
