// SPDX-License-Identifier: Apache-2.0
// Quick answers: one question on the phone, answered without a drive and without a case.
//
// A question takes texts as the caller said them and gives back either what must be asked first,
// or an answer to read aloud. Nothing is guessed: a number without its unit, degrees without crank
// or cam, a tooth without its sprocket, a link count that does not say what was counted come back
// as an Ask. `pass` needs a limit with its origin and its document. Only `turn` says whether an
// engine may be turned, by the rules of judge/turning.h: whatever is not said there is DO NOT TURN.
//
// To add a question: one file that defines a QuickQuestion, its `extern` line and its row below.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "base/finding.h"
#include "base/quantity.h"

namespace tautmark::quick {

enum class Need : std::uint8_t { required, optional };

// What a text has to look like; `kind` in Input says which quantity where there is one.
enum class Form : std::uint8_t {
  quantity,  // one value with its unit: "8.00 mm"
  reading,   // repeats "28.072 28.071 28.073 mm", or one value "0.108 ± 0.005 mm"
  angle,     // one angle, crank or cam said in it or in another input
  angles,    // several
  interval,  // a limit: "at most 0.110 mm", "0.040..0.080 mm"
  count,     // "138", "138 links"
  counts,    // "61 60 17"
  choice,    // one of `choices`
  words,     // anything
};

struct Input {
  std::string_view name;  // the key: "bore"
  std::string_view ask;   // the question in plain words
  Form form = Form::words;
  std::optional<Kind> kind;  // of the quantity, where there is one kind only
  Need need = Need::required;
  std::string_view example;  // something that can be typed
  std::string_view choices;  // "crank|cam"
};

// Input name -> text as said. A blank text counts as not said.
using Typed = std::map<std::string, std::string, std::less<>>;

// Not answered yet: this input is missing, or what was said can mean two things.
struct Ask {
  std::string input;
  std::string sentence;  // to ask back, read aloud
  std::string example;   // something that can be typed
  std::string choices;   // "crank|cam", empty when it is no choice
};

struct Answer {
  std::string question;              // name of the question
  std::optional<Verdict> verdict;    // empty: nothing was judged
  std::vector<std::string> lines;    // plain sentences to read aloud; the first is the answer
  std::vector<std::string> steps;    // how it was computed, with numbers
  std::vector<std::string> assumed;  // what the answer takes for granted
  std::vector<std::string> cautions;
  // One clause: the known fact, of those said, that forbids turning. Empty: none, which allows
  // nothing.
  std::string forbids;
  std::optional<Finding> finding;                          // set exactly when there is a verdict
  std::vector<std::pair<std::string, std::string>> asked;  // input name, text as typed
};

using Outcome = std::variant<Ask, Answer>;

struct QuickQuestion {
  std::string_view name;                         // "dead-center"
  std::string_view alias;                        // understood as well: "dead-centre"; may be empty
  std::string_view help;                         // one line
  std::span<const Input> inputs;                 // in the order in which they are asked
  Outcome (*run)(const Typed& typed) = nullptr;  // use answer() below
};

extern const QuickQuestion kClearance;
extern const QuickQuestion kConvert;
extern const QuickQuestion kAdapter;
extern const QuickQuestion kChain;
extern const QuickQuestion kTeeth;
extern const QuickQuestion kLinks;
extern const QuickQuestion kReturns;
extern const QuickQuestion kDeadCenter;
extern const QuickQuestion kCenterline;
extern const QuickQuestion kTurn;
extern const QuickQuestion kMarks;
extern const QuickQuestion kLife;
extern const QuickQuestion kPhase;
extern const QuickQuestion kTorque;
extern const QuickQuestion kBolt;
extern const QuickQuestion kPin;
extern const QuickQuestion kTensioner;

inline constexpr const QuickQuestion* kQuickQuestions[] = {
    &kClearance, &kConvert,    &kAdapter,    &kChain, &kTeeth,     &kLinks,
    &kReturns,   &kDeadCenter, &kCenterline, &kTurn,  &kMarks,     &kLife,
    &kPhase,     &kTorque,     &kBolt,       &kPin,   &kTensioner,
};

// By name or alias; letter case and blanks do not matter. Null: no such question.
const QuickQuestion* find_question(std::string_view name);
const Input* find_input(const QuickQuestion& question, std::string_view name);

// Checks the names of the inputs, asks for the required ones in order, runs the question and notes
// what was typed. An unknown input name comes back as an Ask with that name and the nearest known.
Outcome answer(const QuickQuestion& question, const Typed& typed);

}  // namespace tautmark::quick
