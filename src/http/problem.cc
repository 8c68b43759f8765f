// SPDX-License-Identifier: Apache-2.0
#include <nlohmann/json.hpp>

#include "http/http.h"

namespace tautmark {

Response json_response(std::string body, int status) {
  Response response;
  response.status = status;
  response.body = std::move(body);
  return response;
}

Response problem(int status, std::string_view title, std::string_view detail) {
  Response response = json_response(
      nlohmann::ordered_json{{"title", title}, {"status", status}, {"detail", detail}}.dump(),
      status);
  response.content_type = "application/problem+json";
  return response;
}

}  // namespace tautmark
