// SPDX-License-Identifier: Apache-2.0
// Reads a tree into a struct by its description. Every mistake is reported with its place; reading
// goes on after a mistake so that a file is mended in one go.
#include <fmt/format.h>

#include <algorithm>

#include "base/fields.h"
#include "base/text.h"

namespace tautmark {
namespace {

constexpr std::string_view kItemJoint = "; ";

std::string child(const std::string& path, std::string_view key) {
  return path.empty() ? std::string(key) : fmt::format("{}.{}", path, key);
}

std::string_view shape_name(const Node& node) {
  switch (node.shape) {
    case NodeShape::null:
      return "nothing";
    case NodeShape::scalar:
      return "a single value";
    case NodeShape::list:
      return "a list";
    case NodeShape::map:
      return "a group of keys";
  }
  return "";
}

void report(ReadContext& context, Diagnostic diagnostic) {
  add_diagnostic(*context.diagnostics, std::move(diagnostic));
}

std::string with_article(std::string_view name) {
  static constexpr std::string_view kVowels = "aeio";
  if (name.ends_with('s') || name.find(" or ") != std::string_view::npos) return std::string(name);
  const bool vowel = !name.empty() && kVowels.find(name.front()) != std::string_view::npos;
  return fmt::format("{} {}", vowel ? "an" : "a", name);
}

// [27.95 mm, 27.96 mm] becomes "27.95 mm; 27.96 mm".
std::optional<Node> joined_scalars(const Node& node) {
  Node joined_node = node;
  joined_node.shape = NodeShape::scalar;
  joined_node.items.clear();
  for (const Node& item : node.items) {
    if (item.shape != NodeShape::scalar) return std::nullopt;
    if (!joined_node.text.empty()) joined_node.text += kItemJoint;
    joined_node.text += item.text;
  }
  return joined_node;
}

// The item in which this byte of the joined text lies.
TextPlace place_in_items(const Node& list, const TextError& error) {
  std::size_t start = 0;
  for (const Node& item : list.items) {
    const std::size_t end = start + item.text.size();
    if (error.offset <= end)
      return place_of(item, error.offset - start, std::min(error.length, end - error.offset));
    start = end + kItemJoint.size();
  }
  return place_of(list);
}

// A missing unit is most likely that of the field's example: a distance run is not given in mm.
std::string hint_for(const TypeInfo& type, const TextError& error, const ReadContext& context) {
  if (!type.kind || context.field == nullptr || !error.problem.ends_with("has no unit"))
    return error.hint;
  const auto example = read_quantity(context.field->example, type.kind);
  const std::string usual = fmt::format(" {}\"", default_unit(*type.kind).symbol);
  if (!example || !error.hint.ends_with(usual)) return error.hint;
  return fmt::format("{} {}\"", error.hint.substr(0, error.hint.size() - usual.size()),
                     example->unit->symbol);
}

bool read_leaf(const TypeInfo& type, const Node& node, void* out, ReadContext& context) {
  if (type.accepts_scalar_list && node.shape == NodeShape::list) {
    if (const auto joined_node = joined_scalars(node)) {
      const auto error = type.read(joined_node->text, context.rules, out);
      if (!error) return true;
      Diagnostic diagnostic = error_at(node, error->problem, error->hint);
      diagnostic.place = place_in_items(node, *error);
      report(context, std::move(diagnostic));
      return false;
    }
  }
  if (node.shape == NodeShape::null) {
    report(context,
           error_at(node,
                    fmt::format("{} is wanted here, nothing stands here", with_article(type.name)),
                    "give a value or remove the key"));
    return false;
  }
  if (node.shape != NodeShape::scalar) {
    report(context, error_at(node, fmt::format("{} is wanted here, not {}", with_article(type.name),
                                               shape_name(node))));
    return false;
  }
  const auto error = type.read(node.text, context.rules, out);
  if (!error) return true;
  Diagnostic diagnostic = error_at(node, error->problem, hint_for(type, *error, context));
  diagnostic.place = place_of(node, error->offset, error->length);
  report(context, std::move(diagnostic));
  return false;
}

void check_bounds(const FieldInfo& field, const TypeInfo& type, const Node& node, const void* value,
                  ReadContext& context, bool& ok) {
  if (!field.options.bounds || type.number == nullptr) return;
  const auto number = type.number(value);
  if (!number) return;
  const Bounds& bounds = *field.options.bounds;
  const auto shown = [&](double limit) {
    if (!type.kind) return fmt::format("{:g}", limit);
    return quantity_text(limit, default_unit(*type.kind));
  };
  if (*number < bounds.lower || (bounds.above_lower && *number == bounds.lower)) {
    report(context,
           error_at(node, fmt::format("{} {} is not possible: it must be {} {}", field.key,
                                      node.text, bounds.above_lower ? "more than" : "at least",
                                      shown(bounds.lower))));
    ok = false;
  } else if (*number > bounds.upper) {
    report(context, error_at(node, fmt::format("{} {} is not possible: it must be at most {}",
                                               field.key, node.text, shown(bounds.upper))));
    ok = false;
  }
}

void report_unknown(const Node& key, const std::vector<std::string>& known, std::string_view record,
                    ReadContext& context) {
  std::string hint;
  if (const auto near = nearest(key.text, known))
    hint = fmt::format("did you mean \"{}\"?", *near);
  else
    hint = fmt::format("known here: {}", joined(known, ", "));
  report(context, error_at(key, fmt::format("unknown key \"{}\" in {}", key.text, record), hint));
}

void note_inherited(const FieldInfo& field, const Node& node, const std::string& path,
                    ReadContext& context) {
  if (field.options.topic.empty() || context.inherited == nullptr || !context.own_file) return;
  if (node.file == context.own_file) return;
  context.inherited->emplace(std::string(field.options.topic), path);
}

bool read_fields(std::span<const FieldInfo> fields, const Node& node, void* out,
                 ReadContext& context, const std::string& path) {
  bool ok = true;
  for (const FieldInfo& field : fields) {
    const Node* value = node.find(field.key);
    if (value == nullptr) {
      if (!is_required(field)) continue;
      report(context,
             error_at(node, fmt::format("\"{}\" is missing: {}", field.key, field.help),
                      field.example.empty() ? std::string()
                                            : fmt::format("{}: {}", field.key, field.example)));
      ok = false;
      continue;
    }
    const std::string field_path = child(path, field.key);
    note_inherited(field, *value, field_path, context);
    void* member = field.edit(out);
    context.field = &field;
    if (!read_value(field.type(), *value, member, context, field_path)) {
      ok = false;
      continue;
    }
    const TypeInfo& type = field.type();
    const TypeInfo& inner = type.shape == Shape::optional ? type.element() : type;
    const void* inner_value = type.shape == Shape::optional ? type.item(member, 0) : member;
    if (inner.shape == Shape::leaf) check_bounds(field, inner, *value, inner_value, context, ok);
  }
  return ok;
}

bool read_record_node(const TypeInfo& type, const Node& node, void* out, ReadContext& context,
                      const std::string& path) {
  if (node.shape == NodeShape::scalar && !type.short_form.empty()) {
    Node wrapped = node;
    wrapped.shape = NodeShape::map;
    wrapped.text.clear();
    Node key = node;
    key.text = std::string(type.short_form);
    wrapped.members.push_back({std::move(key), node});
    return read_record_node(type, wrapped, out, context, path);
  }
  if (node.shape != NodeShape::map) {
    report(context, error_at(node, fmt::format("{} is wanted here as a group of keys, not {}",
                                               with_article(type.name), shape_name(node))));
    return false;
  }

  std::vector<std::string> known;
  bool ok = true;
  const TypeInfo* body_type = nullptr;
  void* body = nullptr;
  if (type.tag != nullptr) {
    known.emplace_back(type.tag->key);
    std::vector<std::string_view> names;
    for (const TypeRef alternative : type.tag->alternatives) names.push_back(alternative().name);
    const Node* tag = node.find(type.tag->key);
    std::size_t index = 0;
    if (tag == nullptr || tag->shape != NodeShape::scalar) {
      report(context, error_at(tag != nullptr ? *tag : node,
                               fmt::format("\"{}\" is missing: {}", type.tag->key, type.tag->help),
                               fmt::format("{}: {}", type.tag->key, names.front())));
      return false;
    }
    if (const auto error = read_choice(tag->text, names, index)) {
      report(context, error_at(*tag, error->problem, error->hint));
      return false;
    }
    body_type = &type.tag->alternatives[index]();
    body = type.tag->emplace(out, index);
  }
  for (const FieldInfo& field : type.fields()) known.emplace_back(field.key);
  if (body_type != nullptr)
    for (const FieldInfo& field : body_type->fields()) known.emplace_back(field.key);

  for (const Member& member : node.members) {
    if (std::find(known.begin(), known.end(), member.key.text) != known.end()) continue;
    const std::string record = body_type != nullptr
                                   ? fmt::format("{} of kind {}", type.name, body_type->name)
                                   : std::string(type.name);
    report_unknown(member.key, known, record, context);
    ok = false;
  }
  ok = read_fields(type.fields(), node, out, context, path) && ok;
  if (body_type != nullptr) ok = read_fields(body_type->fields(), node, body, context, path) && ok;
  return ok;
}

bool read_by_shape(const TypeInfo& type, const Node& node, void* out, ReadContext& context,
                   const std::string& path);

}  // namespace

bool read_value(const TypeInfo& type, const Node& node, void* out, ReadContext& context,
                const std::string& path) {
  if (context.places != nullptr) context.places->note(path, node);
  const bool ok = read_by_shape(type, node, out, context, path);
  if (!ok && context.places != nullptr) context.places->note_failed(path);
  return ok;
}

namespace {

bool read_by_shape(const TypeInfo& type, const Node& node, void* out, ReadContext& context,
                   const std::string& path) {
  switch (type.shape) {
    case Shape::leaf:
      return read_leaf(type, node, out, context);
    case Shape::optional:
      return read_value(type.element(), node, type.append(out), context, path);
    case Shape::record:
      return read_record_node(type, node, out, context, path);
    case Shape::list:
      break;
  }
  if (node.shape != NodeShape::list) {
    report(context, error_at(node, fmt::format("a list is wanted here, not {}", shape_name(node)),
                             node.shape == NodeShape::scalar ? fmt::format("[{}]", node.text)
                                                             : "put \"- \" before each item"));
    return false;
  }
  bool ok = true;
  for (std::size_t i = 0; i < node.items.size(); ++i)
    ok = read_value(type.element(), node.items[i], type.append(out), context,
                    fmt::format("{}[{}]", path, i)) &&
         ok;
  return ok;
}

}  // namespace
}  // namespace tautmark
