// SPDX-License-Identifier: Apache-2.0
#include "cli/quick_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "base/text.h"
#include "cli/words.h"
#include "report/finding_json.h"

namespace tautmark::cli {
namespace {

using Json = nlohmann::ordered_json;
using quick::Input;
using quick::Need;
using quick::QuickQuestion;

std::string choices_text(std::string_view choices) { return joined(split(choices, '|'), ", "); }

// The needed inputs; where none is needed by itself, the first two that are not.
std::string example_words(const QuickQuestion& question) {
  std::string out;
  int optional_ones = 0;
  const bool any_needed = std::any_of(question.inputs.begin(), question.inputs.end(),
                                      [](const Input& i) { return i.need == Need::required; });
  const bool first_is_optional =
      !question.inputs.empty() && question.inputs.front().need == Need::optional;
  for (const Input& input : question.inputs) {
    if (input.need == Need::optional && any_needed && !first_is_optional) continue;
    if (input.need == Need::optional && ++optional_ones > 2) continue;
    out += fmt::format(" {}=\"{}\"", input.name, input.example);
  }
  return out;
}

std::string section(std::string_view title, const std::vector<std::string>& lines, int width) {
  if (lines.empty()) return {};
  std::string out = fmt::format("\n{}\n", title);
  for (const std::string& line : lines) out += "  " + wrapped(line, width - 2, 4) + "\n";
  return out;
}

std::string alias_text(const QuickQuestion& question) {
  return question.alias.empty() ? std::string() : fmt::format(" (or {})", question.alias);
}

}  // namespace

std::string quick_list() {
  std::string out = "Quick answers: one question, no drive and no case.\n";
  for (const QuickQuestion* question : quick::kQuickQuestions)
    out +=
        fmt::format("\n  {:<12} {}{}\n{:15}tautmark quick {}{}\n", question->name, question->help,
                    alias_text(*question), "", question->name, example_words(*question));
  out +=
      "\ntautmark quick NAME          asks one input after the other; one answer per line\n"
      "tautmark quick NAME --help   the inputs of one question\n";
  return out;
}

std::string quick_help(const QuickQuestion& question) {
  std::string out = fmt::format("{}{}: {}\n\ninputs, in order:\n", question.name,
                                alias_text(question), question.help);
  for (const Input& input : question.inputs) {
    out += fmt::format("  {}{}\n      {}\n", input.name,
                       input.need == Need::required ? "" : "  (may be left out)",
                       wrapped(input.ask, 90, 6));
    if (!input.choices.empty())
      out += fmt::format("      one of: {}\n", choices_text(input.choices));
    out += fmt::format("      example: {}\n", input.example);
  }
  out += fmt::format("\nexample:\n  tautmark quick {}{}\n", question.name, example_words(question));
  return out;
}

std::string ask_text(const quick::Ask& ask) {
  std::string out = ask.sentence + "\n";
  if (!ask.choices.empty()) out += fmt::format("  one of: {}\n", choices_text(ask.choices));
  if (!ask.example.empty()) out += fmt::format("  for example: {}\n", ask.example);
  return out;
}

std::string answer_text(const quick::Answer& answer, const TextStyle& style) {
  std::string first = answer.lines.empty() ? std::string("No answer.") : answer.lines.front();
  if (answer.verdict) {
    std::string word(verdict_word(*answer.verdict));
    std::transform(word.begin(), word.end(), word.begin(), [](char c) {
      return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    });
    // A sentence to read aloud may begin with the word itself.
    const bool said = lower_ascii(first).starts_with(verdict_word(*answer.verdict));
    first = said ? fmt::format("{}  {}", verdict_link(*answer.verdict), first)
                 : fmt::format("{}  {}: {}", verdict_link(*answer.verdict), word, first);
  }
  std::string out = bold(wrapped(first, style.width), style) + "\n";
  for (std::size_t i = 1; i < answer.lines.size(); ++i)
    out += wrapped(answer.lines[i], style.width) + "\n";
  out += section("computed:", answer.steps, style.width);
  out += section("taken for granted:", answer.assumed, style.width);
  out += section("caution:", answer.cautions, style.width);
  return out;
}

std::string answer_json(const quick::Answer& answer) {
  Json json;
  json["schema"] = "quick/1";
  json["question"] = answer.question;
  json["asked"] = Json::object();
  for (const auto& [name, text] : answer.asked) json["asked"][name] = text;
  json["verdict"] = answer.verdict ? Json(verdict_word(*answer.verdict)) : Json(nullptr);
  json["lines"] = answer.lines;
  json["steps"] = answer.steps;
  json["assumed"] = answer.assumed;
  json["cautions"] = answer.cautions;
  json["forbids"] = answer.forbids.empty() ? Json(nullptr) : Json(answer.forbids);
  json["finding"] = answer.finding ? finding_json(*answer.finding) : Json(nullptr);
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

QuickAnswer answer_entry(const quick::Answer& answer) {
  QuickAnswer entry;
  entry.question = answer.question;
  for (const auto& [name, text] : answer.asked)
    entry.asked.push_back(fmt::format("{} {}", name, text));
  entry.answer = answer.lines;
  if (!answer.forbids.empty()) entry.forbids = answer.forbids;
  return entry;
}

}  // namespace tautmark::cli
