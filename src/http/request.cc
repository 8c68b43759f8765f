// SPDX-License-Identifier: Apache-2.0
#include "base/text.h"
#include "http/http.h"

namespace tautmark {

std::string_view Request::header(std::string_view lower_case_name) const {
  const auto found = headers.find(std::string(lower_case_name));
  return found == headers.end() ? std::string_view{} : found->second;
}

std::optional<std::string> Request::cookie(std::string_view name) const {
  for (const std::string& pair : split(header("cookie"), ';')) {
    const std::string_view cookie = trimmed(pair);
    const std::size_t equals = cookie.find('=');
    if (equals != std::string_view::npos && cookie.substr(0, equals) == name)
      return std::string(cookie.substr(equals + 1));
  }
  return std::nullopt;
}

}  // namespace tautmark
