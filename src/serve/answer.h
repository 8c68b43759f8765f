// SPDX-License-Identifier: Apache-2.0
// From what went wrong to an answer, and from a body to a described struct. Not for use outside
// src/serve.
#pragma once

#include <string>
#include <tl/expected.hpp>

#include "base/diagnostic.h"
#include "http/http.h"
#include "serve/api_types.h"
#include "store/exchange.h"

namespace tautmark {

template <class T>
using Answered = tl::expected<T, Response>;

inline tl::unexpected<Response> answer_with(Response response) {
  return tl::make_unexpected(std::move(response));
}

Response problem_of(const StoreError& error);
Response too_often(int seconds);  // 429
// `hidden` is cut off the front of file names: nobody outside needs to know our folders.
Response problem_of(const Diagnostics& mistakes, const std::string& hidden = {});
Response problem_of(const CaseRefused& refused, const std::string& hidden = {});
std::vector<Mistake> mistakes_of(const Diagnostics& found, const std::string& hidden);

Response text_response(std::string_view content_type, std::string text);
Response nothing_more();  // 204

template <class T>
Response answer(const T& value, int status = 200) {
  return json_response(api_json(value), status);
}

// The body as it is described; refused (422) with every mistake at its place.
template <class T>
Answered<T> body_as(const Request& request) {
  auto value = api_value<T>(request.body);
  if (!value) return answer_with(problem_of(value.error()));
  return std::move(*value);
}
// The same before it is read, for those who need more than the struct.
Answered<Node> body_tree(const Request& request);

// A whole number of the query, held inside bounds; 400 when it is none.
Answered<std::int64_t> number_asked(const Request& request, std::string_view name,
                                    std::int64_t otherwise, std::int64_t least, std::int64_t most);
Answered<std::optional<double>> real_asked(const Request& request, std::string_view name);
bool said_true(const Request& request, std::string_view name);
std::string asked(const Request& request, std::string_view name);

CaseInShort row_of(const CaseSummary& summary);

}  // namespace tautmark
