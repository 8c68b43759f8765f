// SPDX-License-Identifier: Apache-2.0
// Clearance of a bearing from bore and journal, or as measured, against a limit.
//
//   c = mean bore - mean journal      u² = u_bore² + u_journal²      measurement.md 3.2
//
// Mean minus mean is what oil flow follows; the tightest spot is another question. The two are
// taken as independent: a common master or temperature would make u smaller, never larger.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/text.h"
#include "measure/uncertainty.h"
#include "quick/heard.h"
#include "quick/judged.h"
#include "quick/quick.h"

namespace tautmark::quick {
namespace {

constexpr Input kInputs[] = {
    {.name = "bore",
     .ask = "What does the bore measure? All readings at one place, or one value with its ±. (Or "
            "give the clearance itself.)",
     .form = Form::reading,
     .kind = Kind::length,
     .need = Need::optional,
     .example = "28.072 ± 0.003 mm",
     .choices = {}},
    {.name = "journal",
     .ask = "What does the journal measure? All readings at one place, or one value with its ±.",
     .form = Form::reading,
     .kind = Kind::length,
     .need = Need::optional,
     .example = "27.964 ± 0.004 mm",
     .choices = {}},
    {.name = "clearance",
     .ask = "What is the clearance, and how sure is it?",
     .form = Form::reading,
     .kind = Kind::length,
     .need = Need::optional,
     .example = "0.108 ± 0.005 mm",
     .choices = {}},
    {.name = "limit",
     .ask = "What is the limit: at most how much, at least how much, or from where to where?",
     .form = Form::interval,
     .kind = Kind::length,
     .need = Need::required,
     .example = "at most 0.110 mm",
     .choices = {}},
    {.name = "instrument",
     .ask = "Which instrument was the bore, or the clearance itself, read with?",
     .form = Form::words,
     .kind = {},
     .need = Need::optional,
     .example = "bore gauge",
     .choices = {}},
    {.name = "journal_instrument",
     .ask = "Which instrument was the journal read with?",
     .form = Form::words,
     .kind = {},
     .need = Need::optional,
     .example = "micrometer 0.001",
     .choices = {}},
    kOriginInput,
    kSourceInput,
};

// A bore more than this larger than its journal, as a share of the journal, is a slip of the pen
// or the unit, not a clearance (program default; worn cam bearings stay below 0.01).
constexpr double kMostRelativeClearance = 0.02;

// What a camshaft bearing of any piston engine can be, as in the table of drive/measurand.cc
// (common practice); outside it a unit is likelier to be wrong than the part.
constexpr Length kSmallestBearing = mm(8);
constexpr Length kLargestBearing = mm(120);
constexpr Length kMostClearance = mm(0.6);

bool is_bearing_size(const Reading& reading) {
  return reading.value >= kSmallestBearing.si() && reading.value <= kLargestBearing.si();
}

// A bore gauge reads no journal: only "unknown" may stand for both.
std::string_view instrument_for(const Heard& heard, std::string_view input) {
  if (input != "journal") return "instrument";
  const bool unknown_for_all = folded(heard.text("instrument")) == "unknown";
  return unknown_for_all && !heard.has("journal_instrument") ? "instrument" : "journal_instrument";
}

Said<Reading> said_reading(const Heard& heard, std::string_view input) {
  Said<Reading> reading = heard.reading(input, Kind::length, instrument_for(heard, input));
  if (reading && !(reading->value > 0)) {
    return tl::make_unexpected(heard.ask(
        input,
        fmt::format("\"{}\" is no {}: more than zero is wanted.", heard.text(input), input)));
  }
  return reading;
}

std::string shown(const Reading& reading) {
  return quantity_text(reading.value, *reading.unit, reading.decimals);
}

// Bore and journal as they were said; empty as long as they can be a bearing.
std::string implausible_sizes(const Reading& bore, const Reading& journal) {
  for (const auto& [name, reading] : {std::pair{"bore", &bore}, std::pair{"journal", &journal}}) {
    if (!is_bearing_size(*reading))
      return fmt::format("{} {} is no camshaft bearing (8 to 120 mm): is the unit right?", name,
                         shown(*reading));
  }
  return {};
}

Said<Reading> clearance_of(const Heard& heard, Answer& answer, std::string& implausible) {
  if (heard.has("clearance")) {
    if (heard.has("bore") || heard.has("journal")) {
      return tl::make_unexpected(heard.ask(
          "clearance", "Give the clearance, or bore and journal: not both, they may disagree."));
    }
    Said<Reading> reading = said_reading(heard, "clearance");
    if (reading) answer.steps.push_back(fmt::format("clearance {}", reading->how));
    return reading;
  }
  // Where the bore is asked the clearance may be given; no bore is as small as that.
  if (heard.has("bore") && !heard.has("journal")) {
    Said<Reading> itself = said_reading(heard, "bore");
    if (!itself) return itself;
    if (itself->value <= kMostClearance.si()) {
      answer.steps.push_back(fmt::format("clearance {}", itself->how));
      answer.assumed.push_back(
          fmt::format("{} is the clearance itself, not a bore", shown(*itself)));
      return itself;
    }
  }
  for (const std::string_view input : {"bore", "journal"}) {
    if (!heard.has(input)) return tl::make_unexpected(heard.ask(input));
  }
  Said<Reading> bore = said_reading(heard, "bore");
  if (!bore) return bore;
  Said<Reading> journal = said_reading(heard, "journal");
  if (!journal) return journal;
  if (!(bore->value > journal->value)) {
    return tl::make_unexpected(heard.ask(
        "bore",
        fmt::format("The bore ({}) is not larger than the journal ({}): are the two swapped, or is "
                    "the unit of one wrong?",
                    shown(*bore), shown(*journal))));
  }
  for (const auto& [input, reading] :
       {std::pair{"bore", &*bore}, std::pair{"journal", &*journal}}) {
    if (!reading->u) {
      return tl::make_unexpected(heard.ask_instrument(instrument_for(heard, input), Kind::length));
    }
  }
  const double clearance = bore->value - journal->value;
  if (clearance > kMostRelativeClearance * journal->value) {
    return tl::make_unexpected(heard.ask(
        "bore", fmt::format("Bore {} and journal {} are {} apart: is one of them misread, or in "
                            "another unit?",
                            heard.text("bore"), heard.text("journal"),
                            quantity_text(clearance, *journal->unit, journal->decimals))));
  }
  implausible = implausible_sizes(*bore, *journal);
  Reading result{.value = clearance, .unit = journal->unit, .u = {}, .how = {}, .assumed = {}};
  result.decimals = std::max(bore->decimals, journal->decimals);
  answer.steps.push_back(fmt::format(
      "clearance = bore {} ({}) - journal {} ({}) = {}, mean minus mean", shown(*bore), bore->how,
      shown(*journal), journal->how, quantity_text(clearance, *result.unit, result.decimals)));

  const Result<Budget> budget =
      combine({{.name = "bore", .u = *bore->u, .nu = bore->nu},
               {.name = "journal", .u = *journal->u, .nu = journal->nu, .sensitivity = -1}});
  if (!budget) return tl::make_unexpected(heard.ask("bore", budget.error().why + "."));
  result.u = budget->u;
  result.nu = budget->nu;
  // Further readings would be taken of both; the scatter that they average is that of the pair.
  result.n = std::min(bore->n, journal->n);
  result.repeat_sd = std::sqrt(result.n * (bore->repeat_sd * bore->repeat_sd / bore->n +
                                           journal->repeat_sd * journal->repeat_sd / journal->n));
  result.assumed = bore->assumed;
  if (!journal->assumed.empty() && journal->assumed != bore->assumed) {
    answer.assumed.push_back(journal->assumed);
  }
  answer.assumed.emplace_back(
      "bore and journal read independently, at the same temperature, caps torqued");
  return result;
}

Outcome run(const Typed& typed) {
  const Heard heard(kClearance, typed);
  Answer answer;
  std::string implausible;
  const Said<Reading> clearance = clearance_of(heard, answer, implausible);
  if (!clearance) return clearance.error();
  if (!clearance->u) return heard.ask_instrument("instrument", Kind::length);
  const Said<SaidLimit> limit = said_limit(heard, Kind::length, BareLimit::ask);
  if (!limit) return limit.error();
  if (!clearance->assumed.empty()) answer.assumed.push_back(clearance->assumed);

  if (implausible.empty() && clearance->value > kMostClearance.si())
    implausible = fmt::format(
        "a clearance of {} is more than any camshaft bearing has (0.6 mm): is the "
        "unit right?",
        shown(*clearance));

  const ToJudge what{.check = "clearance",
                     .subject = "clearance",
                     .reading = *clearance,
                     .kind = Kind::length,
                     .each = heard.has("journal") ? "bore and journal" : "",
                     .implausible = implausible};
  if (const auto refusal = judge(answer, what, *limit))
    return heard.ask("limit", refusal->why + ".");
  answer.cautions.emplace_back(
      "Ask which diameter the limit is for: the mean of all directions or the worst one. Makers "
      "differ.");
  return answer;
}

}  // namespace

constinit const QuickQuestion kClearance = {
    .name = "clearance",
    .alias = "",
    .help = "a clearance with its uncertainty against a limit",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
