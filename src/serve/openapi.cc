// SPDX-License-Identifier: Apache-2.0
#include "serve/openapi.h"

#include "base/schema_writer.h"
#include "casework/case_fields.h"
#include "serve/api_operations.h"
#include "serve/api_types.h"
#include "serve/openapi_findings.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::string_view kSchemas = "#/components/schemas/";
constexpr std::string_view kDescription =
    "The program's own page uses nothing else. Times are RFC 3339 in UTC, quantities are text with "
    "their unit, as in the case and drive files. A request that changes something needs the "
    "content type stated here, application/json also where it has no body, and where it comes from "
    "a page, from this one. With /practice in front of a path the same is done in the practice "
    "store. What goes wrong is told as "
    "application/problem+json (RFC 9457). A slash inside a name of a "
    "path is written %2F.";

Json content(std::string_view media, Json schema) {
  return {{std::string(media), {{"schema", std::move(schema)}}}};
}

Json body_content(const ApiBody& body, SchemaWriter& writer) {
  if (const auto* type = std::get_if<TypeRef>(&body))
    return content("application/json", writer.schema_of((*type)()));
  if (const auto* named = std::get_if<NamedSchema>(&body)) {
    if (named->name == "openapi") return content("application/json", {{"type", "object"}});
    return content("application/json",
                   {{"$ref", std::string(kSchemas) + std::string(named->name)}});
  }
  const std::string_view media = std::get<Media>(body).type;
  const bool is_text = media.starts_with("text/") || media.ends_with("+xml");
  return content(media, is_text ? Json{{"type", "string"}} : Json::object());
}

Json parameters(const ApiOperation& operation) {
  Json all = Json::array();
  const std::string_view pattern = operation.pattern;
  for (std::size_t at = pattern.find('{'); at != pattern.npos; at = pattern.find('{', at + 1))
    all.push_back({{"name", pattern.substr(at + 1, pattern.find('}', at) - at - 1)},
                   {"in", "path"},
                   {"required", true},
                   {"schema", {{"type", "string"}}}});
  for (const QueryParameter& parameter : operation.query)
    all.push_back({{"name", parameter.name},
                   {"in", "query"},
                   {"required", parameter.required},
                   {"description", parameter.help},
                   {"schema", {{"type", parameter.type}}}});
  return all;
}

Json responses(const ApiOperation& operation, SchemaWriter& writer) {
  Json all = Json::object();
  for (const ApiAnswer& answer : operation.answers) {
    Json& response = all[std::to_string(answer.status)];
    const bool is_empty = std::holds_alternative<std::monostate>(answer.body);
    response["description"] = is_empty ? "Done." : answer.status == 201 ? "Made." : "The answer.";
    if (!is_empty) response["content"] = body_content(answer.body, writer);
  }
  for (const int status : problem_statuses(operation))
    all[std::to_string(status)] = {{"$ref", "#/components/responses/problem"}};
  all["default"] = {{"$ref", "#/components/responses/problem"}};
  return all;
}

Json operation_json(const ApiOperation& operation, SchemaWriter& writer) {
  static constexpr std::string_view kRoles[] = {"read", "write", "manage"};
  Json json = {{"operationId", operation.id}, {"summary", operation.summary}};
  if (operation.role < 0)
    json["security"] = Json::array();
  else
    json["x-role"] = kRoles[operation.role];
  if (Json all = parameters(operation); !all.empty()) json["parameters"] = std::move(all);
  if (!std::holds_alternative<std::monostate>(operation.request))
    json["requestBody"] = {{"required", true},
                           {"content", body_content(operation.request, writer)}};
  json["responses"] = responses(operation, writer);
  return json;
}

std::string lower(std::string_view method) {
  std::string out(method);
  for (char& c : out) c = static_cast<char>(c | 0x20);
  return out;
}

std::string made_text() {
  SchemaWriter writer{std::string(kSchemas)};
  const Json problem_schema = writer.schema_of(type_of<Problem>());
  // First the formats, so that their own names stay theirs.
  writer.schema_of(type_of<Drive>());
  writer.schema_of(type_of<Case>());
  Json paths = Json::object();
  for (const ApiOperation& operation : api_operations())
    paths[std::string(operation.pattern)][lower(operation.method)] =
        operation_json(operation, writer);
  Json schemas = std::move(writer.definitions);
  add_report_schemas(schemas);
  add_work_schemas(schemas);
  add_trace_schemas(schemas);
  add_parts_schemas(schemas);
  add_author_schemas(schemas);
  add_clearance_schemas(schemas);
  add_oil_schemas(schemas);
  Json document;
  document["openapi"] = "3.1.0";
  document["info"] = {{"title", "Tautmark"},
                      {"version", kApiVersion},
                      {"description", kDescription},
                      {"license", {{"name", "Apache-2.0"}, {"identifier", "Apache-2.0"}}}};
  document["servers"] = Json::array({{{"url", "/"}}});
  document["security"] = Json::array({{{"session", Json::array()}}});
  document["paths"] = std::move(paths);
  document["components"] = {
      {"schemas", std::move(schemas)},
      {"responses",
       {{"problem",
         {{"description", "Why it was not done."},
          {"content", content("application/problem+json", problem_schema)}}}}},
      {"securitySchemes",
       {{"session", {{"type", "apiKey"}, {"in", "cookie"}, {"name", kSessionCookie}}}}}};
  return document.dump(1) + "\n";
}

}  // namespace

const std::string& openapi_text() {
  static const std::string kText = made_text();
  return kText;
}

}  // namespace tautmark
