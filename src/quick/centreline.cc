// SPDX-License-Identifier: Apache-2.0
// Lobe centerline from wheel readings at equal lift: clearance/centerline.h.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "clearance/centerline.h"
#include "quick/heard.h"
#include "quick/judged.h"
#include "quick/quick.h"
#include "quick/spoken.h"

namespace tautmark::quick {
namespace {

constexpr Input kInputs[] = {
    {.name = "pairs",
     .ask =
         "What does the wheel read at equal lift, opening side and closing side? Three pairs are "
         "better than one.",
     .form = Form::angles,
     .kind = {},
     .need = Need::required,
     .example = "70.6/174.4, 70.4/174.5, 70.7/174.4 deg crank",
     .choices = {}},
    {.name = "wheel",
     .ask = "Is the degree wheel on the crankshaft or on a camshaft?",
     .form = Form::choice,
     .kind = {},
     .need = Need::optional,
     .example = "crank",
     .choices = "crank|cam"},
    {.name = "side",
     .ask = "Are those degrees after top dead center or before it?",
     .form = Form::choice,
     .kind = {},
     .need = Need::required,
     .example = "after",
     .choices = "after|before"},
    {.name = "wanted",
     .ask = "Where should the centerline stand, on the same side?",
     .form = Form::angle,
     .kind = {},
     .need = Need::optional,
     .example = "122.0 deg crank",
     .choices = {}},
    {.name = "limit",
     .ask = "How far off may it be, to either side?",
     .form = Form::angle,
     .kind = {},
     .need = Need::optional,
     .example = "2.0 deg crank",
     .choices = {}},
    {.name = "wheel_u",
     .ask = "How sure is the zero of the wheel (± crank degrees)?",
     .form = Form::angle,
     .kind = {},
     .need = Need::optional,
     .example = "0.5 deg crank",
     .choices = {}},
    kOriginInput,
    kSourceInput,
};

// geometry.md 6.4: the bias of a wheel whose zero was found by a positive stop, 0.3 to 0.5 crank
// degrees in all; the larger one where nobody said (program default, k = 2).
constexpr CrankAngle kWheelUnknown = crank_deg(0.5);

// Three pairs of one lobe agree within a degree or so. Further apart than this they were not taken
// at equal lift, or something moved between them; a mean would hide it (program default).
constexpr CrankAngle kMostSpread = crank_deg(3);

// Of the lift it was only said that it is the same on both sides of each pair.
constexpr Length kSameLift = mm(1);

struct Pairs {
  std::vector<clearance::EqualLiftPair> pairs;
  int decimals = 0;
  bool was_cam = false;
};

// On the side "before" the wheel counts down in the running direction.
Said<Pairs> said_pairs(const Heard& heard, bool is_before) {
  const Said<std::vector<SaidAngle>> angles = heard.angles("pairs", "wheel");
  if (!angles) return tl::make_unexpected(angles.error());
  if (angles->size() % 2 != 0) {
    return tl::make_unexpected(heard.ask(
        "pairs", fmt::format("{} readings are no pairs: for every opening side the closing side at "
                             "the same lift.",
                             angles->size())));
  }
  Pairs result{.pairs = {}, .was_cam = angles->front().was_cam};
  for (std::size_t i = 0; i < angles->size(); i += 2) {
    const SaidAngle& opening = (*angles)[i];
    const SaidAngle& closing = (*angles)[i + 1];
    result.decimals = std::max({result.decimals, opening.decimals, closing.decimals});
    result.pairs.push_back(is_before
                               ? clearance::EqualLiftPair{kSameLift, -opening.crank, -closing.crank}
                               : clearance::EqualLiftPair{kSameLift, opening.crank, closing.crank});
  }
  return result;
}

// How sure the zero of the wheel is, k = 2.
Said<CrankAngle> wheel_zero(const Heard& heard, Answer& answer) {
  if (!heard.has("wheel_u")) {
    answer.assumed.push_back(fmt::format(
        "zero of the wheel sure to ± {} crank (program default for a zero found by positive stop)",
        degrees(kWheelUnknown)));
    return kWheelUnknown;
  }
  const Said<SaidAngle> said = heard.angle("wheel_u", "wheel");
  if (!said) return tl::make_unexpected(said.error());
  return said->crank;
}

double scatter_of(const clearance::Centerline& line) {
  if (line.of_pair.size() < 2) return 0;
  double squares = 0;
  for (const CrankAngle middle : line.of_pair) squares += std::pow((middle - line.center).si(), 2);
  return std::sqrt(squares / static_cast<double>(line.of_pair.size() - 1));
}

// Later on the wheel is late: the shift is wanted minus found, positive early.
Reading shift_reading(const clearance::Centerline& line, CrankAngle wanted) {
  Reading reading{.value = (wanted - line.center).si(),
                  .unit = &default_unit(Kind::crank_angle),
                  .u = line.u.si(),
                  .nu = line.nu,
                  .how = {},
                  .assumed = {}};
  reading.n = static_cast<int>(line.of_pair.size());
  reading.repeat_sd = scatter_of(line);
  return reading;
}

std::optional<Ask> judge_shift(const Heard& heard, const Reading& shift, Answer& answer) {
  const Said<SaidAngle> allowed = heard.angle("limit", "wheel");
  if (!allowed) return allowed.error();
  Said<SaidLimit> limit = said_origin(heard);
  if (!limit) return limit.error();
  limit->interval = AnyInterval{.kind = Kind::crank_angle,
                                .lower_si = -allowed->crank.si(),
                                .upper_si = allowed->crank.si(),
                                .unit = shift.unit,
                                .decimals = allowed->decimals};
  if (!(allowed->crank.si() > 0)) return heard.ask("limit", "More than zero must be allowed.");
  const Result<Expanded> all = expanded(shift);
  if (!all) return heard.ask("pairs", all.error().why + ".");
  const CrankAngle value = CrankAngle::from_si(shift.value);
  const ToJudge what{.check = "lobe-centerline",
                     .subject = "centerline",
                     .reading = shift,
                     .kind = Kind::crank_angle,
                     .shown = fmt::format("{}, ± {} crank", shift_text(value),
                                          degrees(CrankAngle::from_si(all->U))),
                     .limit_shown = fmt::format("{} to either side (crank)",
                                                degrees(allowed->crank, allowed->decimals))};
  std::vector<std::string> computed;
  computed.swap(answer.lines);
  if (const auto refusal = judge(answer, what, *limit))
    return heard.ask("limit", refusal->why + ".");
  answer.lines.insert(answer.lines.end(), computed.begin(), computed.end());
  return std::nullopt;
}

Outcome run(const Typed& typed) {
  const Heard heard(kCenterline, typed);
  const Said<std::size_t> side = heard.choice("side");
  if (!side) return side.error();
  const bool is_before = *side == 1;
  const std::string_view side_word = is_before ? "before" : "after";
  const Said<Pairs> said = said_pairs(heard, is_before);
  if (!said) return said.error();
  const CrankAngle resolution = crank_deg(std::pow(10, -said->decimals) * (said->was_cam ? 2 : 1));
  clearance::CenterlineInputs in{.pairs = said->pairs, .reading_u = resolution / std::sqrt(12.0)};
  const auto ordered = [](const clearance::EqualLiftPair& pair) {
    return pair.opening < pair.closing && pair.closing - pair.opening < crank_deg(720);
  };
  if (!std::all_of(in.pairs.begin(), in.pairs.end(), ordered)) {
    return heard.ask(
        "pairs",
        is_before ? "Before top dead center the opening reading is the larger of the two: opening "
                    "first, then closing."
                  : "On one scale in the running direction the closing side comes after the "
                    "opening side: add 360° to the closing reading if the wheel passed its zero "
                    "in between.");
  }

  Answer answer;
  if (heard.has("wanted")) {
    const Said<CrankAngle> zero = wheel_zero(heard, answer);
    if (!zero) return zero.error();
    in.top_u = *zero / 2;
  }
  const auto line = clearance::centerline(in);
  if (!line) return heard.ask("pairs", without_period(line.error().why) + ".");
  const auto [least, most] = std::minmax_element(line->of_pair.begin(), line->of_pair.end());
  const CrankAngle spread = *most - *least;

  std::string each;
  for (const CrankAngle c : line->of_pair) {
    each += fmt::format("{}{}", each.empty() ? "" : ", ", degrees(c));
  }
  if (spread > kMostSpread) {
    return heard.ask(
        "pairs", fmt::format("The readings contradict each other: the centerlines are {}, {} apart "
                             "(crank). Was the lift the same each time, and was the engine turned "
                             "forward only? Read the pairs again.",
                             each, degrees(spread)));
  }

  const CrankAngle shown = is_before ? -line->center : line->center;
  answer.lines.push_back(
      fmt::format("The centerline is {} {} top dead center (crank).", degrees(shown), side_word));
  answer.steps.push_back(
      fmt::format("each (opening + closing) / 2: {}; mean {}", each, degrees(shown)));
  if (line->of_pair.size() > 1) {
    answer.lines.push_back(
        fmt::format("Spread of the {} pairs: {} (crank).", line->of_pair.size(), degrees(spread)));
  } else {
    answer.cautions.emplace_back("One pair shows no scatter: take three.");
  }
  if (heard.has("wanted")) {
    const Said<SaidAngle> wanted = heard.angle("wanted", "wheel");
    if (!wanted) return wanted.error();
    const Reading shift = shift_reading(*line, is_before ? -wanted->crank : wanted->crank);
    answer.lines.insert(
        answer.lines.begin() + 1,
        fmt::format("That is {} against {}.", shift_text(CrankAngle::from_si(shift.value)),
                    heard.text("wanted")));
    if (heard.has("limit")) {
      if (const auto ask = judge_shift(heard, shift, answer)) return *ask;
    }
  } else if (heard.has("limit")) {
    return heard.ask("wanted");
  }
  answer.assumed.push_back(
      fmt::format("all readings {} top dead center on one scale, at equal lift", side_word));
  answer.cautions.emplace_back(
      "The wheel's zero goes in one to one: find dead center by positive stop first.");
  answer.cautions.emplace_back(
      "This is the middle of the lobe at this lift, not the angle of greatest lift unless the lobe "
      "is "
      "symmetric. Turn forward only while reading; lash and a soft follower shift it.");
  for (std::string& caution : turning_cautions()) answer.cautions.push_back(std::move(caution));
  return answer;
}

}  // namespace

constinit const QuickQuestion kCenterline = {
    .name = "centerline",
    .alias = "centreline",
    .help = "lobe centerline from wheel readings at equal lift",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
