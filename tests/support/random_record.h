// SPDX-License-Identifier: Apache-2.0
// Random records of any described struct, from the field descriptions alone: a field added later is
// tested without anybody thinking of it.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <random>
#include <string>
#include <vector>

#include "base/fields.h"

namespace tautmark::test {

// Texts that mean something else to a careless reader or writer.
inline const std::vector<std::string>& nasty_texts() {
  static const std::vector<std::string> kTexts = {"plain",
                                                  "two words",
                                                  "yes",
                                                  "No",
                                                  "on",
                                                  "y",
                                                  "true",
                                                  "null",
                                                  "NULL",
                                                  "Null",
                                                  "~",
                                                  "nan",
                                                  "12",
                                                  "-1",
                                                  "+1",
                                                  "1e5",
                                                  "0x1F",
                                                  "0o17",
                                                  "1_000",
                                                  "1,102",
                                                  "12:30",
                                                  ".5",
                                                  ".",
                                                  "..",
                                                  "...",
                                                  "---",
                                                  "--- a",
                                                  "-",
                                                  "- a",
                                                  "-a",
                                                  "?",
                                                  "? a",
                                                  ":",
                                                  ": a",
                                                  "a:",
                                                  "a: b",
                                                  "a :b",
                                                  "a:b",
                                                  "#",
                                                  "# a",
                                                  "a #b",
                                                  "a#b",
                                                  "&a",
                                                  "*a",
                                                  "!a",
                                                  "!!str a",
                                                  "|",
                                                  "|-",
                                                  ">",
                                                  ">= 140 kPa",
                                                  "%a",
                                                  "@a",
                                                  "`a`",
                                                  "'",
                                                  "''",
                                                  "it's",
                                                  "\"",
                                                  "\"quoted\"",
                                                  "\\",
                                                  "C:\\drives",
                                                  "\\n",
                                                  "[",
                                                  "[a, b]",
                                                  "]",
                                                  "{",
                                                  "{a: b}",
                                                  "}",
                                                  ",",
                                                  "a, b",
                                                  "=",
                                                  "<<",
                                                  "a\nb",
                                                  "a\n",
                                                  "\na",
                                                  "\n",
                                                  "a\n\nb",
                                                  "a\tb",
                                                  "\ta",
                                                  "a\t",
                                                  "a\r\nb",
                                                  " a",
                                                  "a ",
                                                  "  ",
                                                  " ",
                                                  "ø 27.98 ± 0.01 mm",
                                                  "35 N·m",
                                                  "90°",
                                                  "µ",
                                                  "\u2028",
                                                  "a\u2028b",
                                                  "a\u2029b",
                                                  "\uFEFFa",
                                                  "\u00A0",
                                                  "\u200B",
                                                  "\U0001F527",
                                                  "e\u0301",
                                                  "</script>",
                                                  "${HOME}",
                                                  "%s",
                                                  "{}",
                                                  "\xEF\xBF\xBD",
                                                  std::string(300, 'x'),
                                                  std::string(200, ' ') + "x",
                                                  "key: &a [*a]",
                                                  "tautmark: drive/1"};
  return kTexts;
}

inline const std::string& nasty_text(std::mt19937& random) {
  return nasty_texts()[random() % nasty_texts().size()];
}

class RandomRecord {
 public:
  explicit RandomRecord(unsigned seed) : random_(seed) {}

  template <class T>
  T make() {
    T record{};
    fill(type_of<T>(), &record, nullptr);
    return record;
  }

 private:
  unsigned below(unsigned n) { return static_cast<unsigned>(random_() % n); }

  void fill(const TypeInfo& type, void* out, const FieldInfo* field) {
    switch (type.shape) {
      case Shape::leaf:
        fill_leaf(type, out, field);
        return;
      case Shape::optional:
        if (below(2) == 0) fill(type.element(), type.append(out), field);
        return;
      case Shape::list:
        for (unsigned i = below(4); i > 0; --i) fill(type.element(), type.append(out), field);
        return;
      case Shape::record:
        break;
    }
    for (const FieldInfo& part : type.fields()) fill(part.type(), part.edit(out), &part);
    if (type.tag == nullptr) return;
    const std::size_t index = below(static_cast<unsigned>(type.tag->alternatives.size()));
    void* body = type.tag->emplace(out, index);
    for (const FieldInfo& part : type.tag->alternatives[index]().fields())
      fill(part.type(), part.edit(body), &part);
  }

  // A random text when this leaf accepts it, the field's example otherwise.
  void fill_leaf(const TypeInfo& type, void* out, const FieldInfo* field) {
    for (int attempt = 0; attempt < 20; ++attempt)
      if (accepts(type, leaf_text(type), out, field)) return;
    const std::string example(field != nullptr ? field->example : "");
    if (!accepts(type, example, out, field))
      throw std::logic_error(fmt::format("the example \"{}\" is not accepted", example));
  }

  static bool accepts(const TypeInfo& type, const std::string& text, void* out,
                      const FieldInfo* field) {
    if (type.read(text, TextRules{}, out)) return false;
    if (field == nullptr || !field->options.bounds || type.number == nullptr) return true;
    const auto number = type.number(out);
    const Bounds& bounds = *field->options.bounds;
    return !number || ((bounds.above_lower ? *number > bounds.lower : *number >= bounds.lower) &&
                       *number <= bounds.upper);
  }

  std::string number() {
    static constexpr int kPowers[] = {1, 10, 100, 1000, 100000};
    const int digits = static_cast<int>(below(5));
    const double value = static_cast<double>(below(100000)) / kPowers[digits];
    return fmt::format("{:.{}f}", value, digits);
  }

  std::string unit(Kind kind) {
    const auto units = units_of(kind);
    const Unit& unit = units[below(static_cast<unsigned>(units.size()))];
    if (unit.spellings.empty() || below(2) == 0) return std::string(unit.symbol);
    return std::string(unit.spellings[below(static_cast<unsigned>(unit.spellings.size()))]);
  }

  std::string leaf_text(const TypeInfo& type) {
    if (!type.choices.empty())
      return std::string(type.choices[below(static_cast<unsigned>(type.choices.size()))]);
    if (type.name == "text") return nasty_text(random_);
    if (type.name == "whole number") return std::to_string(below(below(2) == 0 ? 12 : 1000));
    if (type.name == "yes or no") return below(2) == 0 ? "yes" : "false";
    if (type.name == "date")
      return fmt::format("20{:02}-{:02}-{:02}{}", below(100), 1 + below(12), 1 + below(28),
                         below(2) == 0 ? "" : "T10:15:30+01:00");
    const Kind kind = type.kind.value_or(static_cast<Kind>(below(kKindCount)));
    const bool is_any = !type.kind;
    if (is_any ? type.name == "range" : type.number == nullptr) {
      switch (below(4)) {
        case 0:
          return fmt::format("at least {} {}", number(), unit(kind));
        case 1:
          return fmt::format("<= {} {}", number(), unit(kind));
        case 2:
          return fmt::format("{}..{} {}", number(), number(), unit(kind));
        default:
          return fmt::format("{} ± {} {}", number(), number(), unit(kind));
      }
    }
    if (is_any && type.name == "readings")
      return fmt::format("{} {} {} {}", number(), number(), number(), unit(kind));
    if (is_any && type.name == "quantity with ±" && below(2) == 0)
      return fmt::format("{} ± {} {}{}", number(), number(), unit(kind),
                         below(2) == 0 ? "" : " (k 2.5)");
    return fmt::format("{} {}", number(), unit(kind));
  }

  std::mt19937 random_;
};

// What is written is read back to the same record; empty, or what went wrong.
template <class T>
std::string round_trip_problem(const T& record) {
  for (const bool as_json : {false, true}) {
    const Node node = write_record(record);
    const std::string text = as_json ? json_text(node) : yaml_text(node);
    const auto again = parse_tree(make_text_file("written", text));
    if (!again) return text + diagnostics_text(again.error());
    T read{};
    Diagnostics diagnostics;
    ReadContext context;
    context.diagnostics = &diagnostics;
    if (!read_record(*again, read, context)) return text + diagnostics_text(diagnostics);
    if (!(read == record)) return "reads back as another record:\n" + text;
  }
  return {};
}

}  // namespace tautmark::test
