// SPDX-License-Identifier: Apache-2.0
#include "serve/answer.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/quantity_text.h"
#include "store/cases.h"

namespace tautmark {
namespace {

struct Spoken {
  int status;
  std::string_view title;
};

Spoken spoken(StoreTrouble trouble) {
  switch (trouble) {
    case StoreTrouble::unreachable:
      return {503, "The store does not answer"};
    case StoreTrouble::busy:
    case StoreTrouble::moved_on:
      return {503, "The store is busy"};
    case StoreTrouble::read_only:
      return {403, "The store can only be read"};
    case StoreTrouble::full:
      return {507, "The disk is full"};
    case StoreTrouble::damaged:
      return {500, "The store is damaged"};
    case StoreTrouble::not_found:
      return {404, "Not there"};
    case StoreTrouble::exists:
      return {409, "There already"};
    case StoreTrouble::refused:
      return {422, "Refused"};
    case StoreTrouble::differs:
      return {409, "It is not what it should be"};
  }
  return {500, "The store failed"};
}

Response problem_answer(Problem problem) {
  Response response = answer(problem, problem.status);
  response.content_type = "application/problem+json";
  return response;
}

}  // namespace

Response too_often(int seconds) {
  Response response = problem(
      429, "Too many tries",
      fmt::format("wait {} second{} before the next try", seconds, seconds == 1 ? "" : "s"));
  response.headers.emplace_back("Retry-After", std::to_string(seconds));
  return response;
}

Response problem_of(const StoreError& error) {
  if (error.wait_seconds > 0) return too_often(error.wait_seconds);
  const Spoken said = spoken(error.trouble);
  Response response = problem_answer({std::string(said.title), said.status, error.message, {}});
  if (said.status == 503) response.headers.emplace_back("Retry-After", "2");
  return response;
}

std::vector<Mistake> mistakes_of(const Diagnostics& found, const std::string& hidden) {
  std::vector<Mistake> mistakes = mistakes_of(found);
  for (Mistake& mistake : mistakes) {
    if (hidden.empty() || !mistake.file.starts_with(hidden)) continue;
    mistake.file.erase(0, hidden.size());
    if (mistake.file.starts_with('/')) mistake.file.erase(0, 1);
  }
  return mistakes;
}

Response problem_of(const Diagnostics& found, const std::string& hidden) {
  Problem problem{"What was sent cannot be used", 422, {}, mistakes_of(found, hidden)};
  if (!problem.mistakes.empty()) problem.detail = problem.mistakes.front().message;
  return problem_answer(std::move(problem));
}

Response problem_of(const CaseRefused& refused, const std::string& hidden) {
  return refused.error ? problem_of(*refused.error) : problem_of(refused.mistakes, hidden);
}

Response text_response(std::string_view content_type, std::string text) {
  Response response;
  response.content_type = content_type;
  response.body = std::move(text);
  return response;
}

Response nothing_more() {
  Response response;
  response.status = 204;
  return response;
}

Answered<Node> body_tree(const Request& request) {
  const auto tree = parse_json(make_text_file("request", request.body));
  if (!tree) return answer_with(problem_of(tree.error()));
  return *tree;
}

std::string asked(const Request& request, std::string_view name) {
  const auto found = request.query.find(std::string(name));
  return found == request.query.end() ? std::string() : found->second;
}

bool said_true(const Request& request, std::string_view name) {
  const std::string said = asked(request, name);
  return said == "true" || said == "1";
}

Answered<std::int64_t> number_asked(const Request& request, std::string_view name,
                                    std::int64_t otherwise, std::int64_t least, std::int64_t most) {
  const std::string said = asked(request, name);
  if (said.empty()) return otherwise;
  const auto number = read_integer(said);
  if (!number || *number < least || *number > most)
    return answer_with(
        problem(400, "Wrong question",
                fmt::format("{} is a whole number from {} to {}", name, least, most)));
  return *number;
}

Answered<std::optional<double>> real_asked(const Request& request, std::string_view name) {
  const std::string said = asked(request, name);
  if (said.empty()) return std::optional<double>();
  const auto number = read_number(said);
  if (!number)
    return answer_with(problem(400, "Wrong question", fmt::format("{} is a number", name)));
  return std::optional<double>(*number);
}

CaseInShort row_of(const CaseSummary& summary) {
  CaseInShort row;
  row.uid = summary.uid;
  row.name = summary.name;
  row.title = summary.title;
  row.drive = summary.drive;
  row.invented = summary.invented;
  row.created = time_text(summary.created);
  row.changed = time_text(summary.changed);
  if (summary.keep_until > 0) row.keep_until = time_text(summary.keep_until);
  row.entries = summary.entries;
  row.head_seq = summary.head_seq;
  row.head_hash = summary.head_hash;
  return row;
}

}  // namespace tautmark
