// SPDX-License-Identifier: Apache-2.0
// A mark described in words: what was heard, what it can mean, and what to do about it.
// casework/mark_words.h reads the words; geometry.md 4.4 says why marks look off by a fraction.
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>

#include "casework/mark_words.h"
#include "geometry/counts.h"
#include "quick/heard.h"
#include "quick/quick.h"
#include "quick/spoken.h"

namespace tautmark::quick {
namespace {

constexpr Input kInputs[] = {
    {.name = "stands",
     .ask = "How does the mark stand, in your own words?",
     .form = Form::words,
     .kind = {},
     .need = Need::required,
     .example = "half a tooth left",
     .choices = {}},
    {.name = "against",
     .ask = "Against what: the mark on the casting, or the colored link?",
     .form = Form::choice,
     .kind = {},
     .need = Need::required,
     .example = "casting",
     .choices = "casting|link"},
    {.name = "seen_from",
     .ask = "From which end do you look: the front (timing end) or the flywheel end?",
     .form = Form::choice,
     .kind = {},
     .need = Need::optional,
     .example = "front",
     .choices = "front|flywheel end"},
    {.name = "rotation",
     .ask = "Which way does the engine run, seen from the front?",
     .form = Form::choice,
     .kind = {},
     .need = Need::optional,
     .example = "clockwise",
     .choices = "clockwise|counterclockwise"},
    {.name = "place",
     .ask = "Where should the mark stand, as on a clock, seen from the front?",
     .form = Form::words,
     .kind = {},
     .need = Need::optional,
     .example = "12 o'clock",
     .choices = {}},
    {.name = "teeth",
     .ask = "How many teeth has the sprocket of this camshaft?",
     .form = Form::count,
     .kind = {},
     .need = Need::optional,
     .example = "42",
     .choices = {}},
    {.name = "turned",
     .ask = "Has the engine been turned since links and marks were set?",
     .form = Form::choice,
     .kind = {},
     .need = Need::optional,
     .example = "unknown",
     .choices = "no|yes|unknown"},
};

Said<MarkView> view_said(const Heard& heard) {
  MarkView view;
  if (heard.has("seen_from")) {
    const Said<std::size_t> end = heard.choice("seen_from");
    if (!end) return tl::make_unexpected(end.error());
    view.seen_from = *end == 0 ? ViewedFrom::front : ViewedFrom::flywheel_end;
  }
  if (heard.has("rotation")) {
    const Said<std::size_t> way = heard.choice("rotation");
    if (!way) return tl::make_unexpected(way.error());
    view.rotation = *way == 0 ? Rotation::clockwise : Rotation::counterclockwise;
  }
  if (heard.has("place")) {
    const auto place = read_mark_words(heard.text("place"));
    if (!place) return tl::make_unexpected(heard.ask("place", place.error()));
    if (!place->clock) return tl::make_unexpected(heard.ask("place"));
    view.place = place->clock;
  }
  return view;
}

std::string amount_text(int half_teeth, int teeth) {
  const int halves = std::abs(half_teeth);
  std::string words = halves == 1   ? std::string("half a tooth")
                      : halves == 2 ? std::string("1 tooth")
                      : halves % 2  ? fmt::format("{}.5 teeth", halves / 2)
                                    : fmt::format("{} teeth", halves / 2);
  words += half_teeth > 0 ? " early" : " late";
  const auto tooth = tooth_angle(teeth);
  if (teeth == 0 || !tooth) return words;
  return fmt::format("{}: {}", words, crank_and_cam(tooth->crank * (halves / 2.0)));
}

std::string possible_text(const MarkReading& reading, int teeth) {
  std::string words;
  for (const int half_teeth : reading.possible) {
    if (half_teeth == 0) return "It stands right.";
    words += (words.empty() ? "" : ", or ") + amount_text(half_teeth, teeth);
  }
  return words.empty() ? words : words + ".";
}

// Colored links run on with the chain: away from their marks they say nothing.
void links_that_ran_on(Answer& answer, bool surely) {
  answer.lines.push_back(fmt::format(
      "{}: a colored link away from its mark is normal then. It is back only after many turns (ask "
      "\"returns\"). It is never a fault by itself.",
      surely ? "The engine was turned" : "If the engine was turned since they were set"));
  answer.lines.emplace_back(
      "Look at the sprocket marks against the casting, and count the links strand by strand.");
}

void half_tooth(Answer& answer) {
  answer.lines.emplace_back(
      "There is no half tooth in a chain, but it is not fine: read it again with the slack on the "
      "slack strand, tensioner released, after two turns forward by hand if turning is allowed.");
  answer.lines.emplace_back(
      "If half a tooth stays: slack on the tight strand, phaser not at its base, or a wrong chain "
      "or sprocket. Not a surfaced head: 0.2 mm is less than half a degree of crank.");
  answer.lines.emplace_back("Count the links between the marks, every strand (ask \"links\").");
}

void unseen(Answer& answer) {
  answer.lines.emplace_back(
      "That is an answer too: nothing is known from this mark. Count the links between the marked "
      "teeth, every strand; together they must be the whole chain.");
  answer.lines.emplace_back(
      "Paint marks of your own on tooth, link and casting before anything moves, and photograph "
      "them with bank and viewing end.");
}

void half_turn(Answer& answer) {
  answer.lines.emplace_back(
      "Half a cam turn away: the crank may stand one turn from where all marks meet. The marks of "
      "all banks must then be half a turn away alike.");
  answer.lines.emplace_back(
      "It comes right one crank turn on, in running direction, if turning is allowed (ask "
      "\"turn\"). Never back.");
}

void whole_teeth(Answer& answer) {
  answer.lines.emplace_back(
      "Count the links between the marks, every strand, before anything is moved: the counts tell "
      "a moved sprocket from a slip on the shaft (ask \"links\").");
}

Outcome run(const Typed& typed) {
  const Heard heard(kMarks, typed);
  const auto words = read_mark_words(heard.text("stands"));
  if (!words) return heard.ask("stands", words.error());
  const Said<std::size_t> against = heard.choice("against");
  if (!against) return against.error();
  const Said<MarkView> view = view_said(heard);
  if (!view) return view.error();
  int teeth = 0;
  if (heard.has("teeth")) {
    const Said<int> count = heard.count("teeth");
    if (!count) return count.error();
    teeth = *count;
  }
  std::size_t turned = 2;
  if (heard.has("turned")) {
    const Said<std::size_t> said = heard.choice("turned");
    if (!said) return said.error();
    turned = *said;
  }
  const MarkReading reading = mark_reading(*words, *view);
  Answer answer;
  answer.lines.push_back(reading.read_back);
  if (!reading.ask.empty()) answer.lines.push_back(reading.ask);
  const bool right = !reading.possible.empty() && reading.possible.front() == 0;
  if (words->seen == MarkSeen::cannot_see || words->seen == MarkSeen::gone) {
    unseen(answer);
  } else if ((*against == 1 || words->of_link) && turned != 0 && !right) {
    links_that_ran_on(answer, turned == 1);
  } else if (words->seen == MarkSeen::half_turn_away) {
    half_turn(answer);
  } else {
    const std::string meaning = possible_text(reading, teeth);
    if (!meaning.empty()) answer.lines.push_back(meaning);
    const bool half = words->half_teeth && *words->half_teeth % 2 != 0;
    if (!right && words->half_teeth.value_or(0) != 0)
      answer.forbids =
          "a mark is off: " + without_period(meaning.empty() ? reading.read_back : meaning);
    if (right)
      answer.lines.emplace_back(
          "One mark that stands right proves one wheel: look at all of them, and count the links.");
    else if (half)
      half_tooth(answer);
    else
      whole_teeth(answer);
  }
  answer.assumed.emplace_back("what was heard is what was seen; the read-back is right");
  for (std::string& caution : turning_cautions()) answer.cautions.push_back(std::move(caution));
  return answer;
}

}  // namespace

constinit const QuickQuestion kMarks = {
    .name = "marks",
    .alias = "mark",
    .help = "what a mark that looks off can mean, from a description in words",
    .inputs = kInputs,
    .run = run,
};

}  // namespace tautmark::quick
