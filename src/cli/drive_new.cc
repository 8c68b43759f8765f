// SPDX-License-Identifier: Apache-2.0
// `tautmark drive new`: the interview on a terminal or from piped answers.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <set>

#include "base/text.h"
#include "cli/commands.h"
#include "cli/dialog.h"
#include "cli/drive_interview.h"
#include "cli/terminal.h"
#include "cli/words.h"
#include "drive/drive_fields.h"
#include "judge/levels.h"

namespace tautmark::cli {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view kEnding = ".drive.yaml";
constexpr int kWidth = 96;
constexpr std::string_view kGreeting =
    "A drive definition from a service manual. Enter or - : not in the manual.   ? explains.\n"
    "< goes back one question.   . ends here: the rest is not in the manual.\n"
    "Nothing is written before the end.\n";

struct NewArguments {
  std::string file;
  bool rest_unknown = false;
  std::vector<std::string> drives;
};

// What the definition can answer, to tell what a section has added.
class Progress {
 public:
  // One line about what is new; empty where nothing is.
  std::string after(const Drive& drive) {
    LoadedDrive loaded;
    loaded.drive = drive;
    std::vector<std::string> fresh;
    const auto all = capabilities(loaded);
    for (const Capability& capability : all)
      if (capability.missing.empty() && known_.insert(capability.question).second)
        fresh.push_back(capability.question);
    if (fresh.empty()) return {};
    return "   " +
           wrapped(fmt::format("can now answer {} of {}: {}", known_.size(), all.size(),
                               joined(fresh, " ")),
                   kWidth, 6) +
           "\n";
  }

 private:
  std::set<std::string> known_;
};

std::string prompt_text(const InterviewQuestion& question) {
  std::string out = question.ask;
  if (!question.choices.empty())
    out += fmt::format(" [{}]", question.choices);
  else if (!question.unit.empty())
    out += fmt::format(" [{}]", question.unit);
  return out + "\n> ";
}

std::string explain_text(const InterviewQuestion& question) {
  std::string out = "   " + wrapped(question.explain, kWidth, 3) + "\n";
  if (!question.unit.empty()) out += fmt::format("   A number alone is in {}.\n", question.unit);
  if (!question.example.empty()) out += fmt::format("   For example: {}\n", question.example);
  return out;
}

enum class Ended { asked_all, finished_early, no_more_input };

// Every answer is taken or refused at once; what is refused is asked again.
Ended converse(std::vector<std::string>& answers, InterviewState& state, std::string_view name) {
  Progress progress;
  std::string_view section;
  while (state.next) {
    if (state.next->row->section != section) {
      if (!section.empty()) say(progress.after(state.drive));
      section = state.next->row->section;
      say(fmt::format("\n{}\n", section));
    }
    const auto line = read_answer(prompt_text(*state.next));
    if (!line) return Ended::no_more_input;
    if (*line == "?") {
      say(explain_text(*state.next));
    } else if (*line == "<") {
      if (answers.empty())
        say("   this is the first question\n");
      else
        answers.pop_back();
      state = interview(answers, name);
    } else if (*line == "." && !state.next->row->needed) {
      return Ended::finished_early;
    } else {
      answers.push_back(*line);
      InterviewState then = interview(answers, name);
      if (then.refused) {
        answers.pop_back();
        say(fmt::format("   {}\n", then.refused->reason));
        if (!then.refused->hint.empty())
          say(fmt::format("   hint: {}; < goes back\n", then.refused->hint));
        continue;
      }
      state = std::move(then);
    }
  }
  say(progress.after(state.drive));
  return Ended::asked_all;
}

// The name that the file says; a folder or no file says none.
std::string name_in(const std::string& file) {
  const std::string last = fs::path(file).filename().string();
  return last.ends_with(kEnding) ? last.substr(0, last.size() - kEnding.size()) : std::string();
}

// Empty: the file may be made. Otherwise the reason why not.
std::string why_not(const std::string& file) {
  std::error_code code;
  if (fs::exists(fs::symlink_status(file, code)))
    return fmt::format("{}: error: this file is there already; it was not touched", file);
  const fs::path folder = fs::path(file).parent_path();
  if (!folder.empty() && !fs::is_directory(folder, code))
    return fmt::format("{}: error: there is no folder {}", file, folder.generic_string());
  return {};
}

int refused(const std::string& why, int status) {
  say(why + "\n");
  return status;
}

int run_new(const NewArguments& arguments) {
  std::error_code code;
  const bool in_folder = arguments.file.empty() || fs::is_directory(arguments.file, code);
  const std::string name = in_folder ? std::string() : name_in(arguments.file);
  if (!in_folder) {
    if (!is_drive_name(name))
      return refused(fmt::format("{}: a drive file is called NAME{}: letters, digits, - and _",
                                 arguments.file, kEnding),
                     kExitUsage);
    if (const std::string why = why_not(arguments.file); !why.empty())
      return refused(why, kExitInput);
  }
  say(kGreeting);
  std::vector<std::string> answers;
  InterviewState state = interview(answers, name);
  const Ended ended = converse(answers, state, name);
  if (ended == Ended::no_more_input && (!arguments.rest_unknown || state.drive.name.empty())) {
    return refused(fmt::format("The input ended after {} answers, in \"{}\": nothing was written.\n"
                               "  hint: a line with a single . ends the interview; with "
                               "--rest-unknown the end of the input does",
                               answers.size(), trimmed(state.next->row->section)),
                   kExitInput);
  }
  const std::string file =
      in_folder
          ? (fs::path(arguments.file) / (state.drive.name + std::string(kEnding))).generic_string()
          : arguments.file;
  if (!write_new_file(file, yaml_text(write_record(state.drive)))) return kExitInput;
  say(fmt::format("\n{} written\n\n", file));
  // A path, even where the file stands here: a bare name would be looked up in the folders.
  return check_drive(file, arguments.drives);
}

}  // namespace

void add_drive_new(CLI::App& drive, int& status) {
  auto arguments = std::make_shared<NewArguments>();
  CLI::App* command = drive.add_subcommand(
      "new", "Ask for a definition in the order of a service manual and write it");
  command->add_option("FILE", arguments->file,
                      "NAME.drive.yaml, or a folder for it; without it the folder one stands in");
  command->add_flag("--rest-unknown", arguments->rest_unknown,
                    "End of input: what was not answered is not in the manual");
  command
      ->add_option("--drives", arguments->drives,
                   "Folder where drive files are looked up; may be repeated")
      ->allow_extra_args(false);
  command->footer(
      "Answers come from standard input, one per line. Enter or - : not in the manual; ? "
      "explains;\n"
      "< goes back one question; . ends, the rest is not in the manual. The unit of a table is "
      "asked\n"
      "once; a number with its own unit keeps it. An existing file is never touched.\n"
      "\nExit status: that of drive check on the new file; 2 nothing was written; 64 wrong usage.");
  command->callback([arguments, &status] { status = run_new(*arguments); });
}

}  // namespace tautmark::cli
