// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "base/text.h"
#include "report/report.h"

namespace tautmark {
namespace {

std::string bold(std::string_view text, const TextStyle& style) {
  return style.bold ? fmt::format("\033[1m{}\033[0m", text) : std::string(text);
}

bool ends_in_digit(std::string_view word) {
  return !word.empty() && word.back() >= '0' && word.back() <= '9';
}

// Words that stay on one line: a number and its unit, "±" and its number.
std::vector<std::string> unbroken(std::string_view text) {
  std::vector<std::string> words;
  for (std::string& word : split(text, ' ')) {
    const bool unit = !words.empty() && ends_in_digit(words.back()) && !word.empty() &&
                      character_count(word) <= 6 && !ends_in_digit(word);
    const bool sign = !words.empty() && (word == "±" || words.back().ends_with("±") ||
                                         words.back() == "<=" || words.back() == ">=");
    if (unit || sign)
      words.back() += " " + word;
    else
      words.push_back(std::move(word));
  }
  return words;
}

// Wrapped at blanks; every line after the first starts with `indent` blanks.
std::string wrapped(std::string_view text, int indent, int width) {
  const auto room = static_cast<std::size_t>(std::max(30, width - indent));
  std::string out, line;
  std::size_t line_length = 0;
  for (const std::string& word : unbroken(text)) {
    const std::size_t length = character_count(word);
    if (line_length > 0 && line_length + 1 + length > room) {
      out += line + "\n" + std::string(static_cast<std::size_t>(indent), ' ');
      line.clear();
      line_length = 0;
    }
    if (line_length > 0) {
      line += ' ';
      ++line_length;
    }
    line += word;
    line_length += length;
  }
  return out + line;
}

void add_labelled(std::string& out, std::string_view label, const std::string& text,
                  const TextStyle& style) {
  constexpr int kIndent = 14;
  out += fmt::format("{:{}}{}\n", "", 2,
                     fmt::format("{:<12}{}", label, wrapped(text, kIndent, style.width)));
}

std::string evidence_words(const Finding& finding) { return joined(finding.evidence, " "); }

std::vector<std::string> unique(std::vector<std::string> lines) {
  std::vector<std::string> result;
  std::set<std::string> seen;
  for (std::string& line : lines)
    if (seen.insert(line).second) result.push_back(std::move(line));
  return result;
}

// What passed takes one line each: the values in a column.
void add_passes(std::string& out, const std::vector<const Finding*>& passes,
                const TextStyle& style) {
  std::size_t name_width = 0, value_width = 0;
  const auto name = [](const Finding* f) {
    return f->subject.empty() ? f->check : fmt::format("{}  {}", f->check, f->subject);
  };
  const auto value = [](const Finding* f) { return f->value ? f->value->shown : std::string(); };
  for (const Finding* finding : passes) {
    name_width = std::max(name_width, character_count(name(finding)));
    value_width = std::max(value_width, character_count(value(finding)));
  }
  const auto padded = [](std::string text, std::size_t width) {
    const std::size_t length = character_count(text);
    return length < width ? text + std::string(width - length, ' ') : text;
  };
  const std::string verdict =
      fmt::format("{} {}", verdict_link(Verdict::pass), verdict_word(Verdict::pass));
  for (const Finding* finding : passes)
    out += fmt::format("  {}  {}  {}  {}\n", bold(verdict, style),
                       padded(name(finding), name_width), padded(value(finding), value_width),
                       finding->limit ? finding->limit->shown : "");
  std::vector<std::string> follows;
  for (const Finding* finding : passes)
    follows.insert(follows.end(), finding->follows.begin(), finding->follows.end());
  for (const std::string& text : unique(std::move(follows))) add_labelled(out, "note", text, style);
  for (const Finding* finding : passes)
    for (const std::string& text : finding->next)
      add_labelled(out, "note", fmt::format("{}: {}", finding->subject, text), style);
}

void add_finding(std::string& out, const Finding& finding, const TextStyle& style) {
  const std::string verdict =
      fmt::format("{} {}", verdict_link(finding.verdict), verdict_word(finding.verdict));
  const std::string subject = finding.subject.empty() ? "" : "  " + finding.subject;
  std::string line = fmt::format("  {}  {}{}", bold(verdict, style), finding.check, subject);
  if (finding.open_because) line += fmt::format("  ({})", open_because_text(*finding.open_because));
  out += line + "\n";
  add_labelled(out, "", finding.why, style);
  for (const std::string& text : finding.follows) add_labelled(out, "follows", text, style);
  for (const std::string& text : finding.next) add_labelled(out, "next", text, style);
  if (!finding.evidence.empty()) add_labelled(out, "evidence", evidence_words(finding), style);
}

// Forecasts as a table: one line per option and camshaft.
void add_forecasts(std::string& out, const FindingGroup& group, const TextStyle& style) {
  std::vector<std::pair<std::string, std::string>> rows;  // option and camshaft, values
  for (const Finding* finding : group.findings) {
    if (!is_in_forecast_table(*finding)) {
      out += fmt::format(
          "  {} {}\n", verdict_link(Verdict::open),
          wrapped(fmt::format("{}: {}", finding->subject, finding->why), 8, style.width));
      for (const std::string& text : finding->follows) add_labelled(out, "follows", text, style);
      for (const std::string& text : finding->next) add_labelled(out, "next", text, style);
      continue;
    }
    const std::string where = finding->subject.substr(0, finding->subject.rfind(" / "));
    const std::string key =
        fmt::format("{}  {}", finding->why.substr(0, finding->why.find(':')), where);
    const std::string value =
        finding->value ? finding->value->shown.substr(0, finding->value->shown.find(' ')) : "-";
    const bool over = finding->why.find("outside by") != std::string::npos;
    const char mark = over ? '*' : finding->follows.empty() ? ' ' : '~';
    auto row =
        std::find_if(rows.begin(), rows.end(), [&](const auto& r) { return r.first == key; });
    if (row == rows.end()) row = rows.insert(rows.end(), {key, ""});
    row->second += fmt::format("{:>8}{}", value, mark);
  }
  std::size_t width = 0;
  for (const auto& [key, values] : rows) width = std::max(width, character_count(key));
  for (const auto& [key, values] : rows)
    out += fmt::format("  {} {:<{}}{}\n", verdict_link(Verdict::open), key, width + 1, values);
  const auto valued = std::find_if(group.findings.begin(), group.findings.end(),
                                   [](const Finding* f) { return f->value && f->limit; });
  if (valued == group.findings.end()) return;
  const std::string& shown = (*valued)->value->shown;
  out += "  " +
         wrapped(fmt::format("journal 1, 2, ... from the timing end, mean clearance in {}; * "
                             "outside {}, ~ outside at the end of the new range",
                             shown.substr(shown.rfind(' ') + 1), (*valued)->limit->shown),
                 2, style.width) +
         "\n";
}

void add_list(std::string& out, std::string_view title, const std::vector<std::string>& lines,
              const TextStyle& style) {
  if (lines.empty()) return;
  out += "\n" + bold(title, style) + "\n";
  for (const std::string& line : lines) out += "  " + wrapped(line, 4, style.width) + "\n";
}

void add_turning(std::string& out, const TurningAnswer& turning, const TextStyle& style) {
  out += "\n" + bold(wrapped(turning.answer, 2, style.width), style) + "\n";
  for (const auto& [label, text] :
       {std::pair("because", &turning.because),
        {turning.answer == "DO NOT TURN" ? "instead" : "with it", &turning.instead},
        {"changes it", &turning.changes_it},
        {"read aloud", &turning.say},
        {"holds for", &turning.holds_for}})
    out += "  " + wrapped(fmt::format("{:<12}{}", label, *text), 14, style.width) + "\n";
  for (std::size_t i = 0; i < turning.moves.size(); ++i)
    out += "  " +
           wrapped(fmt::format("{:<12}{}", fmt::format("move {}", i + 1), turning.moves[i]), 14,
                   style.width) +
           "\n";
  for (const std::string& caution : turning.cautions)
    out += "  " + wrapped("! caution: " + caution, 4, style.width) + "\n";
}

std::vector<std::string> limit_origins(const Judgement& judgement) {
  std::vector<std::string> lines;
  bool unchecked = false;
  for (const Finding& finding : judgement.findings) {
    if (!finding.limit || finding.forecast) continue;
    lines.push_back(fmt::format("{}{}{}", origin_text(finding.limit->origin),
                                finding.limit->source.empty() ? "" : ": ", finding.limit->source));
    unchecked = unchecked || finding.limit->checked_by.empty();
  }
  lines = unique(std::move(lines));
  if (unchecked)
    lines.emplace_back(
        "limits without a second reader's name were typed once and not cross-checked");
  return lines;
}

}  // namespace

std::string text_report(const Judgement& judgement, const TextStyle& style) {
  std::string out;
  if (judgement.invented) out += bold("INVENTED ENGINE, NOT FOR REAL WORK", style) + "\n";
  out += bold(judgement.case_title, style) + "\n";
  for (const DriveInUse& drive : judgement.drives)
    out += wrapped(fmt::format("definition: {}{}, {}", drive.title,
                               drive.revision.empty() ? "" : ", revision " + drive.revision,
                               checked_words(drive)),
                   2, style.width) +
           "\n";
  for (const std::string& caution : definition_cautions(judgement.drives))
    out += wrapped("! caution: " + caution, 2, style.width) + "\n";
  if (judgement.drives.empty())
    out += "no definition: only readings that carry their own limit can be judged\n";
  out += "\n";
  for (const std::string* line : {&judgement.stop_or_caution, &judgement.proven, &judgement.next})
    out += wrapped(*line, 2, style.width) + "\n";
  add_turning(out, judgement.turning, style);

  for (const FindingGroup& group : grouped(judgement)) {
    out += "\n" + bold(group.title, style) + "\n";
    std::vector<std::string> cautions;
    if (group.findings.front()->forecast) {
      add_forecasts(out, group, style);
      continue;
    }
    std::vector<const Finding*> passes;
    for (const Finding* finding : group.findings) {
      if (finding->verdict == Verdict::pass)
        passes.push_back(finding);
      else
        add_finding(out, *finding, style);
      cautions.insert(cautions.end(), finding->cautions.begin(), finding->cautions.end());
    }
    add_passes(out, passes, style);
    for (const std::string& caution : unique(std::move(cautions)))
      out += "  " + wrapped("! caution: " + caution, 4, style.width) + "\n";
  }
  std::vector<std::string> not_looked_at;
  for (const NotLookedAt& area : judgement.not_looked_at)
    not_looked_at.push_back(fmt::format("{}: {}", area.check, area.words));
  add_list(out, "Not looked at", not_looked_at, style);
  add_list(out, "Corrected entries", judgement.corrections, style);
  add_list(out, "Decided by persons (changes no verdict)", judgement.persons_decisions, style);
  add_list(out, "Where the limits come from", limit_origins(judgement), style);
  add_list(out, "What a pass means",
           {"The readings entered are inside the limit of this definition with a probability of at "
            "least 95 %; it says nothing of "
            "what was not measured, nor of the engine as a whole.",
            "The engine maker's current data, local codes and licensed practice come first."},
           style);
  const Tally count = tally(judgement.findings);
  out += fmt::format("\n{} pass, {} fail, {} open{}\n", count.pass, count.fail,
                     count.open - count.forecast,
                     count.forecast > 0 ? fmt::format(", {} forecasts", count.forecast) : "");
  return out;
}

std::string brief_report(const Judgement& judgement) {
  const Tally count = tally(judgement.findings);
  const auto sentence = [](std::string text) {
    if (!text.empty() && text.back() != '.') text += '.';
    return text + "\n";
  };
  std::string open;
  for (const Finding& finding : judgement.findings) {
    if (finding.verdict != Verdict::open || finding.forecast) continue;
    open = fmt::format("{} not answered, first of them {} at {}", count.open - count.forecast,
                       finding.check, finding.subject);
    if (finding.open_because)
      open += fmt::format(" ({})", open_because_text(*finding.open_because));
    break;
  }
  if (open.empty()) open = "Of what was measured, nothing is left unanswered";
  std::string first;
  for (const std::string& caution : definition_cautions(judgement.drives))
    first += sentence("Caution: " + caution);
  std::string turning =
      sentence(fmt::format("{}: {}", judgement.turning.answer, judgement.turning.because));
  for (std::size_t i = 0; i < judgement.turning.moves.size(); ++i)
    turning += sentence(fmt::format("Move {}: {}", i + 1, judgement.turning.moves[i]));
  if (!judgement.turning.moves.empty())
    for (const std::string& caution : judgement.turning.cautions)
      turning += sentence("Caution: " + caution);
  return first + sentence(judgement.stop_or_caution) + sentence(judgement.proven) + sentence(open) +
         turning + sentence(judgement.next);
}

}  // namespace tautmark
