// SPDX-License-Identifier: Apache-2.0
// Crank and cam signals read off a screen: how early or late is the camshaft, and what can that
// mean? Nothing is ever passed by it: a program that decodes the recording can, this cannot.
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>

#include "base/text.h"
#include "geometry/counts.h"
#include "quick/phase_read.h"
#include "quick/quick.h"
#include "quick/spoken.h"
#include "recording/angle.h"

namespace tautmark::quick {
namespace {

constexpr Input input_of(std::string_view name, std::string_view ask, Form form,
                         std::string_view example, std::string_view choices = {},
                         Need need = Need::optional) {
  return {.name = name,
          .ask = ask,
          .form = form,
          .kind = {},
          .need = need,
          .example = example,
          .choices = choices};
}

constexpr Input kInputs[] = {
    input_of("off", "How many degrees is it off, crank or cam, early or late?", Form::angle,
             "21.4 deg crank late"),
    input_of("cam_teeth", "How many teeth has the cam sprocket?", Form::count, "38"),
    input_of("cam", "Which camshaft is it: which bank, and intake or exhaust?", Form::words,
             "bank 1 intake", {}, Need::required),
    input_of("phaser",
             "Was its phaser at base (locked), commanded, is there none, or is it not known?",
             Form::choice, "base", "base|commanded|none|unknown", Need::required),
    input_of("read",
             "What was read off the screen: cursor times, crank teeth counted, the edge's place in "
             "degrees, or only how far it is off?",
             Form::choice, "times", "times|teeth|degrees|off"),
    input_of("gap", "When does the first crank tooth behind the gap pass, cycle by cycle?",
             Form::words, "0.0 ms"),
    input_of("edge", "When does the cam edge come, in the same cycles?", Form::words, "13.3 ms"),
    input_of("next_gap", "When does the first tooth behind the next gap that you took pass?",
             Form::words, "92.3 ms"),
    input_of("next",
             "Is that next gap one crank turn later, or one engine cycle (two turns) later?",
             Form::choice, "turn", "turn|cycle"),
    input_of("cursor", "How finely does the cursor read?", Form::quantity, "0.1 ms"),
    input_of(
        "teeth",
        "How many tooth spaces are there from the first crank tooth behind the gap to the last "
        "one before the cam edge, missing teeth counted too, cycle by cycle?",
        Form::counts, "5"),
    input_of(
        "fraction",
        "How far from that tooth to the next one is the cam edge, in tenths? 0 is on the tooth.",
        Form::words, "0.2"),
    input_of("wheel", "Which teeth has the crank's sensor wheel, missing ones named?", Form::words,
             "36-1"),
    input_of("at", "At how many degrees after the first tooth behind the gap is the cam edge?",
             Form::angles, "117.3 117.5 117.2 deg crank"),
    input_of("of", "Are those crank degrees or cam degrees?", Form::choice, "crank", "crank|cam"),
    input_of("direction", "Is the cam late (after where it should be) or early?", Form::choice,
             "late", "late|early"),
    input_of("polarity",
             "Which edge of the cam signal was read, rising or falling, and is it the one that the "
             "nominal means?",
             Form::choice, "rising", "rising|falling|unknown"),
    input_of("nominal",
             "Where should the edge be, the phaser at its base, by the maker's data or a recording "
             "of a good engine?",
             Form::angle, "52.0 deg crank"),
    input_of("other", "How far off is the other camshaft, read the same way?", Form::angle,
             "1.8 deg crank late"),
    input_of("other_on", "Is that other camshaft on the same chain, or on the other bank?",
             Form::choice, "same chain", "same chain|other bank"),
};

// A shift with its word; positive early.
struct Shift {
  double degrees = 0;  // crank
  double U = 0;        // 0: not known
};

CrankAngle angle_of(double degrees) { return CrankAngle::from_si(degrees * kRadiansPerDegree); }
std::string words_of(double degrees) { return shift_text(angle_of(degrees), 1); }

Said<EarlyLate> word_of(const Heard& heard, std::string_view input, bool may_ask_direction) {
  std::string text(heard.text(input));
  const auto in_text = take_early_late(text);
  if (in_text) return *in_text;
  if (!may_ask_direction)
    return tl::make_unexpected(
        heard.ask(input, fmt::format("\"{}\": early or late?", heard.text(input))));
  if (!heard.has("direction")) return tl::make_unexpected(heard.ask("direction"));
  const auto chosen = heard.choice("direction");
  if (!chosen) return tl::make_unexpected(chosen.error());
  return *chosen == 0 ? EarlyLate::late : EarlyLate::early;
}

Said<double> shift_said(const Heard& heard, std::string_view input, bool may_ask_direction) {
  const auto angle = heard.angle(input, "of");
  if (!angle) return tl::make_unexpected(angle.error());
  if (in_crank_deg(angle->crank) > 360)
    return tl::make_unexpected(
        heard.ask(input,
                  "More than half a turn of the camshaft is not told from less the other "
                  "way."));
  const auto word = word_of(heard, input, may_ask_direction);
  if (!word) return tl::make_unexpected(word.error());
  return *word == EarlyLate::late ? -in_crank_deg(angle->crank) : in_crank_deg(angle->crank);
}

// The answers of the question `teeth` for this shift, in its words.
Said<std::vector<std::string>> tooth_lines(const Heard& heard, double degrees) {
  const Outcome outcome =
      answer(kTeeth, {{"angle", fmt::format("{:.2f} deg crank {}", std::abs(degrees),
                                            degrees < 0 ? "late" : "early")},
                      {"teeth", std::string(heard.text("cam_teeth"))}});
  if (const auto* ask = std::get_if<Ask>(&outcome))
    return tl::make_unexpected(
        heard.ask(ask->input == "teeth" ? "cam_teeth" : "off", ask->sentence));
  return std::get<Answer>(outcome).lines;
}

std::optional<Ask> say_miscounts(const Heard& heard, const Shift& shift, double tooth,
                                 Answer& answer) {
  answer.lines.push_back(
      fmt::format("A miscount by one tooth of the crank wheel ({}) stays possible:",
                  crank_and_cam(angle_of(tooth), 1)));
  for (const double miscount : {-tooth, tooth}) {
    const double then = shift.degrees + miscount;
    std::string line = fmt::format("  one tooth {} counted: {}",
                                   miscount < 0 ? "too few was" : "too many was", words_of(then));
    if (heard.has("cam_teeth")) {
      const auto lines = tooth_lines(heard, then);
      if (!lines) return lines.error();
      line += ". " + lines->front();
    }
    answer.lines.push_back(std::move(line));
  }
  answer.lines.emplace_back("Count again from the other side of the edge, in another cycle.");
  return std::nullopt;
}

// Whole teeth of this sprocket that the shift can be; nothing where it can be none.
std::optional<WholeTeeth> whole_teeth(const Heard& heard, double degrees) {
  const auto teeth = heard.count("cam_teeth");
  if (!heard.has("cam_teeth") || !teeth) return std::nullopt;
  const bool of_crank = folded(heard.text("cam_teeth")).find("crank") != std::string::npos;
  const auto split = tooth_split({angle_of(degrees), of_crank ? 2 * *teeth : *teeth});
  if (!split || std::abs(split->nearest.left_over / split->tooth.crank) >= kNameableTooth)
    return std::nullopt;
  return split->nearest;
}

// Strands of one chain from the crank to its cams differ by less than this (common practice).
constexpr double kMostSpanRatio = 2.5;
constexpr double kSmallestTooth = 10;  // degrees: no cam sprocket has a tooth of less
constexpr double kMoved = 0.5;         // degrees: less is as good as right

// Neither is a whole tooth off, as far as that is known.
std::string without_a_tooth(double shift, double other) {
  const double ratio = other != 0 ? shift / other : 0;
  if (std::abs(shift) < kMoved && std::abs(other) < kMoved) return "Both are where they should be.";
  if (std::abs(other) < kMoved)
    return fmt::format(
        "The other camshaft of this chain is {}: what moved is this cam alone (phaser, sprocket on "
        "its shaft, its sensor wheel).",
        words_of(other));
  if (std::abs(shift) < kMoved)
    return fmt::format("What moved is the other camshaft, {}, alone.", words_of(other));
  if (shift > 0 && other > 0)
    return "Both camshafts of this chain are early, and wear makes late, never early: the key, the "
           "crank's sensor wheel, both set wrong, or both phasers off their base.";
  if (shift > 0 || other > 0)
    return "One is early and the other late: no wear of their chain does that. Look at each by "
           "itself.";
  if (ratio > kMostSpanRatio || ratio < 1 / kMostSpanRatio)
    return fmt::format(
        "Both camshafts of this chain are late, but {} to 1 is no ratio of spans: wear is at most "
        "what the lesser shows, the rest is that one cam's own.",
        number_text(ratio, 2));
  return fmt::format(
      "Both camshafts of this chain are late: that is no jump of one of them. It is wear of the "
      "chain, the key, or the crank's sensor wheel: compare {} to 1 with the ratio of the spans "
      "from the crank to each cam. Wear moves them in that ratio, the crank's side both alike.",
      number_text(ratio, 2));
}

void say_same_chain(const Heard& heard, double shift, double other, Answer& answer) {
  const auto own = whole_teeth(heard, shift), its = whole_teeth(heard, other);
  const int own_teeth = own ? own->teeth : 0, its_teeth = its ? its->teeth : 0;
  const double left = own ? in_crank_deg(own->left_over) : shift;
  if (!heard.has("cam_teeth") && std::max(std::abs(shift), std::abs(other)) >= kSmallestTooth)
    answer.lines.push_back(
        fmt::format("The other camshaft of this chain is {}. Whether one of them jumped depends on "
                    "the teeth of the sprocket.",
                    words_of(other)));
  else if (own_teeth != 0 && its_teeth == own_teeth)
    answer.lines.emplace_back(
        "The other camshaft of this chain is off by as many teeth: the crank sprocket, its key or "
        "the crank's sensor wheel, or both cams set wrong alike.");
  else if (own_teeth != 0 && its_teeth != 0)
    answer.lines.push_back(fmt::format(
        "The other camshaft of this chain is off by whole teeth, too: {}.", teeth_text(its_teeth)));
  else if (its_teeth != 0)
    answer.lines.push_back(fmt::format(
        "It is the other camshaft of this chain that is whole teeth off: {}. What this one shows "
        "is the wear beside it, if it is late.",
        teeth_text(its_teeth)));
  else if (own_teeth != 0 && left < -kMoved && other < -kMoved)
    answer.lines.push_back(fmt::format(
        "The {} left over and the other camshaft's {} belong together as wear of one chain if this "
        "cam's strand is {} times as long as the other's: {} and wear, not a second tooth.",
        words_of(left), words_of(other), number_text(left / other, 2), teeth_text(own_teeth)));
  else if (own_teeth != 0)
    answer.lines.push_back(fmt::format(
        "The other camshaft of this chain is {}: the {} left over are then no wear of the chain.",
        words_of(other), words_of(left)));
  else
    answer.lines.push_back(without_a_tooth(shift, other));
}

void say_other_bank(double shift, double other, double U, Answer& answer) {
  const double apart = std::abs(shift - other);
  if (apart <= std::max(1.0, std::sqrt(2.0) * U))
    answer.lines.emplace_back(
        "Both banks alike: look at the crank's side (its sensor wheel, the key, the crank "
        "sprocket), "
        "or at an error of the reading common to both. Bank against bank it is invisible.");
  else
    answer.lines.push_back(
        fmt::format("The banks are {} apart. Each bank's chain wears by itself; the bank that is "
                    "right is not known from their difference.",
                    crank_and_cam(angle_of(apart), 1)));
}

std::optional<Ask> say_other(const Heard& heard, const Shift& shift, Answer& answer) {
  if (!heard.has("other")) {
    answer.lines.emplace_back(
        "The other camshaft, read the same way, tells wear from a jump: a tooth moves one cam, "
        "wear "
        "moves all of its chain.");
    return std::nullopt;
  }
  const auto other = shift_said(heard, "other", false);
  if (!other) return other.error();
  if (!heard.has("other_on")) return heard.ask("other_on");
  const auto on = heard.choice("other_on");
  if (!on) return on.error();
  if (*on == 0)
    say_same_chain(heard, shift.degrees, *other, answer);
  else
    say_other_bank(shift.degrees, *other, shift.U, answer);
  return std::nullopt;
}

std::optional<Ask> say_phaser(const Heard& heard, Answer& answer) {
  const auto phaser = heard.choice("phaser");
  if (!phaser) return phaser.error();
  if (*phaser == 1)
    answer.cautions.emplace_back(
        "The phaser was commanded: the nominal holds for its base. Read again with it locked "
        "before "
        "anything is concluded.");
  if (*phaser == 3)
    answer.cautions.emplace_back(
        "Whether the phaser was at its base is not known: a phaser off its base explains any shift "
        "inside its travel. Nothing here is proven before that is.");
  return std::nullopt;
}

std::optional<Ask> explain(const Heard& heard, const Shift& shift, double tooth, Answer& answer) {
  if (heard.has("cam_teeth")) {
    const auto lines = tooth_lines(heard, shift.degrees);
    if (!lines) return lines.error();
    answer.lines.insert(answer.lines.end(), lines->begin(), lines->end());
  } else {
    answer.lines.emplace_back(
        "How many teeth that is depends on the cam sprocket: 13° to 24° crank a tooth. Say its "
        "teeth.");
  }
  if (auto ask = say_other(heard, shift, answer)) return ask;
  if (tooth > 0)
    if (auto ask = say_miscounts(heard, shift, tooth, answer)) return ask;
  answer.lines.emplace_back(
      "Nothing is passed by this: it finds an error, it does not prove that there is none.");
  return std::nullopt;
}

Said<ReadEdge> edge_read(const Heard& heard, std::string_view by) {
  if (by == "times") return edge_from_times(heard);
  return by == "teeth" ? edge_from_teeth(heard) : edge_from_degrees(heard);
}

// "times", "teeth", "degrees" or "off": as said, else by what there is.
Said<std::string_view> read_by(const Heard& heard) {
  constexpr std::string_view kWays[] = {"times", "teeth", "degrees", "off"};
  if (heard.has("read")) {
    const auto chosen = heard.choice("read");
    if (!chosen) return tl::make_unexpected(chosen.error());
    return kWays[*chosen];
  }
  constexpr std::pair<std::string_view, std::string_view> kBy[] = {
      {"gap", "times"},      {"edge", "times"}, {"next_gap", "times"}, {"teeth", "teeth"},
      {"fraction", "teeth"}, {"at", "degrees"}, {"off", "off"}};
  std::string_view by;
  for (const auto& [input, way] : kBy) {
    if (!heard.has(input)) continue;
    if (!by.empty() && by != way)
      return tl::make_unexpected(heard.ask(
          "read", fmt::format("Both {} and {} were said: which of them counts?", by, way)));
    by = way;
  }
  if (by.empty()) return tl::make_unexpected(heard.ask("read"));
  return by;
}

Outcome run_off(const Heard& heard) {
  if (!heard.has("off")) return heard.ask("off");
  const auto shift = shift_said(heard, "off", true);
  if (!shift) return shift.error();
  double tooth = 0;
  if (heard.has("wheel")) {
    const auto places = places_of_wheel(heard.text("wheel"));
    if (!places) return heard.ask("wheel");
    tooth = 360.0 / *places;
  }
  Answer answer;
  answer.lines.push_back(fmt::format("{}: {}, as said.", heard.text("cam"), words_of(*shift)));
  answer.assumed.emplace_back(
      "the degrees are right as said: against the nominal edge, at the phaser's base, read over "
      "several cycles");
  if (auto ask = say_phaser(heard, answer)) return *ask;
  if (auto ask = explain(heard, {*shift, 0}, tooth, answer)) return *ask;
  return answer;
}

Outcome run(const Typed& typed) {
  const Heard heard(kPhase, typed);
  const auto by = read_by(heard);
  if (!by) return by.error();
  if (*by == "off") return run_off(heard);
  auto edge = edge_read(heard, *by);
  if (!edge) return edge.error();
  if (!heard.has("polarity")) return heard.ask("polarity");
  Answer answer;
  answer.steps = edge->steps;
  answer.assumed = edge->assumed;
  const std::string place =
      fmt::format("{}: the edge comes {:.1f}° ± {:.1f}° (crank) after the gap", heard.text("cam"),
                  edge->angle, edge->U);
  if (edge->modulus < 720)
    answer.assumed.emplace_back(
        "which of the two turns of the cycle was read is not known: a whole turn more or less is "
        "not seen");
  if (edge->cycles == 1)
    answer.cautions.emplace_back("One cycle only: read five or more, their scatter is not seen.");
  if (auto ask = say_phaser(heard, answer)) return *ask;
  const auto polarity = heard.choice("polarity");
  if (!polarity) return polarity.error();
  if (*polarity == 2)
    answer.cautions.emplace_back(
        "Which edge was read is not known: the other edge of the tooth is its whole width away.");
  if (!heard.has("nominal")) {
    answer.lines.push_back(place + ".");
    answer.lines.emplace_back(
        "Without the edge of a good engine nothing is early or late. Compare the banks, or before "
        "with after; an error equal on both is invisible.");
    return answer;
  }
  const auto nominal = heard.angle("nominal", "of");
  if (!nominal) return nominal.error();
  const double should = in_crank_deg(nominal->crank);
  const Shift shift{-wrapped(edge->angle - should, edge->modulus), edge->U};
  answer.lines.push_back(
      fmt::format("{}: {} against {:.1f}°.", place, words_of(shift.degrees), should));
  answer.steps.push_back(fmt::format("{:.2f}° less {:.2f}°: {}", edge->angle, should,
                                     shift_text(angle_of(shift.degrees))));
  if (auto ask = explain(heard, shift, edge->tooth, answer)) return *ask;
  return answer;
}

}  // namespace

constinit const QuickQuestion kPhase = {
    .name = "phase",
    .alias = "capture",
    .help = "how early or late a cam is, from times or teeth read off a screen",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
