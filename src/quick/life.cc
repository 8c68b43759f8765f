// SPDX-License-Identifier: Apache-2.0
// When the present chain gets to its limit on its own trend: geometry/tensioner_life.h,
// trend_to_limit. Two readings or more; a line is an assumption and is said to be one.
#include <fmt/format.h>

#include <cmath>

#include "base/text.h"
#include "geometry/tensioner_life.h"
#include "quick/heard.h"
#include "quick/quick.h"
#include "quick/spoken.h"

namespace tautmark::quick {
namespace {

constexpr Input kInputs[] = {
    {.name = "readings",
     .ask = "Which readings of this chain are there: distance or hours and elongation (or how far "
            "the plunger stood out), at least two?",
     .form = Form::words,
     .kind = {},
     .need = Need::required,
     .example = "60000 km 0.09 %; 118000 km 0.20 %",
     .choices = {}},
    {.name = "doubt",
     .ask = "How well is each of them known?",
     .form = Form::words,
     .kind = {},
     .need = Need::required,
     .example = "± 0.02 %",
     .choices = {}},
    {.name = "limit",
     .ask = "What is the limit?",
     .form = Form::words,
     .kind = {},
     .need = Need::required,
     .example = "0.35 %",
     .choices = {}},
};

struct SaidReadings {
  std::string unit;  // of use: km, mi, h
  Kind kind = Kind::ratio;
  std::vector<TrendPoint> points;
};

// "118000 km 0.20 %"
Said<SaidReadings> readings_said(const Heard& heard) {
  SaidReadings said;
  for (const std::string& part : split(heard.text("readings"), ';')) {
    const auto words = split(folded(part), ' ');
    if (words.size() < 4)
      return tl::make_unexpected(heard.ask(
          "readings", fmt::format("\"{}\": say how far or how long, then the reading.", part)));
    const auto used = read_number(words[0]);
    const std::string& unit = words[1];
    if (!used || (unit != "km" && unit != "mi" && unit != "h"))
      return tl::make_unexpected(heard.ask(
          "readings", fmt::format("\"{}\": distance in km or mi, or hours in h, first.", part)));
    if (!said.unit.empty() && said.unit != unit)
      return tl::make_unexpected(heard.ask("readings", "All in km, or mi, or h: one of them."));
    said.unit = unit;
    std::string rest;
    for (std::size_t i = 2; i < words.size(); ++i) rest += words[i] + " ";
    auto value = read_quantity(trimmed(rest), Kind::ratio);
    if (!value) value = read_quantity(trimmed(rest), Kind::length);
    if (!value) return tl::make_unexpected(heard.ask("readings", value.error()));
    if (!said.points.empty() && value->kind != said.kind)
      return tl::make_unexpected(
          heard.ask("readings", "All as elongation, or all as the plunger's extension."));
    said.kind = value->kind;
    said.points.push_back({*used, value->si, 0});
  }
  return said;
}

Said<double> amount_said(const Heard& heard, std::string_view input, Kind kind) {
  std::string text(heard.text(input));
  for (const std::string_view sign : {"±", "at most"})
    if (text.starts_with(sign)) text = std::string(trimmed(text.substr(sign.size())));
  const auto value = read_quantity(text, kind);
  if (!value) return tl::make_unexpected(heard.ask(input, value.error()));
  return value->si;
}

// Three digits: more would claim a trend that nobody has.
std::string used_text(double used, const std::string& unit) {
  const double step = std::pow(10, std::floor(std::log10(std::abs(used) + 1)) - 2);
  return fmt::format("{:.0f} {}", std::round(used / step) * step, unit);
}

Outcome run(const Typed& typed) {
  const Heard heard(kLife, typed);
  Said<SaidReadings> said = readings_said(heard);
  if (!said) return said.error();
  const Said<double> doubt = amount_said(heard, "doubt", said->kind);
  if (!doubt) return doubt.error();
  const Said<double> limit = amount_said(heard, "limit", said->kind);
  if (!limit) return limit.error();
  double last = 0, latest_use = -1;
  for (TrendPoint& point : said->points) {
    point.uncertainty = *doubt / 2;
    if (point.used > latest_use) {
      latest_use = point.used;
      last = point.value;
    }
  }
  if (last >= *limit) {
    Answer past;
    past.lines.push_back(
        fmt::format("The last reading is at or past {} already: the chain has "
                    "reached it, there is nothing left to forecast.",
                    heard.text("limit")));
    past.lines.emplace_back("Measure again, at three places; then decide by the maker's limit.");
    return past;
  }
  const auto trend = trend_to_limit({said->points, *limit});
  if (!trend) return heard.ask("readings", trend.error().why + ".");
  Answer answer;
  answer.lines.push_back(fmt::format("On its own trend it reaches {} at about {}.",
                                     heard.text("limit"), used_text(trend->reached, said->unit)));
  answer.lines.push_back(
      trend->latest ? fmt::format("With the doubt of the readings: between {} and {}.",
                                  used_text(trend->earliest, said->unit),
                                  used_text(*trend->latest, said->unit))
                    : fmt::format("With the doubt of the readings: not before {}; how late cannot "
                                  "be said.",
                                  used_text(trend->earliest, said->unit)));
  answer.lines.emplace_back("Plan on the earlier one. It is a forecast, nothing is passed by it.");
  answer.steps.push_back(
      fmt::format("weighted line through {} readings, met with the limit; interval with k = 2",
                  said->points.size()));
  answer.assumed.emplace_back(
      "the same chain throughout, wearing evenly; wear that speeds up comes "
      "sooner");
  answer.cautions.emplace_back(
      "The tensioner's stroke or its ratchet may end before the chain does: look at both.");
  return answer;
}

}  // namespace

constinit const QuickQuestion kLife = {
    .name = "life",
    .alias = "trend",
    .help = "when the present chain reaches its limit on its own trend",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
