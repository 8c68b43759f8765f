// SPDX-License-Identifier: Apache-2.0
// Pieces of schemas written by hand. Not for use outside src/serve.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

namespace tautmark::schema {

using Json = nlohmann::ordered_json;

inline Json typed(std::string_view type) { return {{"type", type}}; }
inline Json text() { return typed("string"); }
inline Json number() { return typed("number"); }
inline Json whole() { return typed("integer"); }
inline Json truth() { return typed("boolean"); }
inline Json or_null(std::string_view type) { return {{"type", {type, "null"}}}; }
inline Json list_of(Json items) { return {{"type", "array"}, {"items", std::move(items)}}; }
template <class Words>
Json any_of(const Words& words) {
  Json schema = text();
  schema["enum"] = Json::array();
  for (const auto& word : words) schema["enum"].push_back(word);
  return schema;
}
inline Json one_of(std::initializer_list<std::string_view> words) { return any_of(words); }
inline Json constant(std::string_view word) { return {{"const", word}}; }
inline Json ref(std::string_view name) {
  return {{"$ref", "#/components/schemas/" + std::string(name)}};
}
inline Json ref_or_null(std::string_view name) { return {{"anyOf", {ref(name), typed("null")}}}; }

// Every key of `needed` must be there; those of `known` may.
inline Json object(std::string_view words, Json needed, Json known = Json::object()) {
  Json required = Json::array();
  for (const auto& [key, schema] : needed.items()) required.push_back(key);
  needed.update(known);
  return {{"type", "object"},
          {"description", words},
          {"properties", std::move(needed)},
          {"required", std::move(required)}};
}

inline Json turning_answer() {
  return {{"type", "string"}, {"pattern", "^(DO NOT TURN$|TURN ONLY )"}};
}

}  // namespace tautmark::schema
