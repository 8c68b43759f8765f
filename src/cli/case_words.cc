// SPDX-License-Identifier: Apache-2.0
#include "cli/case_words.h"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <algorithm>
#include <ctime>

#include "base/text.h"
#include "casework/case_fields.h"
#include "cli/words.h"

namespace tautmark::cli {
namespace {

constexpr std::string_view kFileName = "new entry";
constexpr std::string_view kProvisionalId = "e0";  // an entry cannot be read without one

std::string kind_text(std::string kind) {
  std::replace_if(
      kind.begin(), kind.end(), [](char c) { return c == '-' || c == '_'; }, ' ');
  return folded(kind);
}

const TypeInfo* kind_type(const std::string& kind) {
  for (const TypeRef alternative : type_of<Entry>().tag->alternatives)
    if (alternative().name == kind) return &alternative();
  return nullptr;
}

const FieldInfo* field_of(const TypeInfo& record, std::string_view key) {
  if (record.shape == Shape::optional) return field_of(record.element(), key);
  if (record.shape != Shape::record) return nullptr;
  for (const FieldInfo& field : record.fields())
    if (field.key == key) return &field;
  return nullptr;
}

// The words, one per line, as the file that messages point into.
class Words {
 public:
  explicit Words(const std::vector<std::string>& words) {
    std::string text;
    for (std::string word : words) {
      std::replace(word.begin(), word.end(), '\n', ' ');
      text += word + "\n";
    }
    file_ = make_text_file(std::string(kFileName), text);
  }
  [[nodiscard]] Node map(int line) const {
    Node node = place(line, 1, 1);
    node.shape = NodeShape::map;
    return node;
  }
  [[nodiscard]] Node scalar(std::string_view text, int line, std::size_t column) const {
    Node node = place(line, column, character_count(text));
    node.shape = text.empty() ? NodeShape::null : NodeShape::scalar;
    node.text = std::string(text);
    return node;
  }

 private:
  [[nodiscard]] Node place(int line, std::size_t column, std::size_t length) const {
    Node node;
    node.file = file_;
    node.line = line;
    node.column = static_cast<int>(column);
    node.length = std::max(1, static_cast<int>(length));
    return node;
  }
  TextFileRef file_;
};

Node list_said(const Words& words, std::string_view text, int line, std::size_t column) {
  Node list = words.scalar(text, line, column);
  list.shape = NodeShape::list;
  list.text.clear();
  std::size_t begin = 0;
  for (const std::string& part : split(text, ';')) {
    const std::string_view item = trimmed(part);
    const std::size_t blanks = item.empty() ? 0 : part.find(item.front());
    const std::size_t before = character_count(text.substr(0, begin)) + blanks;
    if (!item.empty()) list.items.push_back(words.scalar(item, line, column + before));
    begin += part.size() + 1;
  }
  return list;
}

std::optional<Diagnostic> add_said(const Words& words, Node& map, const TypeInfo* type,
                                   std::string_view key, std::string_view value, int line,
                                   std::size_t column, std::size_t value_column);

// "strands.2.from": the second of a list of groups; they are given in order.
std::optional<Diagnostic> add_item_said(const Words& words, Node& map, const TypeInfo& list,
                                        std::string_view key, std::string_view value, int line,
                                        std::size_t column, std::size_t value_column) {
  const std::size_t dot = key.find('.');
  const std::string_view name = key.substr(0, dot);
  const std::string_view rest = key.substr(dot + 1);
  const std::size_t second = rest.find('.');
  auto found = std::find_if(map.members.begin(), map.members.end(),
                            [&](const Member& member) { return member.key.text == name; });
  if (found == map.members.end()) {
    Node items = words.map(line);
    items.shape = NodeShape::list;
    map.members.push_back({words.scalar(name, line, column), std::move(items)});
    found = map.members.end() - 1;
  }
  std::vector<Node>& items = found->value.items;
  const bool again = !items.empty() && rest.substr(0, second) == std::to_string(items.size());
  const bool next = rest.substr(0, second) == std::to_string(items.size() + 1);
  if (found->value.shape != NodeShape::list || second == std::string_view::npos ||
      (!again && !next))
    return error_at(words.scalar(key, line, column),
                    fmt::format("\"{}\" names no item of {}", key, name),
                    fmt::format("{0}.1.{1}=…, then the other keys of it, then {0}.2.{1}=…", name,
                                list.element().fields().front().key));
  if (next) items.push_back(words.map(line));
  return add_said(words, items.back(), &list.element(), rest.substr(second + 1), value, line,
                  column + dot + 1 + second + 1, value_column);
}

// Puts the value of "group.key" into the map, making the group where it is not there.
std::optional<Diagnostic> add_said(const Words& words, Node& map, const TypeInfo* type,
                                   std::string_view key, std::string_view value, int line,
                                   std::size_t column, std::size_t value_column) {
  const std::size_t dot = key.find('.');
  const std::string_view name = key.substr(0, dot);
  const FieldInfo* field = type != nullptr ? field_of(*type, name) : nullptr;
  if (field == nullptr) field = field_of(type_of<Entry>(), name);
  const TypeInfo* inner = field != nullptr ? &field->type() : nullptr;
  auto found = std::find_if(map.members.begin(), map.members.end(),
                            [&](const Member& member) { return member.key.text == name; });
  const Node key_node = words.scalar(name, line, column);
  if (dot == std::string_view::npos) {
    if (found != map.members.end())
      return error_at(key_node, fmt::format("\"{}\" is given twice", name),
                      "a list is written a;b");
    const bool is_list = inner != nullptr && inner->shape == Shape::list;
    if (is_list && inner->element().shape == Shape::record && inner->element().short_form.empty())
      return error_at(words.scalar(value, line, value_column),
                      fmt::format("\"{}\" is given item by item, key by key", name),
                      fmt::format("{0}.1.{1}=…, then the other keys of it, then {0}.2.{1}=…", name,
                                  inner->element().fields().front().key));
    map.members.push_back({key_node, is_list ? list_said(words, value, line, value_column)
                                             : words.scalar(value, line, value_column)});
    return std::nullopt;
  }
  if (inner != nullptr && inner->shape == Shape::list && inner->element().shape == Shape::record)
    return add_item_said(words, map, *inner, key, value, line, column, value_column);
  if (found == map.members.end()) {
    map.members.push_back({key_node, words.map(line)});
    found = map.members.end() - 1;
  } else if (found->value.shape != NodeShape::map) {
    return error_at(key_node, fmt::format("\"{}\" is given twice", name));
  }
  return add_said(words, found->value, inner, key.substr(dot + 1), value, line, column + dot + 1,
                  value_column);
}

std::string fields_help(std::span<const FieldInfo> fields, const std::string& prefix) {
  std::string out;
  for (const FieldInfo& field : fields) {
    if (field.key == "id") continue;
    const TypeInfo& type = field.type();
    const TypeInfo& inner = type.shape == Shape::optional ? type.element() : type;
    if (inner.shape == Shape::record) {
      out += fields_help(inner.fields(), fmt::format("{}{}.", prefix, field.key));
      continue;
    }
    out += fmt::format("  {}{}{}  {}\n", prefix, field.key, is_required(field) ? " (needed)" : "",
                       field.help);
    if (inner.shape == Shape::list && inner.element().shape == Shape::record) {
      out += fields_help(inner.element().fields(), fmt::format("{}{}.1.", prefix, field.key));
      continue;
    }
    std::string example(field.example);
    if (example.starts_with('[') && example.ends_with(']')) {
      example = example.substr(1, example.size() - 2);
      std::replace(example.begin(), example.end(), ',', ';');
    }
    if (!inner.choices.empty())
      out += fmt::format("      one of: {}\n", fmt::join(inner.choices, ", "));
    else if (!example.empty())
      out += fmt::format("      {}{}=\"{}\"\n", prefix, field.key, example);
  }
  return out;
}

}  // namespace

FromText<Date> date_said(const std::string& text) {
  if (folded(text) != "now") return read_date(text);
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  localtime_r(&now, &local);
  return Date{fmt::format("{:%Y-%m-%dT%H:%M}", local)};
}

Parsed<Entry> entry_said(const std::string& kind, const std::vector<std::string>& given,
                         const TextRules& rules) {
  std::vector<std::string> lines = {"kind=" + kind_text(kind)};
  lines.insert(lines.end(), given.begin(), given.end());
  const Words words(lines);
  Node root = words.map(1);
  Diagnostics diagnostics;
  const TypeInfo* type = kind_type(kind_text(kind));
  root.members.push_back({words.scalar("kind", 1, 1), words.scalar(kind_text(kind), 1, 6)});
  root.members.push_back({scalar_node("id"), scalar_node(std::string(kProvisionalId))});
  for (std::size_t i = 1; i < lines.size(); ++i) {
    const int line = static_cast<int>(i) + 1;
    const std::size_t equals = lines[i].find('=');
    const std::string_view key = trimmed(std::string_view(lines[i]).substr(0, equals));
    const Node whole = words.scalar(lines[i], line, 1);
    if (equals == std::string::npos || key.empty()) {
      diagnostics.push_back(error_at(whole, fmt::format("\"{}\" is no key=value", lines[i]),
                                     "place=\"bank 1 / camshaft / journal 1\""));
    } else if (key == "id" || key == "kind") {
      diagnostics.push_back(error_at(whole, fmt::format("{} is not given here", key)));
    } else if (auto wrong = add_said(words, root, type, key,
                                     trimmed(std::string_view(lines[i]).substr(equals + 1)), line,
                                     1, character_count(lines[i].substr(0, equals)) + 2)) {
      diagnostics.push_back(std::move(*wrong));
    }
  }
  Entry entry;
  ReadContext context;
  context.rules = rules;
  context.diagnostics = &diagnostics;
  read_record(root, entry, context);
  if (has_errors(diagnostics)) return tl::make_unexpected(std::move(diagnostics));
  entry.id.clear();  // given when the entry is appended
  return entry;
}

std::string entry_kinds_help() {
  Rows rows;
  for (const TypeRef alternative : type_of<Entry>().tag->alternatives)
    rows.push_back({std::string(alternative().name), std::string(alternative().help)});
  return table_text(rows);
}

std::string entry_kind_help(const std::string& kind) {
  const TypeInfo* type = kind_type(kind_text(kind));
  if (type == nullptr) return {};
  return fmt::format("{}: {}\n\n{}\nwith every kind:\n{}", type->name, type->help,
                     fields_help(type->fields(), ""), fields_help(type_of<Entry>().fields(), ""));
}

}  // namespace tautmark::cli
