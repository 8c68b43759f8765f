// SPDX-License-Identifier: Apache-2.0
// Degrees off to whole teeth and what is left over: geometry/counts.h, tooth_split.
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>

#include "base/text.h"
#include "geometry/counts.h"
#include "quick/heard.h"
#include "quick/quick.h"
#include "quick/spoken.h"

namespace tautmark::quick {
namespace {

constexpr Input kInputs[] = {
    {.name = "angle",
     .ask = "How many degrees off, crank or cam, early or late?",
     .form = Form::angle,
     .kind = {},
     .need = Need::required,
     .example = "21.4 deg crank late",
     .choices = {}},
    {.name = "of",
     .ask = "Are those crank degrees or cam degrees?",
     .form = Form::choice,
     .kind = {},
     .need = Need::optional,
     .example = "crank",
     .choices = "crank|cam"},
    {.name = "direction",
     .ask = "Is the cam late (after where it should be) or early?",
     .form = Form::choice,
     .kind = {},
     .need = Need::optional,
     .example = "late",
     .choices = "late|early"},
    {.name = "teeth",
     .ask = "How many teeth has the cam sprocket? A tooth is another angle on every sprocket.",
     .form = Form::count,
     .kind = {},
     .need = Need::required,
     .example = "38",
     .choices = {}},
};

// geometry.md 12: crank sprockets 15 to 28 teeth, cam sprockets 30 to 56.
constexpr int kMostOnCrank = 28;
constexpr double kOneCamTurn = 720;  // crank degrees

bool is_nameable(const ToothSplit& split) {
  return std::abs(split.nearest.left_over / split.tooth.crank) < kNameableTooth;
}

Said<int> cam_teeth(const Heard& heard) {
  Said<int> count = heard.count("teeth");
  if (!count) return count;
  const std::string said = folded(heard.text("teeth"));
  if (said.find("crank") != std::string::npos) return 2 * *count;
  if (said.find("cam") == std::string::npos && *count >= kFewestTeeth && *count <= kMostOnCrank) {
    return tl::make_unexpected(heard.ask(
        "teeth", fmt::format("{} teeth are few for a cam sprocket. Is it the crank sprocket? Say "
                             "\"{} crank\" or \"{} cam\".",
                             *count, *count, *count)));
  }
  return count;
}

Said<EarlyLate> direction(const Heard& heard) {
  std::string text(heard.text("angle"));
  const std::optional<EarlyLate> in_text = take_early_late(text);
  if (!heard.has("direction")) {
    if (in_text) return *in_text;
    return tl::make_unexpected(heard.ask("direction"));
  }
  const Said<std::size_t> chosen = heard.choice("direction");
  if (!chosen) return tl::make_unexpected(chosen.error());
  const EarlyLate said = *chosen == 0 ? EarlyLate::late : EarlyLate::early;
  if (in_text && *in_text != said) {
    return tl::make_unexpected(heard.ask(
        "direction", fmt::format("\"{}\" and \"{}\" contradict each other: late or early?",
                                 heard.text("angle"), heard.text("direction"))));
  }
  return said;
}

void say_whole_teeth(Answer& answer, const ToothSplit& split) {
  const WholeTeeth& nearest = split.nearest;
  const std::string left = shift_text(nearest.left_over);
  if (nearest.teeth == 0) {
    answer.lines.push_back(
        fmt::format("No tooth: {} is {} of a tooth.", left, number_text(std::abs(split.teeth), 2)));
    answer.lines.emplace_back(
        nearest.left_over.si() < 0
            ? "That is the size of wear, phaser or reading, not of a jump: compare the other cam "
              "on "
              "this chain."
            : "That is the size of phaser or reading, not of a jump; chain wear makes late, never "
              "early.");
    return;
  }
  answer.lines.push_back(fmt::format("{} ({}) and {} left over.", teeth_text(nearest.teeth),
                                     crank_and_cam(split.tooth.crank * std::abs(nearest.teeth)),
                                     left));
  if (nearest.left_over.si() < 0) {
    answer.lines.emplace_back(
        "The left-over must be explained, not rounded away: it is chain wear if the other cam on "
        "this chain is late too, in the ratio of its span.");
  } else {
    answer.lines.emplace_back(
        "The left-over is early, and chain wear makes late, never early: if it is more than the "
        "reading is sure, look for another reason (phaser, sprocket on its shaft).");
  }
}

void say_no_whole_tooth(Answer& answer, CrankAngle shift, const ToothSplit& split) {
  answer.lines.push_back(fmt::format("{} is {} tooth: not a whole tooth.", shift_text(shift),
                                     number_text(std::abs(split.teeth), 2)));
  answer.lines.emplace_back(
      "A jump moves whole teeth: look at the phaser's base position, a slipped joint, a moved "
      "trigger wheel, slack on the tight strand.");
}

// Half of all misunderstandings are the factor of two: say what the other reading would make.
void say_if_mixed_up(Answer& answer, const SaidAngle& said, CrankAngle shift, int teeth) {
  const CrankAngle other = said.was_cam ? shift / 2 : shift * 2;
  const Result<ToothSplit> split = tooth_split({.displacement = other, .cam_teeth = teeth});
  if (!split) return;
  const std::string number = number_text(said.degrees, said.decimals);
  std::string would = is_nameable(*split) && split->nearest.teeth != 0
                          ? fmt::format("{} and {} left over", teeth_text(split->nearest.teeth),
                                        shift_text(split->nearest.left_over))
                          : fmt::format("{} tooth", number_text(std::abs(split->teeth), 2));
  answer.lines.push_back(fmt::format("If the {}° were {} degrees, it would be {}: {}.", number,
                                     said.was_cam ? "crank" : "cam", shift_text(other), would));
}

Outcome run(const Typed& typed) {
  const Heard heard(kTeeth, typed);
  const Said<SaidAngle> said = heard.angle("angle", "of");
  if (!said) return said.error();
  const Said<EarlyLate> word = direction(heard);
  if (!word) return word.error();
  const Said<int> teeth = cam_teeth(heard);
  if (!teeth) return teeth.error();
  if (!(in_crank_deg(said->crank) <= kOneCamTurn)) {
    return heard.ask("angle", "More than one turn of the camshaft cannot be told from none.");
  }
  const CrankAngle shift = *word == EarlyLate::late ? -said->crank : said->crank;
  const Result<ToothSplit> split = tooth_split({.displacement = shift, .cam_teeth = *teeth});
  if (!split) return heard.ask("teeth", split.error().why + ".");

  // Half a sprocket one way is half a sprocket the other way.
  if (2 * std::abs(split->nearest.teeth) > *teeth) {
    return heard.ask(
        "angle", fmt::format("{} would be {} teeth of a sprocket with {}, more than half of it. "
                             "Is it crank or cam degrees, and counted the short way?",
                             heard.text("angle"), std::abs(split->nearest.teeth), *teeth));
  }

  Answer answer;
  const bool nameable = is_nameable(*split);
  if (nameable) {
    say_whole_teeth(answer, *split);
  } else {
    say_no_whole_tooth(answer, shift, *split);
  }
  for (const WholeTeeth& other : {split->below, split->above}) {
    answer.lines.push_back(
        fmt::format("{} would leave {}.", teeth_text(other.teeth), shift_text(other.left_over)));
  }
  if (!nameable) {
    answer.lines.push_back(fmt::format("{} would leave {}.", teeth_text(split->nearest.teeth),
                                       shift_text(split->nearest.left_over)));
    say_if_mixed_up(answer, *said, shift, *teeth);
  }
  for (std::string& line : answer.lines) {
    if (line.starts_with("no tooth")) line[0] = 'N';
  }

  answer.steps.push_back(
      fmt::format("one tooth = 720° / {} = {}", *teeth, crank_and_cam(split->tooth.crank)));
  answer.steps.push_back(fmt::format("{} / {} = {} tooth", shift_text(shift),
                                     degrees(split->tooth.crank),
                                     number_text(std::abs(split->teeth), 2)));
  answer.steps.emplace_back("within a quarter tooth of a whole count, the count is named");
  answer.assumed.push_back(
      fmt::format("{} degrees as said, cam sprocket with {} teeth, phaser locked at its base",
                  said->was_cam ? "cam" : "crank", *teeth));
  answer.cautions.emplace_back("Degrees alone prove no jump: count the links between the marks.");
  if (!nameable || split->nearest.teeth != 0) {
    answer.forbids = "a camshaft is off: " + without_period(answer.lines.front());
    for (std::string& caution : turning_cautions()) answer.cautions.push_back(std::move(caution));
  }
  return answer;
}

}  // namespace

constinit const QuickQuestion kTeeth = {
    .name = "teeth",
    .alias = "degrees",
    .help = "degrees off as whole teeth and what is left over",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
