// SPDX-License-Identifier: Apache-2.0
// JSON Schema (draft 2020-12) of described types, collected as the definitions of one document.
#pragma once

#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <string>

#include "base/fields.h"

namespace tautmark {

class SchemaWriter {
 public:
  // Where the definitions will stand in the document: "#/$defs/", "#/components/schemas/".
  explicit SchemaWriter(std::string prefix) : prefix_(std::move(prefix)) {}

  // Of a record, a reference: its definition, and those of what it holds, are added. Of two records
  // with one name the second is called after the record that holds it: "marks_mark".
  nlohmann::ordered_json schema_of(const TypeInfo& type);

  nlohmann::ordered_json definitions = nlohmann::ordered_json::object();

 private:
  void add_field(const FieldInfo& field, nlohmann::ordered_json& properties,
                 nlohmann::ordered_json& required);
  nlohmann::ordered_json object_schema(const TypeInfo& type, const TypeInfo* body,
                                       const TagInfo* tag);
  nlohmann::ordered_json record_schema(const TypeInfo& type);

  std::string prefix_;
  std::string_view holder_;
  std::map<const TypeInfo*, std::string> names_;
  std::set<std::string> taken_;
};

}  // namespace tautmark
