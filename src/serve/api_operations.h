// SPDX-License-Identifier: Apache-2.0
// Every operation of the API: what openapi.json tells and what the handlers must do.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "base/fields.h"

namespace tautmark {

inline constexpr std::string_view kSessionCookie = "tautmark_session";
inline constexpr std::string_view kDeviceCookie = "tautmark_device";

inline constexpr std::string_view kPractice = "/practice";  // in front of the API's paths

// A body: JSON of a described type, JSON of a schema written by hand (openapi_findings.h), or bytes
// of a media type.
struct NamedSchema {
  std::string_view name;
};
struct Media {
  std::string_view type;
};
using ApiBody = std::variant<std::monostate, TypeRef, NamedSchema, Media>;

struct QueryParameter {
  std::string_view name;
  std::string_view type;  // "string", "integer", "number", "boolean"
  std::string_view help;
  bool required = false;
};

struct ApiAnswer {
  int status = 200;
  ApiBody body;
};

struct ApiOperation {
  std::string_view method;
  std::string_view pattern;  // of Route
  std::string_view id;       // "listCases"
  std::string_view summary;
  int role = 0;  // -1 nobody needs to be known, 0 read, 1 write, 2 manage
  ApiBody request;
  std::vector<ApiAnswer> answers;  // when it went well
  std::vector<QueryParameter> query;
};

// A {name} of a path may hold "%2F" for a slash.
std::span<const ApiOperation> api_operations();

// Statuses of the problem an operation may answer with, by what it takes and needs.
std::vector<int> problem_statuses(const ApiOperation& operation);

}  // namespace tautmark
