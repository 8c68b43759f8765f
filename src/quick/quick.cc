// SPDX-License-Identifier: Apache-2.0
#include "quick/quick.h"

#include <fmt/format.h>

#include "base/text.h"

namespace tautmark::quick {
namespace {

std::optional<Ask> unknown_input(const QuickQuestion& question, const Typed& typed) {
  for (const auto& [name, text] : typed) {
    if (find_input(question, name) != nullptr) continue;
    std::vector<std::string> known;
    for (const Input& input : question.inputs) known.emplace_back(input.name);
    const std::optional<std::string> near = nearest(name, known);
    return Ask{.input = name,
               .sentence = fmt::format("\"{}\" is not asked here{}. This question takes: {}.", name,
                                       near ? fmt::format(" (did you mean \"{}\"?)", *near) : "",
                                       joined(known, ", ")),
               .example = near.value_or(""),
               .choices = {}};
  }
  return std::nullopt;
}

bool is_said(const Typed& typed, std::string_view name) {
  const auto found = typed.find(name);
  return found != typed.end() && !trimmed(found->second).empty();
}

}  // namespace

const QuickQuestion* find_question(std::string_view name) {
  const std::string wanted = folded(name);
  for (const QuickQuestion* question : kQuickQuestions) {
    if (wanted == question->name || (!wanted.empty() && wanted == question->alias)) return question;
  }
  return nullptr;
}

const Input* find_input(const QuickQuestion& question, std::string_view name) {
  for (const Input& input : question.inputs) {
    if (input.name == name) return &input;
  }
  return nullptr;
}

Outcome answer(const QuickQuestion& question, const Typed& typed) {
  if (auto ask = unknown_input(question, typed)) return *ask;
  for (const Input& input : question.inputs) {
    if (input.need == Need::required && !is_said(typed, input.name)) {
      return Ask{.input = std::string(input.name),
                 .sentence = std::string(input.ask),
                 .example = std::string(input.example),
                 .choices = std::string(input.choices)};
    }
  }
  Outcome outcome = question.run(typed);
  if (auto* done = std::get_if<Answer>(&outcome)) {
    done->question = question.name;
    for (const Input& input : question.inputs) {
      if (is_said(typed, input.name)) {
        done->asked.emplace_back(input.name, trimmed(typed.find(input.name)->second));
      }
    }
  }
  return outcome;
}

}  // namespace tautmark::quick
