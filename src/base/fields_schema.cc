// SPDX-License-Identifier: Apache-2.0
// JSON Schema (draft 2020-12) from the field descriptions.
#include <cmath>

#include "base/schema_writer.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

std::string definition_name(std::string_view type_name) {
  std::string name(type_name);
  for (char& c : name)
    if (c == ' ' || c == '-') c = '_';
  return name;
}

Json leaf_schema(const TypeInfo& type) {
  Json schema;
  schema["type"] = type.json_type;
  if (!type.choices.empty()) schema["enum"] = type.choices;
  if (type.kind)
    schema["description"] = std::string(type.name) + " with its unit";
  else if (!type.help.empty())
    schema["description"] = type.help;
  if (!type.accepts_scalar_list) return schema;
  return {
      {"anyOf", {schema, {{"type", "array"}, {"items", {{"type", "string"}}}, {"minItems", 1}}}}};
}

}  // namespace

Json SchemaWriter::schema_of(const TypeInfo& type) {
  switch (type.shape) {
    case Shape::leaf:
      return leaf_schema(type);
    case Shape::optional:
      return schema_of(type.element());
    case Shape::list:
      return {{"type", "array"}, {"items", schema_of(type.element())}};
    case Shape::record:
      break;
  }
  auto known = names_.find(&type);
  if (known == names_.end()) {
    std::string name = definition_name(type.name);
    if (taken_.contains(name)) name = definition_name(holder_) + "_" + name;
    taken_.insert(name);
    known = names_.emplace(&type, name).first;
    definitions[name] = record_schema(type);
  }
  return {{"$ref", prefix_ + known->second}};
}

void SchemaWriter::add_field(const FieldInfo& field, Json& properties, Json& required) {
  Json schema = schema_of(field.type());
  if (field.options.bounds && schema.contains("type") && schema["type"] == "integer") {
    if (std::isfinite(field.options.bounds->lower)) schema["minimum"] = field.options.bounds->lower;
    if (std::isfinite(field.options.bounds->upper)) schema["maximum"] = field.options.bounds->upper;
  }
  schema["description"] = field.help;
  if (!field.example.empty()) schema["examples"] = Json::array({field.example});
  properties[std::string(field.key)] = std::move(schema);
  if (is_required(field)) required.push_back(field.key);
}

Json SchemaWriter::object_schema(const TypeInfo& type, const TypeInfo* body, const TagInfo* tag) {
  Json properties = Json::object();
  Json required = Json::array();
  if (tag != nullptr) {
    properties[std::string(tag->key)] = {{"const", body->name}, {"description", body->help}};
    required.push_back(tag->key);
  }
  const auto add_fields = [&](const TypeInfo& holder) {
    for (const FieldInfo& field : holder.fields()) {
      holder_ = holder.name;
      add_field(field, properties, required);
    }
  };
  add_fields(type);
  if (body != nullptr) add_fields(*body);
  return {{"type", "object"},
          {"description", body != nullptr ? body->help : type.help},
          {"properties", std::move(properties)},
          {"required", std::move(required)},
          {"additionalProperties", false}};
}

Json SchemaWriter::record_schema(const TypeInfo& type) {
  if (type.tag != nullptr) {
    Json alternatives = Json::array();
    for (const TypeRef alternative : type.tag->alternatives)
      alternatives.push_back(object_schema(type, &alternative(), type.tag));
    return {{"description", type.help}, {"oneOf", std::move(alternatives)}};
  }
  Json object = object_schema(type, nullptr, nullptr);
  if (type.short_form.empty()) return object;
  return {{"description", type.help},
          {"anyOf",
           {{{"type", "string"}, {"description", "short for " + std::string(type.short_form)}},
            std::move(object)}}};
}

std::string json_schema_text(const TypeInfo& type, std::string_view title) {
  SchemaWriter writer("#/$defs/");
  const Json root = writer.schema_of(type);
  Json schema;
  schema["$schema"] = "https://json-schema.org/draft/2020-12/schema";
  schema["title"] = title;
  schema["$ref"] = root["$ref"];
  schema["$defs"] = std::move(writer.definitions);
  return schema.dump(2) + "\n";
}

}  // namespace tautmark
