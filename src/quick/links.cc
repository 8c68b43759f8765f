// SPDX-License-Identifier: Apache-2.0
// Do the link counts add up, and which strand differs from the sheet: geometry/counts.h, link_sum.
#include <fmt/format.h>

#include <array>
#include <cstdlib>

#include "geometry/counts.h"
#include "quick/heard.h"
#include "quick/judged.h"
#include "quick/quick.h"
#include "quick/spoken.h"

namespace tautmark::quick {
namespace {

constexpr std::string_view kWaysOfCounting = "pitches|both marks|between";

constexpr Input kInputs[] = {
    {.name = "counts",
     .ask = "How many between the marks, strand by strand, in order around the chain?",
     .form = Form::counts,
     .kind = {},
     .need = Need::required,
     .example = "61 60 17",
     .choices = {}},
    {.name = "counted",
     .ask = "What was counted: pitches from marked tooth to marked tooth, links with both marked "
            "links included (both marks), or only the links between them (between)?",
     .form = Form::choice,
     .kind = {},
     .need = Need::required,
     .example = "pitches",
     .choices = kWaysOfCounting},
    {.name = "links",
     .ask = "How many links has the whole chain?",
     .form = Form::count,
     .kind = {},
     .need = Need::required,
     .example = "138",
     .choices = {}},
    {.name = "expected",
     .ask = "What does the sheet say, strand by strand in the same order?",
     .form = Form::counts,
     .kind = {},
     .need = Need::optional,
     .example = "61 61 16",
     .choices = {}},
    {.name = "expected_counted",
     .ask = "What does the sheet count: pitches from marked tooth to marked tooth, links with both "
            "marked links included (both marks), or only the links between them (between)?",
     .form = Form::choice,
     .kind = {},
     .need = Need::optional,
     .example = "pitches",
     .choices = kWaysOfCounting},
    {.name = "order",
     .ask = "Were the strands counted in the running direction or against it?",
     .form = Form::choice,
     .kind = {},
     .need = Need::optional,
     .example = "running",
     .choices = "running|against"},
    kOriginInput,
    kSourceInput,
};

constexpr std::array kWays = {LinkCount::pitches, LinkCount::with_both_marks, LinkCount::between};

std::string_view way_text(LinkCount way) {
  switch (way) {
    case LinkCount::pitches:
      return "pitches from marked tooth to marked tooth";
    case LinkCount::with_both_marks:
      return "links with both marked links included";
    case LinkCount::between:
      return "links between the marked links";
  }
  return "";
}

Said<LinkCount> way_counted(const Heard& heard, std::string_view input) {
  const Said<std::size_t> chosen = heard.choice(input);
  if (!chosen) return tl::make_unexpected(chosen.error());
  return kWays.at(*chosen);
}

std::string sum_text(const std::vector<int>& pitches, int sum) {
  std::string text;
  for (const int p : pitches) text += fmt::format("{}{}", text.empty() ? "" : " + ", p);
  return fmt::format("{} = {} pitches", text, sum);
}

std::string strand_names(const LinkSum& sum) {
  std::string text;
  for (std::size_t i = 0; i < sum.difference.size(); ++i) {
    const int d = sum.difference[i];
    if (d == 0) continue;
    text += fmt::format("{}strand {} ({}) is {} {}", text.empty() ? "" : ", ", i + 1,
                        sum.pitches[i], std::abs(d), d > 0 ? "too many" : "too few");
  }
  return text;
}

// The early or late of the sprocket between two strands follows from the running direction, which
// may not have been said.
std::string moved_text(const Heard& heard, const LinkSum& sum,
                       std::optional<bool> in_running_order) {
  const MovedSprocket& moved = *sum.moved;
  const int teeth = std::abs(moved.teeth_late);
  const std::string what =
      fmt::format("The sprocket between strand {} and strand {} is {} {}", moved.arriving + 1,
                  moved.leaving + 1, teeth, teeth == 1 ? "tooth" : "teeth");
  if (in_running_order) {
    const bool is_late = (moved.teeth_late > 0) == *in_running_order;
    return fmt::format("{} {} against the others.", what, is_late ? "late" : "early");
  }
  const std::size_t longer = moved.teeth_late > 0 ? moved.leaving : moved.arriving;
  return fmt::format(
      "{} off against the others: late if the chain runs from it into strand {} (the one with too "
      "many), early if it runs out of that strand onto it. {}",
      what, longer + 1, heard.ask("order").sentence);
}

Finding finding_of(const LinkSum& sum, const SaidLimit& origin, const Heard& heard) {
  Finding finding;
  finding.check = "quick-link-counts";
  finding.subject = "link counts between the marks";
  finding.limit =
      FindingLimit{.lower = {},
                   .upper = {},
                   .unit = "links",
                   .applies_to = "every strand",
                   .origin = origin.origin,
                   .source = origin.source,
                   .checked_by = {},
                   .shown = heard.has("expected") ? std::string(heard.text("expected"))
                                                  : fmt::format("sum {}", heard.text("links"))};
  finding.sources = {"links and teeth: geometry/counts.h; a jump leaves the sum alone"};
  if (sum.surplus != 0) {
    finding.open_because = OpenBecause::implausible;
    finding.why = fmt::format(
        "the counts are {} {} {} than the chain: a miscount or another "
        "chain, not a jumped tooth",
        std::abs(sum.surplus), std::abs(sum.surplus) == 1 ? "link" : "links",
        sum.surplus > 0 ? "more" : "fewer");
    finding.next = {"count every strand again, and the links of the whole chain"};
    return finding;
  }
  if (sum.difference.empty()) {
    finding.open_because = OpenBecause::not_in_drive;
    finding.why =
        "the counts add up, but where they should stand was not said: a jump leaves the "
        "sum alone";
    finding.next = {"get the count of every strand from the maker's sheet"};
    return finding;
  }
  if (const std::string wrong = strand_names(sum); !wrong.empty()) {
    finding.verdict = Verdict::fail;
    finding.why = fmt::format("the counts add up but differ from the sheet: {}", wrong);
    return finding;
  }
  const std::string missing = no_authority(origin);
  if (missing.empty()) {
    finding.verdict = Verdict::pass;
    finding.why = "every strand has the count of the sheet, and they add up to the chain";
    return finding;
  }
  finding.open_because = OpenBecause::limit_origin;
  finding.why = origin.origin == Origin::unknown
                    ? "as the expected counts, but nobody said where those come from"
                    : "as the expected counts, but no maker's or shop's document was named";
  finding.next = {"name the maker's or the shop's document with edition and page"};
  return finding;
}

void say(Answer& answer, const Heard& heard, const LinkSum& sum, int links,
         std::optional<bool> in_running_order, bool passes) {
  const std::string total = sum_text(sum.pitches, sum.sum);
  if (sum.surplus != 0) {
    answer.lines.push_back(fmt::format(
        "No: {}, the chain has {}. {} {}: a miscount or another chain, not a jumped tooth. Count "
        "again.",
        total, links, std::abs(sum.surplus), sum.surplus > 0 ? "too many" : "too few"));
    if (sum.fits_as) {
      answer.lines.push_back(fmt::format(
          "It would add up if {} were counted: ask how it was counted.", way_text(*sum.fits_as)));
    }
    return;
  }
  const std::string adds_up = fmt::format("{}, as many as the chain has links", total);
  if (sum.difference.empty()) {
    answer.lines.push_back(fmt::format("They add up: {}.", adds_up));
    answer.lines.emplace_back(
        "That does not prove the marks: a jump leaves the sum alone. Compare with the sheet, "
        "strand "
        "by strand.");
    return;
  }
  const std::string wrong = strand_names(sum);
  if (wrong.empty()) {
    answer.lines.push_back(fmt::format("{}every strand is as expected, and they add up: {}.",
                                       passes ? "Pass: " : "They agree: ", adds_up));
    return;
  }
  answer.lines.push_back(fmt::format("Fail: they add up ({}) but {}.", adds_up, wrong));
  if (sum.moved) {
    answer.lines.push_back(moved_text(heard, sum, in_running_order));
  } else if (sum.difference.size() == 2) {
    const int teeth = std::abs(sum.difference[0]);
    answer.lines.push_back(fmt::format(
        "The cam is {} {} off against the crank: late if the strand with too many is the tight one "
        "(the chain runs on it toward the crank sprocket), early if it is the slack one.",
        teeth, teeth == 1 ? "tooth" : "teeth"));
  } else {
    answer.lines.emplace_back(
        "No single sprocket explains this: count again, then take every sprocket against the crank "
        "one by one.");
  }
}

Outcome run(const Typed& typed) {
  const Heard heard(kLinks, typed);
  const Said<std::vector<int>> counts = heard.counts("counts");
  if (!counts) return counts.error();
  const Said<LinkCount> counted = way_counted(heard, "counted");
  if (!counted) return counted.error();
  const Said<int> links = heard.count("links");
  if (!links) return links.error();
  if (*links < kFewestTeeth) return heard.ask("links", "No chain has so few links.");
  LinkSumInputs in{.counts = *counts, .counted = *counted, .chain_links = *links};
  if (heard.has("expected")) {
    const Said<std::vector<int>> expected = heard.counts("expected");
    if (!expected) return expected.error();
    if (!heard.has("expected_counted")) return heard.ask("expected_counted");
    const Said<LinkCount> way = way_counted(heard, "expected_counted");
    if (!way) return way.error();
    in.expected = *expected;
    in.expected_counted = *way;
  }
  std::optional<bool> in_running_order;
  if (heard.has("order")) {
    const Said<std::size_t> chosen = heard.choice("order");
    if (!chosen) return chosen.error();
    in_running_order = *chosen == 0;
  }
  const Said<SaidLimit> origin = said_origin(heard);
  if (!origin) return origin.error();
  const Result<LinkSum> sum = link_sum(in);
  if (!sum) {
    // Refused with the sheet and not without it: it is the sheet.
    LinkSumInputs alone = in;
    alone.expected.clear();
    return heard.ask(link_sum(alone) ? "expected" : "counts", sum.error().why + ".");
  }

  Answer answer;
  Finding finding = finding_of(*sum, *origin, heard);
  say(answer, heard, *sum, *links, in_running_order, finding.verdict == Verdict::pass);
  if (finding.open_because) {
    answer.lines.push_back(fmt::format("Open: {}.", finding.why));
  }
  answer.steps.push_back(fmt::format("counted: {}", way_text(*counted)));
  answer.steps.emplace_back("pitches = links with both marks - 1 = links between + 1");
  answer.steps.push_back(sum_text(sum->pitches, sum->sum));
  answer.assumed.emplace_back("every strand of one chain, counted from the same marked teeth");
  answer.cautions.emplace_back(
      "Where two colored links straddle a mark, take the same one of the two for both sides.");
  answer.cautions.emplace_back(
      "Right counts say nothing about a sprocket that sits wrong on its shaft (key, bolt, "
      "phaser).");
  if (finding.verdict == Verdict::fail) {
    answer.forbids = finding.why;
    for (std::string& caution : turning_cautions()) answer.cautions.push_back(std::move(caution));
  }
  finding.cautions = answer.cautions;
  answer.verdict = finding.verdict;
  answer.finding = std::move(finding);
  return answer;
}

}  // namespace

constinit const QuickQuestion kLinks = {
    .name = "links",
    .alias = "",
    .help = "do the link counts add up, and which sprocket is off",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
