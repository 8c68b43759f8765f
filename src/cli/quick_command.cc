// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cctype>
#include <cstdio>
#include <memory>

#include "base/text.h"
#include "casework/append.h"
#include "cli/case_words.h"
#include "cli/commands.h"
#include "cli/dialog.h"
#include "cli/quick_text.h"
#include "cli/terminal.h"

namespace tautmark::cli {
namespace {

using quick::Answer;
using quick::Ask;
using quick::Input;
using quick::Outcome;
using quick::QuickQuestion;
using quick::Typed;

struct QuickArguments {
  std::vector<std::string> words;  // the question and its inputs, as typed
  bool help = false;
  std::string json, into, by, at;
  std::vector<std::string> drives;
};

int wrong_usage(const std::string& message) {
  fmt::print(stderr, "{}\n", message);
  return kExitUsage;
}

// Length of "name" in "name=value"; nothing where the text is no such pair.
std::optional<std::size_t> key_length(const std::string& word) {
  std::size_t i = 0;
  while (i < word.size() && (std::isalpha(static_cast<unsigned char>(word[i])) != 0 ||
                             word[i] == '_' || word[i] == '-'))
    ++i;
  if (i == 0 || i == word.size() || word[i] != '=' || word[0] == '-') return std::nullopt;
  return i;
}

std::string input_name(std::string word) {
  word = lower_ascii(word);
  std::replace(word.begin(), word.end(), '-', '_');
  return word;
}

// name=value, --name value, --name=value; bare texts in the order of the table. The sentence says
// what is wrong; empty: nothing.
std::string sort_words(const QuickQuestion& question, const std::vector<std::string>& words,
                       Typed& typed) {
  std::vector<std::string> bare;
  for (std::size_t i = 0; i < words.size(); ++i) {
    std::string word = words[i];
    std::string name, value;
    if (word.starts_with("--") && word.size() > 2) {
      word.erase(0, 2);
      const std::size_t equals = word.find('=');
      name = input_name(word.substr(0, equals));
      if (equals == std::string::npos && i + 1 == words.size())
        return fmt::format("--{} without its value", word);
      value = equals == std::string::npos ? words[++i] : word.substr(equals + 1);
    } else if (const auto length = key_length(word)) {
      name = input_name(word.substr(0, *length));
      value = word.substr(*length + 1);
    } else {
      bare.push_back(word);
      continue;
    }
    if (!typed.emplace(name, value).second) return fmt::format("{} is given twice", name);
  }
  if (bare.size() > 1 && question.inputs.size() == 1) bare = {joined(bare, " ")};
  std::size_t next = 0;
  for (const Input& input : question.inputs) {
    if (next == bare.size()) return {};
    if (!typed.contains(input.name)) typed.emplace(input.name, bare[next++]);
  }
  if (next == bare.size()) return {};
  return fmt::format("\"{}\" is one text too many: put quotes around each value", bare[next]);
}

bool read_into(Typed& typed, const std::string& input, const std::string& text) {
  const auto line = read_answer(text);
  if (line) typed.insert_or_assign(input, *line);
  return line.has_value();
}

// Asks until the question is answered or the input ends.
Outcome asked_until_answered(const QuickQuestion& question, Typed& typed) {
  while (true) {
    Outcome outcome = quick::answer(question, typed);
    const auto* ask = std::get_if<Ask>(&outcome);
    if (ask == nullptr || !read_into(typed, ask->input, ask_text(*ask) + "> ")) return outcome;
  }
}

// Would saying this input make another answer? Then it is worth asking.
bool would_change(const QuickQuestion& question, const Typed& typed, const Input& input,
                  const Answer& now) {
  std::vector<std::string> samples = {std::string(input.example)};
  for (const std::string& choice : split(input.choices, '|')) samples.push_back(choice);
  return std::any_of(samples.begin(), samples.end(), [&](const std::string& sample) {
    if (sample.empty()) return false;
    Typed with = typed;
    with.insert_or_assign(std::string(input.name), sample);
    const Outcome outcome = quick::answer(question, with);
    // Another input that comes later may be needed with it; an earlier one was left out already.
    if (const auto* ask = std::get_if<Ask>(&outcome))
      return quick::find_input(question, ask->input) > &input;
    const auto& then = std::get<Answer>(outcome);
    return then.lines != now.lines || then.steps != now.steps || then.verdict != now.verdict;
  });
}

// What is needed first, then what may be left out and would change the answer.
Outcome conversation(const QuickQuestion& question, Typed& typed) {
  Outcome outcome = asked_until_answered(question, typed);
  for (const Input& input : question.inputs) {
    const auto* now = std::get_if<Answer>(&outcome);
    if (now == nullptr) return outcome;
    const auto said = typed.find(input.name);
    if (said != typed.end() && !said->second.empty()) continue;
    if (!would_change(question, typed, input, *now)) continue;
    const Ask ask{std::string(input.name), std::string(input.ask) + " (Enter leaves it out)",
                  std::string(input.example), std::string(input.choices)};
    if (!read_into(typed, ask.input, ask_text(ask) + "> ")) return outcome;
    outcome = asked_until_answered(question, typed);
  }
  return outcome;
}

int exit_status(const Answer& answer) {
  if (!answer.verdict || *answer.verdict == Verdict::pass) return kExitPass;
  return *answer.verdict == Verdict::fail ? kExitFail : kExitOpen;
}

int keep_in_case(const QuickArguments& arguments, const Answer& answer) {
  Entry entry;
  if (!arguments.by.empty()) entry.by = arguments.by;
  if (!arguments.at.empty()) {
    auto date = date_said(arguments.at);
    if (!date) {
      fmt::print(stderr, "--at {}: error: {}\n  hint: {}\n", arguments.at, date.error().problem,
                 date.error().hint);
      return kExitInput;
    }
    entry.at = std::move(*date);
  }
  entry.body = answer_entry(answer);
  const auto id = append_checked_entry(arguments.into, std::move(entry),
                                       drive_folders(arguments.drives, arguments.into));
  if (!id) return report_input(id.error());
  fmt::print(stderr, "kept in {} as {}\n", arguments.into, *id);
  return kExitPass;
}

int run_question(const QuickArguments& arguments, const QuickQuestion& question) {
  Typed typed;
  const std::vector<std::string> words(arguments.words.begin() + 1, arguments.words.end());
  if (const std::string wrong = sort_words(question, words, typed); !wrong.empty())
    return wrong_usage(
        fmt::format("{}\ntautmark quick {} --help shows the inputs", wrong, question.name));
  for (const auto& [name, text] : typed) {
    if (quick::find_input(question, name) != nullptr) continue;
    return wrong_usage(std::get<Ask>(quick::answer(question, typed)).sentence);
  }
  Outcome outcome;
  if (words.empty())
    outcome = conversation(question, typed);
  else if (input_is_terminal())
    outcome = asked_until_answered(question, typed);
  else
    outcome = quick::answer(question, typed);
  if (const auto* ask = std::get_if<Ask>(&outcome)) {
    if (!words.empty())
      say(fmt::format("{}: {}", ask->input, ask_text(*ask)));
    else
      say(fmt::format("not answered: {} is still to be said\n", ask->input));
    return kExitInput;
  }
  const auto& answer = std::get<Answer>(outcome);
  if (!arguments.json.empty() && !write_output(arguments.json, answer_json(answer)))
    return kExitInput;
  if (arguments.json != "-") {
    std::fputs(answer_text(answer, output_style()).c_str(), stdout);
    std::fflush(stdout);
  }
  if (!arguments.into.empty()) {
    if (const int status = keep_in_case(arguments, answer); status != kExitPass) return status;
  }
  return exit_status(answer);
}

int run_quick(const CLI::App& command, const QuickArguments& arguments) {
  if (arguments.words.empty()) {
    const std::string text = arguments.help ? command.help() + "\n" + quick_list() : quick_list();
    std::fputs(text.c_str(), stdout);
    return kExitPass;
  }
  const std::string& name = arguments.words.front();
  const QuickQuestion* question = quick::find_question(name);
  if (question == nullptr) {
    std::vector<std::string> known;
    for (const QuickQuestion* each : quick::kQuickQuestions) {
      known.emplace_back(each->name);
      if (!each->alias.empty()) known.emplace_back(each->alias);
    }
    const auto near = nearest(folded(name), known);
    return wrong_usage(
        near ? fmt::format("no question \"{}\"; did you mean \"{}\"?", name, *near)
             : fmt::format("no question \"{}\"; known: {}", name, joined(known, ", ")));
  }
  if (!arguments.help) return run_question(arguments, *question);
  std::fputs(quick_help(*question).c_str(), stdout);
  return kExitPass;
}

}  // namespace

void add_quick(CLI::App& app, int& status) {
  auto arguments = std::make_shared<QuickArguments>();
  CLI::App* command =
      app.add_subcommand("quick", "Answers without a drive and without a case, as on the phone");
  command->allow_extras();
  command->set_help_flag();  // the help of a question is the question's own
  command->add_flag("-h,--help", arguments->help, "This, or the inputs of a question named before");
  command->add_option("--json", arguments->json, "Write the answer as JSON; - is standard output");
  command->add_option("--into", arguments->into, "Keep the answer in this case, as a new entry");
  command->add_option("--by", arguments->by, "Who asked; goes with --into");
  command->add_option("--at", arguments->at, "When; a date, a date with time, or now; with --into");
  command
      ->add_option("--drives", arguments->drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
  command->footer(
      "tautmark quick                         lists the questions\n"
      "tautmark quick NAME                    asks one input after the other\n"
      "tautmark quick NAME key=value ...      or --key value, or values in the order of the "
      "inputs\n"
      "\nExit status: 0 passed or nothing to judge, 1 failed, 3 open, 2 something must be asked "
      "back\n"
      "or the case could not be used, 64 wrong usage.");
  command->callback([command, arguments, &status] {
    for (const std::string& word : command->remaining())
      if (word != "--") arguments->words.push_back(word);
    status = run_quick(*command, *arguments);
  });
}

}  // namespace tautmark::cli
