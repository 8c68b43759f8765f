// SPDX-License-Identifier: Apache-2.0
// Chain wear from the length over n links: geometry/counts.h, elongation_over_links.
#include <fmt/format.h>

#include <cmath>
#include <optional>
#include <utility>

#include "geometry/counts.h"
#include "quick/heard.h"
#include "quick/judged.h"
#include "quick/quick.h"

namespace tautmark::quick {
namespace {

constexpr Input kInputs[] = {
    {.name = "length",
     .ask =
         "How long is the measured piece, from pin to pin, pulled straight? All readings, or one "
         "value with its ±.",
     .form = Form::reading,
     .kind = Kind::length,
     .need = Need::required,
     .example = "320.88 320.92 320.90 mm",
     .choices = {}},
    {.name = "links",
     .ask = "Over how many links was that measured (pitches from pin to pin)?",
     .form = Form::count,
     .kind = {},
     .need = Need::required,
     .example = "40",
     .choices = {}},
    {.name = "pitch",
     .ask = "What is the pitch of the chain when new?",
     .form = Form::quantity,
     .kind = Kind::length,
     .need = Need::required,
     .example = "8.00 mm",
     .choices = {}},
    {.name = "limit",
     .ask = "What is the limit: in per cent, or as the greatest length over these links?",
     .form = Form::interval,
     .kind = {},
     .need = Need::optional,
     .example = "0.35 %",
     .choices = {}},
    kInstrumentInput,
    kOriginInput,
    kSourceInput,
};

// geometry.md 12: above 1 % is implausible without a jump (from memory there; a hint, no verdict).
constexpr double kImplausibleElongation = 0.01;
constexpr int kPerCentDecimals = 3;  // 0.001 % of 320 mm is 3 um: below any caliper

std::string per_cent(double ratio) {
  return quantity_text(ratio, default_unit(Kind::ratio), kPerCentDecimals);
}

// Worn out is below 1 %; beyond this, or shorter than new, the count or the pitch is wrong.
constexpr double kImpossibleElongation = 0.05;

// "0.281 % longer than new": said in words, never by a sign.
std::string against_new(double ratio) {
  return fmt::format("{} {} than new", per_cent(std::abs(ratio)), ratio < 0 ? "shorter" : "longer");
}

// Empty where the length can be that of a chain. U: expanded, 0 when nobody said.
std::string impossible(double elongation, double U, int links) {
  if (elongation >= -U && elongation <= kImpossibleElongation) return {};
  return fmt::format("count the links again: {} over {} links is no wear", against_new(elongation),
                     links);
}

struct ChainLimit {
  SaidLimit limit;
  std::string shown;  // as a length too, where it was said as one; else empty
};

bool is_said_as_length(std::string_view text) {
  return read_quantity(text, Kind::length) || read_interval(text, Kind::length);
}

// In per cent; or, as manuals have it, as the length over the links that were measured.
Said<ChainLimit> chain_limit(const Heard& heard, Length nominal, int links) {
  if (!is_said_as_length(heard.text("limit"))) {
    const Said<SaidLimit> limit = said_limit(heard, Kind::ratio, BareLimit::at_most);
    if (!limit) return tl::make_unexpected(limit.error());
    return ChainLimit{*limit, {}};
  }
  Said<SaidLimit> limit = said_limit(heard, Kind::length, BareLimit::at_most);
  if (!limit) return tl::make_unexpected(limit.error());
  AnyInterval& interval = limit->interval;
  const std::string length =
      interval_text(interval.lower_si, interval.upper_si, *interval.unit, interval.decimals);
  for (std::optional<double>* end : {&interval.lower_si, &interval.upper_si})
    if (*end) **end = **end / nominal.si() - 1;
  const double upper = interval.upper_si.value_or(0);
  if (!(upper > 0) || upper > kImpossibleElongation) {
    return tl::make_unexpected(heard.ask(
        "limit", fmt::format("{} cannot be the limit over {} links that measure {} when new. Say "
                             "the greatest length over the same links, or per cent.",
                             heard.text("limit"), links,
                             quantity_text(nominal.si(), *interval.unit, interval.decimals))));
  }
  interval.kind = Kind::ratio;
  interval.unit = &default_unit(Kind::ratio);
  interval.decimals = kPerCentDecimals;
  std::string shown = fmt::format(
      "{} ({} over {} links)",
      interval_text(interval.lower_si, interval.upper_si, *interval.unit, interval.decimals),
      length, links);
  return ChainLimit{std::move(*limit), std::move(shown)};
}

void plausibility_cautions(Answer& answer, const Elongation& wear, int links) {
  if (wear.length_increase.si() < 0) {
    answer.cautions.emplace_back(
        "Shorter than new: no chain wears shorter. Check links, pitch and whether it was pulled "
        "straight.");
  }
  if (wear.elongation.si() > kImplausibleElongation) {
    answer.cautions.emplace_back(
        "More than 1 % is implausible for a chain that has not jumped: count the links and check "
        "the pitch again.");
  }
  if (links % 2 != 0) {
    answer.cautions.emplace_back(
        "A worn chain has long and short pitches in turn: measure over an even number of links.");
  }
  answer.cautions.emplace_back(
      "This is the mean of the readings given. Measure at three places; where they differ by more "
      "than "
      "the gauge does, ask for the worst one.");
}

Outcome run(const Typed& typed) {
  const Heard heard(kChain, typed);
  const Said<Reading> length = heard.reading("length", Kind::length, "instrument");
  if (!length) return length.error();
  const Said<int> links = heard.count("links");
  if (!links) return links.error();
  const Said<AnyQuantity> pitch = heard.quantity("pitch", Kind::length);
  if (!pitch) return pitch.error();
  if (heard.has("limit") && !length->u) return heard.ask_instrument("instrument", Kind::length);

  const Result<Elongation> wear =
      elongation_over_links({.measured = Length::from_si(length->value),
                             .length_uncertainty = Length::from_si(length->u.value_or(0)),
                             .pitch = Length::from_si(pitch->si),
                             .links = *links});
  if (!wear) {
    const char* wrong = *links < 1 ? "links" : pitch->si > 0 ? "length" : "pitch";
    return heard.ask(wrong, wear.error().why + ".");
  }

  Answer answer;
  answer.steps.push_back(
      fmt::format("elongation = L / (n p) - 1 = {} / ({} × {}) - 1 = {}",
                  quantity_text(length->value, *length->unit, length->decimals + 1), *links,
                  heard.text("pitch"), against_new(wear->elongation.si())));
  answer.steps.push_back(fmt::format("L: {}", length->how));
  Reading ratio = *length;
  ratio.value = wear->elongation.si();
  ratio.unit = &default_unit(Kind::ratio);
  ratio.repeat_sd = length->repeat_sd / wear->nominal.si();
  if (length->u) ratio.u = wear->uncertainty.si();

  std::string shown = per_cent(std::abs(ratio.value));
  double U = 0;
  if (ratio.u) {
    const Result<Expanded> all = expanded(ratio);
    if (!all) return heard.ask("length", all.error().why + ".");
    U = all->U;
    shown = measured_text(std::abs(ratio.value), U, *ratio.unit);
  }
  const bool is_shorter = ratio.value < 0;
  const std::string change =
      quantity_text(std::abs(wear->length_increase.si()), *length->unit, length->decimals);
  const std::string wrong = impossible(ratio.value, U, *links);
  answer.lines.push_back(fmt::format("The chain is {} {} than new: {} over {} links.", shown,
                                     is_shorter ? "shorter" : "longer", change, *links));
  if (!wrong.empty()) {
    answer.lines.back() += " That is no wear: count the links again.";
  } else if (is_shorter) {
    answer.lines.back() += " That is within what the reading is sure: no wear.";
  }
  answer.assumed.push_back(
      fmt::format("a new chain measures {} over {} links",
                  quantity_text(wear->nominal.si(), *length->unit, length->decimals), *links));
  if (!length->assumed.empty()) answer.assumed.push_back(length->assumed);

  if (heard.has("limit")) {
    const Said<ChainLimit> limit = chain_limit(heard, wear->nominal, *links);
    if (!limit) return limit.error();
    const ToJudge what{.check = "chain-elongation",
                       .subject = "chain elongation",
                       .reading = ratio,
                       .kind = Kind::ratio,
                       .shown = is_shorter ? shown + " shorter than new" : shown,
                       .limit_shown = limit->shown,
                       .implausible = wrong};
    std::vector<std::string> computed;
    computed.swap(answer.lines);
    if (const auto refusal = judge(answer, what, limit->limit)) {
      return heard.ask("limit", refusal->why + ".");
    }
    answer.lines.insert(answer.lines.end(), computed.begin(), computed.end());
  } else if (!ratio.u) {
    answer.assumed.emplace_back("no uncertainty: neither ± nor instrument was said");
  }
  plausibility_cautions(answer, *wear, *links);
  return answer;
}

}  // namespace

constinit const QuickQuestion kChain = {
    .name = "chain",
    .alias = "",
    .help = "chain wear in per cent from the length over a number of links",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
