// SPDX-License-Identifier: Apache-2.0
// The rules of turning, over every combination of the facts. What is expected is written down here
// a second time, as a list of what must be there, where turning_rules.cc lists what forbids.
#include "judge/turning.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cctype>
#include <set>
#include <tuple>

#include "judge/turning_rules.h"

namespace tautmark {
namespace {

using ::testing::AnyOf;
using ::testing::HasSubstr;
using ::testing::Not;

using YN = std::optional<bool>;
constexpr YesNo kApart[] = {YesNo::unknown, YesNo::no, YesNo::yes, YesNo::partly};
constexpr Turned kTurned[] = {Turned::unknown, Turned::no, Turned::by_hand_running_direction,
                              Turned::by_hand_backwards, Turned::by_starter};
constexpr OnOff kChain[] = {OnOff::unknown, OnOff::on, OnOff::off};
constexpr TensionerNow kTensioner[] = {TensionerNow::unknown, TensionerNow::pin_in,
                                       TensionerNow::released, TensionerNow::not_fitted};
constexpr PhasersNow kPhasers[] = {PhasersNow::unknown, PhasersNow::not_locked,
                                   PhasersNow::locked_unchecked, PhasersNow::locked_checked,
                                   PhasersNow::none_fitted};
constexpr MarksNow kMarks[] = {MarksNow::unknown,        MarksNow::wrong,
                               MarksNow::colored_links,  MarksNow::before_last_touch,
                               MarksNow::sprocket_marks, MarksNow::counted};
constexpr bool kVariant[] = {false, true};
const std::optional<Rotation> kRotation[] = {std::nullopt, Rotation::clockwise,
                                             Rotation::counterclockwise};
constexpr YN kYesNo[] = {std::nullopt, false, true};
constexpr ValvesNow kValves[] = {ValvesNow::unknown, ValvesNow::worked_by_camshafts,
                                 ValvesNow::followers_out, ValvesNow::caps_loosened};
constexpr Loop kLoop[] = {Loop::unknown, Loop::chain, Loop::belt};
constexpr ShiftTo kShift[] = {ShiftTo::unknown, ShiftTo::early, ShiftTo::late};
constexpr CamKind kCam[] = {CamKind::unknown, CamKind::intake, CamKind::exhaust};
constexpr PistonsAt kPistons[] = {PistonsAt::unknown, PistonsAt::mid_stroke, PistonsAt::near_top};
constexpr Wish kWish[] = {Wish::turn, Wish::backwards, Wish::starter, Wish::start};

bool expected(const TurningFacts& f) {
  const bool common = f.wish == Wish::turn && f.variant_known && f.contradiction.empty() &&
                      f.rotation.has_value() && f.dropped == false && f.resistance == false &&
                      (f.apart == YesNo::yes || f.apart == YesNo::partly);
  const bool intact =
      f.chain == OnOff::on && f.tensioner == TensionerNow::released &&
      f.valves == ValvesNow::worked_by_camshafts && f.said.empty() && f.work.empty() &&
      (f.phasers == PhasersNow::locked_checked || f.phasers == PhasersNow::none_fitted) &&
      (f.marks == MarksNow::counted ||
       (f.marks == MarksNow::sprocket_marks && f.jump_heard == false));
  const bool crank_alone = f.chain == OnOff::off && (f.valves == ValvesNow::followers_out ||
                                                     f.valves == ValvesNow::caps_loosened);
  const bool followers_out = f.chain == OnOff::on && f.tensioner == TensionerNow::released &&
                             f.valves == ValvesNow::followers_out;
  return common && f.bent.empty() && (intact || crank_alone || followers_out);
}

TurningFacts intact() {
  TurningFacts f;
  f.apart = YesNo::partly;
  f.turned = Turned::no;
  f.loop = Loop::chain;
  f.chain = OnOff::on;
  f.tensioner = TensionerNow::released;
  f.phasers = PhasersNow::locked_checked;
  f.phasers_checked_how = "does not move by hand, both ways";
  f.marks = MarksNow::counted;
  f.variant_known = true;
  f.rotation = Rotation::clockwise;
  f.resistance = false;
  f.dropped = false;
  f.jump_heard = false;
  f.valves = ValvesNow::worked_by_camshafts;
  return f;
}

// A verdict, a probability, a promise: none of these words stands in a card.
bool has_forbidden_word(const std::string& text) {
  static const std::set<std::string, std::less<>> kWords = {
      "pass", "passed", "passes", "fail",     "open",        "opened", "safe",
      "ok",   "safely", "okay",   "probable", "probability", "likely", "probably"};
  std::string word;
  for (const char c : text + " ") {
    if (std::isalpha(static_cast<unsigned char>(c)) != 0) {
      word += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    } else {
      if (c == '%' || kWords.contains(word)) return true;
      word.clear();
    }
  }
  return false;
}

void expect_complete(const TurningCard& card) {
  EXPECT_TRUE(card.may_turn ? card.answer.starts_with("TURN ONLY ") : card.answer == "DO NOT TURN")
      << card.answer;
  EXPECT_FALSE(card.cautions.empty());
  for (const std::string& text :
       {card.answer, card.because, card.instead, card.changes_it, card.say, card.holds_for}) {
    EXPECT_FALSE(text.empty()) << card.answer << ": " << card.because;
    EXPECT_FALSE(has_forbidden_word(text)) << text;
    EXPECT_EQ(text.find_first_of("{}"), std::string::npos) << text;
  }
  if (!card.may_turn) return;
  EXPECT_THAT(card.answer, HasSubstr("by hand"));
  EXPECT_THAT(card.answer, HasSubstr("seen from the front"));
  EXPECT_THAT(card.answer, HasSubstr("first resistance"));
  EXPECT_THAT(card.answer,
              AnyOf(HasSubstr("at most two crank turns"), HasSubstr("less than one crank turn")));
}

template <class Value, class Range>
void vary(std::vector<TurningFacts>& facts, Value TurningFacts::*member, const Range& values) {
  std::vector<TurningFacts> more;
  for (const TurningFacts& each : facts) {
    for (const auto& value : values) {
      more.push_back(each);
      more.back().*member = value;
    }
  }
  facts = std::move(more);
}

// Everything that a rule looks at, apart from the wish.
template <class Use>
void for_every_combination(const Use& use) {
  TurningFacts f = intact();
  for (const YesNo apart : kApart)
    for (const OnOff chain : kChain)
      for (const TensionerNow tensioner : kTensioner)
        for (const PhasersNow phasers : kPhasers)
          for (const MarksNow marks : kMarks)
            for (const bool variant : kVariant)
              for (const auto rotation : kRotation)
                for (const YN resistance : kYesNo)
                  for (const YN dropped : kYesNo)
                    for (const YN jump : kYesNo)
                      for (const ValvesNow valves : kValves) {
                        f.apart = apart, f.chain = chain, f.tensioner = tensioner;
                        f.phasers = phasers, f.marks = marks, f.variant_known = variant;
                        f.rotation = rotation, f.resistance = resistance, f.dropped = dropped;
                        f.jump_heard = jump, f.valves = valves;
                        use(f);
                      }
}

TEST(Turning, IsAllowedOnlyWhereEveryRequiredFactIsThere) {
  long allowed = 0, asked = 0, wrong = 0;
  for_every_combination([&](const TurningFacts& f) {
    const bool may = forbidden_by(f).empty();
    ++asked;
    allowed += may ? 1 : 0;
    if (may != expected(f) && ++wrong < 5)
      ADD_FAILURE() << turning_card(f).answer << ": " << turning_card(f).holds_for;
  });
  EXPECT_EQ(wrong, 0);
  EXPECT_EQ(asked, 4L * 3 * 4 * 5 * 6 * 2 * 3 * 3 * 3 * 3 * 4);
  // By hand: apart 2, rotation 2. Intact: phasers 2, marks and jump 3 + 1. Crank alone: valves 2,
  // tensioner 4, phasers 5, marks 6, jump 3. Followers out: phasers 5, marks 6, jump 3.
  EXPECT_EQ(allowed, 2L * 2 * (2 * 4 + 2 * 4 * 5 * 6 * 3 + 5 * 6 * 3));
}

// A no never becomes a yes by knowing less: where a fact is unknown and turning is allowed, every
// value of that fact allows it too.
template <class Value, class Range>
void expect_monotone(const TurningFacts& allowed, Value TurningFacts::*member, Value unknown,
                     const Range& values) {
  if (allowed.*member != unknown) return;
  TurningFacts told = allowed;
  for (const auto& value : values) {
    told.*member = value;
    EXPECT_EQ(forbidden_by(told), "") << turning_card(told).holds_for;
  }
}

TEST(Turning, KnowingLessNeverAllowsMore) {
  for_every_combination([](const TurningFacts& f) {
    if (!forbidden_by(f).empty()) return;
    expect_monotone(f, &TurningFacts::apart, YesNo::unknown, kApart);
    expect_monotone(f, &TurningFacts::chain, OnOff::unknown, kChain);
    expect_monotone(f, &TurningFacts::tensioner, TensionerNow::unknown, kTensioner);
    expect_monotone(f, &TurningFacts::phasers, PhasersNow::unknown, kPhasers);
    expect_monotone(f, &TurningFacts::marks, MarksNow::unknown, kMarks);
    expect_monotone(f, &TurningFacts::variant_known, false, kVariant);
    expect_monotone(f, &TurningFacts::rotation, std::optional<Rotation>{}, kRotation);
    expect_monotone(f, &TurningFacts::resistance, YN{}, kYesNo);
    expect_monotone(f, &TurningFacts::dropped, YN{}, kYesNo);
    expect_monotone(f, &TurningFacts::jump_heard, YN{}, kYesNo);
    expect_monotone(f, &TurningFacts::valves, ValvesNow::unknown, kValves);
  });
}

TEST(Turning, IsDecidedByNoFactThatOnlyExplains) {
  std::vector<TurningFacts> facts = {intact(), TurningFacts{}};
  vary(facts, &TurningFacts::marks, kMarks);
  vary(facts, &TurningFacts::valves, kValves);
  for (const TurningFacts& each : facts) {
    std::vector<TurningFacts> told = {each};
    vary(told, &TurningFacts::turned, kTurned);
    vary(told, &TurningFacts::loop, kLoop);
    vary(told, &TurningFacts::shift, kShift);
    vary(told, &TurningFacts::cam, kCam);
    vary(told, &TurningFacts::pistons, kPistons);
    vary(told, &TurningFacts::interference, kYesNo);
    for (const TurningFacts& f : told) EXPECT_EQ(forbidden_by(f), forbidden_by(each));
  }
}

TEST(Turning, NeverBackwardsNeverOnTheStarterNeverAStart) {
  for_every_combination([](TurningFacts f) {
    for (const Wish wish : {Wish::backwards, Wish::starter, Wish::start}) {
      f.wish = wish;
      if (forbidden_by(f).empty()) FAIL() << turning_card(f).answer;
    }
  });
}

TEST(Turning, NeverOnADefinitionThatContradictsItself) {
  for_every_combination([](TurningFacts f) {
    f.contradiction = "the chain does not fit its path";
    if (forbidden_by(f).empty()) FAIL() << turning_card(f).answer;
  });
}

// From each of the ways that allow turning, every two facts at every value: tens of thousands of
// cards, each complete and none with a word that it must not say.
TEST(Card, IsCompleteWhateverIsKnown) {
  TurningFacts crank_alone = intact();
  crank_alone.chain = OnOff::off;
  crank_alone.valves = ValvesNow::caps_loosened;
  TurningFacts followers_out = intact();
  followers_out.valves = ValvesNow::followers_out;
  using Vary = void (*)(std::vector<TurningFacts>&);
  static constexpr Vary kAll[] = {
      [](auto& v) { vary(v, &TurningFacts::apart, kApart); },
      [](auto& v) { vary(v, &TurningFacts::turned, kTurned); },
      [](auto& v) { vary(v, &TurningFacts::loop, kLoop); },
      [](auto& v) { vary(v, &TurningFacts::chain, kChain); },
      [](auto& v) { vary(v, &TurningFacts::tensioner, kTensioner); },
      [](auto& v) { vary(v, &TurningFacts::phasers, kPhasers); },
      [](auto& v) { vary(v, &TurningFacts::marks, kMarks); },
      [](auto& v) {
        vary(v, &TurningFacts::teeth_off, std::vector<int>{0, 1, 2});
      },
      [](auto& v) { vary(v, &TurningFacts::shift, kShift); },
      [](auto& v) { vary(v, &TurningFacts::cam, kCam); },
      [](auto& v) { vary(v, &TurningFacts::variant_known, kVariant); },
      [](auto& v) { vary(v, &TurningFacts::rotation, kRotation); },
      [](auto& v) {
        vary(v, &TurningFacts::contradiction, std::vector<std::string>{"", "links"});
      },
      [](auto& v) {
        vary(v, &TurningFacts::work, std::vector<std::string>{"", "bolt snug"});
      },
      [](auto& v) {
        vary(v, &TurningFacts::bent, std::vector<std::string>{"", "it ran"});
      },
      [](auto& v) {
        vary(v, &TurningFacts::said, std::vector<std::string>{"", "2 teeth late (e1)"});
      },
      [](auto& v) { vary(v, &TurningFacts::resistance, kYesNo); },
      [](auto& v) { vary(v, &TurningFacts::dropped, kYesNo); },
      [](auto& v) { vary(v, &TurningFacts::jump_heard, kYesNo); },
      [](auto& v) { vary(v, &TurningFacts::valves, kValves); },
      [](auto& v) { vary(v, &TurningFacts::pistons, kPistons); },
      [](auto& v) { vary(v, &TurningFacts::interference, kYesNo); },
      [](auto& v) { vary(v, &TurningFacts::wish, kWish); },
  };
  std::set<std::string_view> rules;
  for (const TurningFacts& base : {TurningFacts{}, intact(), crank_alone, followers_out}) {
    for (const Vary first : kAll) {
      for (const Vary second : kAll) {
        std::vector<TurningFacts> facts = {base};
        first(facts);
        second(facts);
        for (const TurningFacts& f : facts) {
          const TurningCard card = turning_card(f);
          ASSERT_EQ(card.may_turn, expected(f)) << card.holds_for;
          expect_complete(card);
          rules.insert(forbidden_by(f));
        }
        if (HasFailure()) return;
      }
    }
  }
  // Every rule of the table was the one that forbade, somewhere.
  EXPECT_EQ(rules.size(), turning::rules().size() + 1);
}

TEST(Card, SaysDoNotTurnWhenNothingIsSaid) {
  const TurningCard card = turning_card({});
  EXPECT_EQ(card.answer, "DO NOT TURN");
  EXPECT_THAT(card.holds_for, HasSubstr("nothing"));
  for (const char* missing : {"marks right", "phasers locked", "tensioner released", "variant",
                              "running direction", "how far apart", "nothing dropped"})
    EXPECT_THAT(card.changes_it, HasSubstr(missing));
}

TEST(Card, NamesDirectionAmountAndWhereToStop) {
  const TurningCard card = turning_card(intact());
  EXPECT_THAT(card.answer, HasSubstr("TURN ONLY by hand in running direction, clockwise seen from "
                                     "the front; at most two crank turns"));
  EXPECT_THAT(card.because, HasSubstr("does not move by hand, both ways"));
  EXPECT_THAT(card.changes_it, HasSubstr("DO NOT TURN"));
  EXPECT_THAT(card.answer, HasSubstr("stop when the marks of crank and camshafts are back"));
  EXPECT_THAT(card.instead, HasSubstr("engine maker's instruction"));
  EXPECT_THAT(card.instead, HasSubstr("colored links and marks of an idler need not"));
  TurningFacts f = intact();
  f.marks_return = "links back after 138 turns";
  EXPECT_THAT(turning_card(f).instead, HasSubstr("after two turns: links back after 138 turns"));
}

TEST(Card, TakesPersonsWordsAsTheyAre) {
  TurningFacts f = intact();
  f.phasers_checked_how = "{loop} } {0}";
  EXPECT_THAT(turning_card(f).because, HasSubstr("{loop} } {0}"));
  f.marks = MarksNow::unknown;
  f.marks_why = "{x}";
  EXPECT_THAT(turning_card(f).because, HasSubstr("{x}"));
}

// trade.md section 7, question 1: "I am 2 teeth off at left intake. Can I turn the crank?"
TEST(Question1, TeethOffIsDoNotTurnWithTheInstructionThatHoldsInEveryCase) {
  TurningFacts f;
  f.marks = MarksNow::wrong;
  f.teeth_off = 2;
  f.cam = CamKind::intake;
  const TurningCard card = turning_card(f);
  EXPECT_EQ(card.answer, "DO NOT TURN");
  EXPECT_THAT(card.because, HasSubstr("2 teeth"));
  EXPECT_THAT(card.because, HasSubstr("early or late is not said"));
  EXPECT_THAT(card.because, HasSubstr("phaser off its lock"));
  EXPECT_THAT(card.because, HasSubstr("valve against valve is a separate matter"));
  EXPECT_THAT(card.instead, HasSubstr("every follower out"));
  EXPECT_THAT(card.instead, HasSubstr("loosened evenly in the maker's sequence"));
  EXPECT_THAT(card.instead, HasSubstr("only then bring the pistons mid-stroke"));
  EXPECT_THAT(card.say, HasSubstr("Do not turn the crank"));
}

TEST(Question1, DirectionIsAnExplanationAndAllowsNothing) {
  for (const auto& [cam, shift, words] :
       {std::tuple(CamKind::intake, ShiftTo::early, "toward the rising piston"),
        std::tuple(CamKind::intake, ShiftTo::late, "away from the rising piston"),
        std::tuple(CamKind::exhaust, ShiftTo::late, "toward the rising piston"),
        std::tuple(CamKind::exhaust, ShiftTo::early, "away from the rising piston")}) {
    TurningFacts f = intact();
    f.marks = MarksNow::wrong;
    f.cam = cam;
    f.shift = shift;
    EXPECT_EQ(turning_card(f).answer, "DO NOT TURN");
    EXPECT_THAT(turning_card(f).because, HasSubstr(words));
  }
}

TEST(Question1, WithTheValvesOutOfTheQuestionThePistonsMayBeBroughtMidStroke) {
  TurningFacts f = intact();
  f.marks = MarksNow::wrong;
  f.valves = ValvesNow::followers_out;
  EXPECT_THAT(turning_card(f).answer, HasSubstr("pistons stand mid-stroke, none near its top"));
  f.valves = ValvesNow::caps_loosened;
  EXPECT_EQ(forbidden_by(f), "caps-loosened");
  f.chain = OnOff::off;
  EXPECT_THAT(turning_card(f).answer, HasSubstr("TURN ONLY the crank"));
  f.valves = ValvesNow::worked_by_camshafts;
  EXPECT_EQ(forbidden_by(f), "chain-off");
}

// Question 16: "Can I turn the engine backwards a little to line up?"
TEST(Question16, BackwardsIsNeverAndForwardOnlyIfAllowed) {
  TurningFacts f = intact();
  f.wish = Wish::backwards;
  EXPECT_EQ(turning_card(f).answer, "DO NOT TURN");
  EXPECT_THAT(turning_card(f).instead, HasSubstr("go on two turns in running direction instead"));
  EXPECT_THAT(turning_card(f).instead, HasSubstr("TURN ONLY by hand"));
  f.marks = MarksNow::unknown;
  EXPECT_THAT(turning_card(f).instead, Not(HasSubstr("TURN ONLY")));
  EXPECT_THAT(turning_card(f).instead, HasSubstr("DO NOT TURN, because"));
}

// Question 24: "Turned twice by hand, free. Can I start it?"
TEST(Question24, TurnedFreeReleasesNoStart) {
  TurningFacts f = intact();
  f.turned = Turned::by_hand_running_direction;
  f.wish = Wish::start;
  const TurningCard card = turning_card(f);
  EXPECT_EQ(card.answer, "DO NOT TURN");
  EXPECT_THAT(card.because, HasSubstr("touch at full advance"));
  EXPECT_THAT(card.instead, HasSubstr("sprocket marks, links counted, or a degree wheel"));
  EXPECT_THAT(card.instead, HasSubstr("then prime the oil; then start"));
  f.wish = Wish::turn;
  f.marks = MarksNow::unknown;
  EXPECT_THAT(turning_card(f).because, HasSubstr("turned free does not prove the marks"));
}

TEST(FromFront, TheOtherEndSeesTheOtherDirection) {
  EXPECT_EQ(from_front(Rotation::clockwise, ViewedFrom::front), Rotation::clockwise);
  EXPECT_EQ(from_front(Rotation::counterclockwise, ViewedFrom::flywheel_end), Rotation::clockwise);
}

}  // namespace
}  // namespace tautmark
