// SPDX-License-Identifier: Apache-2.0
#include "judge/headline.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "base/text.h"

namespace tautmark {
namespace {

std::string shown_subject(const Finding& finding) {
  return finding.subject.empty() ? finding.check
                                 : fmt::format("{}, {}", finding.check, finding.subject);
}

// "journal-clearance, bank 2 / camshaft / journal 1, 2" is what fits on one line.
std::string failed_words(const std::vector<Finding>& findings) {
  std::map<std::string, std::vector<std::string>> by_check;
  std::vector<std::string> order;
  for (const Finding& finding : findings) {
    if (finding.verdict != Verdict::fail) continue;
    auto& subjects = by_check[finding.check];
    if (subjects.empty()) order.push_back(finding.check);
    subjects.push_back(finding.subject);
  }
  std::string words;
  for (const std::string& check : order)
    words +=
        fmt::format("{}{} ({})", words.empty() ? "" : "; ", check, joined(by_check[check], ", "));
  return words;
}

// Every chain counted, every count right.
bool link_counts_prove_marks(const Judgement& judgement) {
  int passed = 0;
  for (const Finding& finding : judgement.findings) {
    if (finding.check != "link-counts") continue;
    if (finding.verdict != Verdict::pass) return false;
    ++passed;
  }
  return passed > 0 &&
         std::none_of(judgement.not_looked_at.begin(), judgement.not_looked_at.end(),
                      [](const NotLookedAt& missing) { return missing.check == "link-counts"; });
}

}  // namespace

void set_headline(Judgement& judgement) {
  const Tally count = tally(judgement.findings);
  const int open = count.open - count.forecast;
  if (count.fail > 0)
    judgement.stop_or_caution = fmt::format("STOP: {} outside the limit, proven: {}", count.fail,
                                            failed_words(judgement.findings));
  else if (!judgement.identified)
    judgement.stop_or_caution =
        "CAUTION: the variant is not identified; where the candidates differ nothing is judged";
  else if (open > 0)
    judgement.stop_or_caution =
        fmt::format("CAUTION: nothing proven outside, {} not answered", open);
  else if (count.pass > 0)
    judgement.stop_or_caution =
        "CAUTION: what was entered is inside its limits; that is not the engine, only these "
        "readings";
  else
    judgement.stop_or_caution = "CAUTION: nothing measured yet, nothing is answered";

  if (!judgement.only.empty())
    judgement.stop_or_caution += fmt::format(
        "; asked for {} only, the rest of the case was not judged", joined(judgement.only, ", "));

  // What the phases mean together has no limit of its own.
  const auto readings = std::count_if(
      judgement.findings.begin(), judgement.findings.end(), [](const Finding& finding) {
        return finding.verdict == Verdict::pass && finding.check != "timing-meaning";
      });
  if (readings == 0) {
    judgement.proven = "Proven: nothing.";
  } else {
    judgement.proven =
        fmt::format("Proven: {} reading{} inside the limit of this definition, at 95 %.", readings,
                    readings == 1 ? "" : "s");
  }
  const auto gates =
      std::count_if(judgement.findings.begin(), judgement.findings.end(),
                    [](const Finding& finding) { return finding.check == "procedure-gates"; });
  judgement.proven += fmt::format(
      " Not proven: drive timing{}, tightening{}{}.",
      link_counts_prove_marks(judgement) && gates == 0 ? "" : ", marks",
      gates == 0 ? "" : fmt::format("; work step by step: {} open", gates),
      judgement.not_looked_at.empty()
          ? ""
          : fmt::format("; not looked at: {} kinds of reading", judgement.not_looked_at.size()));

  // What parts may be ordered on wrongly comes before what else is open.
  const auto is_open = [](const Finding& finding) {
    return finding.verdict == Verdict::open && !finding.forecast && !finding.next.empty();
  };
  auto worth = std::find_if(
      judgement.findings.begin(), judgement.findings.end(), [&](const Finding& finding) {
        return is_open(finding) &&
               (finding.check == "phaser-again" || finding.check == "head-pressure");
      });
  if (worth == judgement.findings.end())
    worth = std::find_if(judgement.findings.begin(), judgement.findings.end(), is_open);
  const auto failed = std::find_if(
      judgement.findings.begin(), judgement.findings.end(), [](const Finding& finding) {
        return finding.verdict == Verdict::fail && !finding.follows.empty();
      });
  const auto choice =
      std::find_if(judgement.findings.begin(), judgement.findings.end(),
                   [](const Finding& finding) { return finding.check == "what-if-choice"; });
  if (choice != judgement.findings.end())
    judgement.next = fmt::format("Next: before ordering for {}: {}.", choice->subject, choice->why);
  else if (failed != judgement.findings.end())
    judgement.next = fmt::format("Next: {}.", failed->follows.front());
  else if (worth != judgement.findings.end())
    judgement.next = fmt::format("Next: {} ({}).", worth->next.front(), shown_subject(*worth));
  else if (judgement.findings.empty())
    judgement.next = "Next: enter the complaint, the state of the engine and the first readings.";
  else
    judgement.next = "Next: what was not looked at, below.";
}

}  // namespace tautmark
