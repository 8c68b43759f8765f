// SPDX-License-Identifier: Apache-2.0
// Findings on the printed sheet: worst group first, each with its chain link, its value and its
// limit drawn; forecasts as one table.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.h"
#include "report/html_parts.h"
#include "report/html_sections.h"
#include "report/report.h"
#include "report/value_bar.h"

namespace tautmark::html {
namespace {

using Scales = std::map<std::string, std::optional<BarScale>>;  // by check and limit

std::string scale_key(const Finding& finding) {
  return finding.check + '\n' + (finding.limit ? finding.limit->shown : "");
}

// Findings of one check against one limit share a scale: their bars can be compared.
Scales scales_of(const FindingGroup& group) {
  std::map<std::string, std::vector<const Finding*>> alike;
  for (const Finding* finding : group.findings) alike[scale_key(*finding)].push_back(finding);
  Scales scales;
  for (const auto& [key, findings] : alike) scales[key] = bar_scale(findings);
  return scales;
}

std::string_view origin_words(const FindingLimit& limit) {
  return limit.origin == Origin::unknown ? "no stated origin" : origin_text(limit.origin);
}

std::string source_words(const FindingLimit& limit) {
  return fmt::format("{}{}{}; {}", origin_words(limit), limit.source.empty() ? "" : ": ",
                     limit.source,
                     limit.checked_by.empty() ? "typed once, not cross-checked"
                                              : "cross-checked by " + limit.checked_by);
}

// What every limit of a group says of its source; empty where they differ.
std::string common_source(const FindingGroup& group) {
  std::string common;
  for (const Finding* finding : group.findings) {
    if (!finding->limit) continue;
    const std::string own = source_words(*finding->limit);
    if (!common.empty() && own != common) return {};
    common = own;
  }
  return common;
}

std::string limit_words(const FindingLimit& limit, bool source_is_common) {
  std::string applies;
  if (!limit.applies_to.empty()) applies = fmt::format(" ({})", limit.applies_to);
  const std::string source =
      source_is_common ? std::string(origin_words(limit)) : source_words(limit);
  return tag("span.limit", "limit " + said("b", spoken_limit(limit.shown) + applies) + " " +
                               said("span.source", source));
}

// The sentence without the value and limit that stand above it already.
std::string why_words(const Finding& finding) {
  if (!finding.value || !finding.limit) return spoken_signs(finding.why);
  const std::string repeated =
      fmt::format("{} against {}: ", finding.value->shown, finding.limit->shown);
  const std::size_t at = finding.why.find(repeated);
  constexpr std::size_t kLongestBefore = 24;  // "worst direction "
  if (at > kLongestBefore) return spoken_signs(finding.why);
  const std::string_view why = finding.why;
  return fmt::format("{}{}{}", why.substr(0, at), at > 0 ? "value: " : "",
                     spoken_signs(why.substr(at + repeated.size())));
}

std::string labelled(std::string_view label, const std::vector<std::string>& lines) {
  std::string out;
  for (const std::string& line : lines)
    out += tag(fmt::format("p.{}", label), said("b", label) + " " + escaped(spoken_signs(line)));
  return out;
}

std::string evidence_line(const Finding& finding) {
  std::string words;
  for (const std::string& id : finding.evidence) words += (words.empty() ? "" : " ") + id;
  if (words.empty()) return {};
  return tag("p.evidence", "evidence " + escaped(words));
}

std::string variants_table(const Finding& finding) {
  std::string rows;
  for (const VariantAnswer& variant : finding.variants)
    rows += tag("tr", said("th", variant.drive, "scope=\"row\"") +
                          said("td", spoken_limit(variant.limit)) + said("td", variant.verdict));
  return rows.empty() ? "" : tag("table.variants", tag("tbody", rows));
}

std::string finding_card(const Finding& finding, const Scales& scales, bool source_is_common) {
  std::string verdict = verdict_drawing(finding.verdict);
  if (finding.open_because) verdict += said("small", open_because_text(*finding.open_because));

  std::string words =
      tag("p.where", said("b", finding.subject.empty() ? "whole case" : finding.subject) + " " +
                         said("span.check", spoken_check(finding.check)));
  std::string numbers;
  if (finding.value) numbers += said("span.value", spoken_limit(finding.value->shown)) + " ";
  if (finding.limit) numbers += limit_words(*finding.limit, source_is_common);
  if (!numbers.empty()) words += tag("p.numbers", numbers);
  words += said("p.why", why_words(finding)) + variants_table(finding);
  // A pass needs nothing done; what it does not say stays with it.
  words += labelled("follows", finding.follows);
  if (finding.verdict != Verdict::pass) words += labelled("next", finding.next);
  words += evidence_line(finding);

  std::string drawing;
  const auto scale = scales.find(scale_key(finding));
  if (scale != scales.end() && scale->second) drawing = value_bar(finding, *scale->second);
  const std::string_view kind = verdict_word(finding.verdict);
  return tag(fmt::format("article.finding {}", kind),
             tag("div.verdict", verdict) + tag("div.words", words) +
                 (drawing.empty() ? "" : tag("div.scale", drawing))) +
         "\n";
}

std::string cautions_list(const FindingGroup& group) {
  std::vector<std::string> lines;
  for (const Finding* finding : group.findings)
    for (const std::string& caution : finding->cautions)
      if (std::find(lines.begin(), lines.end(), caution) == lines.end()) lines.push_back(caution);
  std::string out;
  for (const std::string& line : lines)
    out += tag("li", said("b", "Caution") + " " + escaped(line));
  return out.empty() ? "" : tag("ul.cautions", out);
}

std::string tally_words(const FindingGroup& group) {
  int pass = 0, fail = 0, open = 0;
  for (const Finding* finding : group.findings)
    ++(finding->verdict == Verdict::pass ? pass : finding->verdict == Verdict::fail ? fail : open);
  std::string words;
  const auto add = [&](int count, std::string_view word) {
    if (count > 0) words += fmt::format("{}{} {}", words.empty() ? "" : ", ", count, word);
  };
  add(fail, "fail");
  add(open, "open");
  add(pass, "pass");
  return words;
}

struct ForecastRow {
  std::string option, camshaft;
  std::vector<const Finding*> journals;
};

std::string before(std::string_view text, std::string_view mark) {
  return std::string(text.substr(0, text.find(mark)));
}

std::vector<ForecastRow> forecast_rows(const FindingGroup& group) {
  std::vector<ForecastRow> rows;
  for (const Finding* finding : group.findings) {
    if (!is_in_forecast_table(*finding)) continue;
    const std::string option = before(finding->why, ":");
    const std::string camshaft = finding->subject.substr(0, finding->subject.rfind(" / "));
    auto row = std::find_if(rows.begin(), rows.end(), [&](const ForecastRow& r) {
      return r.option == option && r.camshaft == camshaft;
    });
    if (row == rows.end()) row = rows.insert(rows.end(), {option, camshaft, {}});
    row->journals.push_back(finding);
  }
  return rows;
}

bool is_outside(const Finding& forecast) {
  if (!forecast.value || !forecast.limit) return false;
  return (forecast.limit->upper && forecast.value->value > *forecast.limit->upper) ||
         (forecast.limit->lower && forecast.value->value < *forecast.limit->lower);
}

std::string forecast_cell(const Finding& forecast) {
  const std::string number = before(forecast.value->shown, " ");
  return is_outside(forecast) ? tag("td.number", said("u", number) + " *")
                              : said("td.number", number);
}

std::string forecast_caption(const Finding& any) {
  return said(
      "p.note",
      fmt::format("Forecasts: always open, nothing is proven by them. Mean clearance in {}, "
                  "journals counted from the timing end; a new part is taken in the middle of "
                  "its new range. Limit {}; underlined with * would be outside.",
                  any.value->shown.substr(any.value->shown.rfind(' ') + 1),
                  any.limit ? spoken_limit(any.limit->shown) : "not given"));
}

std::string forecast_table(const std::vector<ForecastRow>& rows) {
  if (rows.empty()) return {};
  std::size_t most = 0;
  for (const ForecastRow& row : rows) most = std::max(most, row.journals.size());
  std::string head = said("th", "option") + said("th", "camshaft");
  for (std::size_t i = 1; i <= most; ++i) head += said("th.number", fmt::format("journal {}", i));
  std::string body;
  for (const ForecastRow& row : rows) {
    std::string cells = said("th", row.option, "scope=\"row\"") + said("td", row.camshaft);
    for (const Finding* finding : row.journals) cells += forecast_cell(*finding);
    for (std::size_t i = row.journals.size(); i < most; ++i) cells += tag("td", "");
    body += tag("tr", cells);
  }
  return forecast_caption(*rows.front().journals.front()) +
         tag("table.forecasts", tag("thead", tag("tr", head)) + tag("tbody", body));
}

// What a forecast outside the table says, and what would decide.
std::string forecast_words(const FindingGroup& group) {
  std::string words;
  for (const Finding* finding : group.findings)
    if (!is_in_forecast_table(*finding))
      words +=
          tag("p.why", said("b", finding->subject) + " " + escaped(spoken_limit(finding->why)) +
                           (finding->next.empty()
                                ? ""
                                : escaped(fmt::format(" Next: {}.", joined(finding->next, "; ")))));
  return words;
}

std::string forecast_block(const FindingGroup& group) {
  return tag("div.forecast",
             tag("div.verdict", verdict_drawing(Verdict::open) + said("small", "forecast")) +
                 tag("div.words", forecast_words(group) + forecast_table(forecast_rows(group))));
}

std::string group_block(const FindingGroup& group) {
  const bool is_forecast = group.findings.front()->forecast;
  std::string out = tag("h3", escaped(is_forecast ? before(group.title, " (") : group.title) +
                                  said("span.tally", is_forecast ? "" : tally_words(group)));
  if (is_forecast) return out + forecast_block(group) + "\n";
  const Scales scales = scales_of(group);
  const std::string source = common_source(group);
  if (!source.empty()) out += said("p.note", "Every limit in this group: " + source);
  for (const Finding* finding : group.findings)
    out += finding_card(*finding, scales, !source.empty());
  return out + cautions_list(group) + "\n";
}

}  // namespace

std::string findings_section(int number, const Judgement& judgement) {
  std::string body;
  for (const FindingGroup& group : grouped(judgement)) body += group_block(group);
  if (body.empty())
    body = said("p.note",
                "No finding yet: no entry of the case touches a check. The empty boxes "
                "below say what can be measured.");
  const Tally count = tally(judgement.findings);
  const std::string line = fmt::format(
      "{} pass, {} fail, {} open{}. Bars: the value with its uncertainty (k as stated by "
      "the finding, about 2); thick line: the limit; hatched: not allowed. Bars of one "
      "check share one scale.",
      count.pass, count.fail, count.open - count.forecast,
      count.forecast > 0 ? fmt::format(", {} forecasts", count.forecast) : "");
  if (!judgement.findings.empty()) body = said("p.note", line) + body;
  return section(number, "Findings, worst first", body);
}

}  // namespace tautmark::html
