// SPDX-License-Identifier: Apache-2.0
// Quick answers, for whoever asks: nothing of the shop is in them.
#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "base/text.h"
#include "base/unit.h"
#include "quick/quick.h"
#include "report/finding_json.h"
#include "serve/answer.h"
#include "serve/handlers.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::int64_t kMostTyped = std::int64_t{64} << 10;

std::vector<std::string> choices_of(std::string_view choices) {
  return choices.empty() ? std::vector<std::string>() : split(choices, '|');
}

Response list_questions(Shop&, Request&) {
  QuickList list;
  for (const quick::QuickQuestion* question : quick::kQuickQuestions) {
    QuickQuestionRow row{std::string(question->name), std::string(question->help), {}};
    for (const quick::Input& input : question->inputs)
      row.inputs.push_back({std::string(input.name), std::string(input.ask), input.form,
                            std::string(input.kind ? kind_name(*input.kind) : ""),
                            input.need == quick::Need::required, std::string(input.example),
                            choices_of(input.choices)});
    list.questions.push_back(std::move(row));
  }
  return answer(list);
}

Response unknown_question(std::string_view name) {
  std::vector<std::string> known;
  for (const quick::QuickQuestion* question : quick::kQuickQuestions)
    known.emplace_back(question->name);
  return problem(
      404, "Not there",
      fmt::format("there is no question \"{}\"; there are {}", name, joined(known, ", ")));
}

Json ask_json(const quick::Ask& ask) {
  return {{"input", ask.input},
          {"sentence", ask.sentence},
          {"example", ask.example},
          {"choices", choices_of(ask.choices)}};
}

Json answer_json(const quick::Answer& answer) {
  Json json = {{"question", answer.question}};
  if (answer.verdict) json["verdict"] = verdict_word(*answer.verdict);
  json["lines"] = answer.lines;
  json["steps"] = answer.steps;
  json["assumed"] = answer.assumed;
  json["cautions"] = answer.cautions;
  if (!answer.forbids.empty()) json["forbids"] = answer.forbids;
  if (answer.finding) json["finding"] = finding_json(*answer.finding);
  json["asked"] = Json::array();
  for (const auto& [input, text] : answer.asked)
    json["asked"].push_back({{"input", input}, {"text", text}});
  return json;
}

Response ask_question(Shop&, Request& request) {
  const quick::QuickQuestion* question = quick::find_question(request.parts["question"]);
  if (question == nullptr) return unknown_question(request.parts["question"]);
  const auto said = body_as<QuickTyped>(request);
  if (!said) return said.error();
  quick::Typed typed;
  for (const QuickSaid& one : said->typed)
    if (!typed.emplace(one.input, one.text).second)
      return problem(422, "What was sent cannot be used",
                     fmt::format("\"{}\" is said twice", one.input));
  const quick::Outcome outcome = quick::answer(*question, typed);
  Json json;
  if (const auto* ask = std::get_if<quick::Ask>(&outcome))
    json["ask"] = ask_json(*ask);
  else
    json["answer"] = answer_json(std::get<quick::Answer>(outcome));
  return json_response(json.dump(-1, ' ', false, Json::error_handler_t::replace));
}

}  // namespace

std::span<const Handler> quick_handlers() {
  static constexpr Handler kHandlers[] = {
      {"listQuick", &list_questions},
      {"askQuick", &ask_question, nullptr, kMostTyped},
  };
  return kHandlers;
}

}  // namespace tautmark
