// SPDX-License-Identifier: Apache-2.0
// A thin drive definition asked for in the order of a service manual.
//
// The interview is a function of the answers given so far: it says what the definition is with them
// and which question comes next. Going back is leaving the last answer out; a page can ask the same
// questions one by one. Nothing is read from a terminal here.
//
// An empty answer or "-" means: not in the manual. A bare number gets the unit that was said once
// for its table; a number with its own unit keeps it.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/fields.h"
#include "drive/drive.h"

namespace tautmark::cli {

// The tables of a manual: each is in one unit.
enum class UnitTable {
  none,    // the unit is typed with the value
  engine,  // bore, stroke, pitch, plunger
  sizes,   // limits of sizes
  pressure,
  temperature,
  torque,
  speed,    // always 1/min
  percent,  // always %
  seconds,  // always s
};

// One question. What is read and how is in the description of the field that it fills.
struct InterviewRow {
  std::string_view key;      // "chain.pitch"
  std::string_view section;  // "Chains"
  std::string_view ask;      // {} stands for what is spoken of: "bank 1 chain"
  TypeRef record =
      nullptr;  // fills `field` of this record; null: an answer for the interview itself
  std::string_view field{};
  UnitTable table = UnitTable::none;
  std::string_view example{};  // empty: the field's
  std::string_view explain{};  // before the field's help
  std::string_view choices{};  // "mm|in"; empty: the field's, if it has any
  bool needed = false;         // "not in the manual" is no answer
};
std::span<const InterviewRow> interview_rows();
const InterviewRow& interview_row(std::string_view key);

struct InterviewQuestion {
  const InterviewRow* row = nullptr;
  std::string ask;      // with what is spoken of in it
  std::string example;  // something that can be typed
  std::string explain;  // what "?" shows
  std::string choices;  // "mm, in"
  std::string unit;     // what a bare number gets
};

struct InterviewRefusal {
  std::string reason;
  std::string hint;
};

struct InterviewState {
  Drive drive;  // with all answers taken so far; the rest is not in the manual
  std::optional<InterviewQuestion> next;    // empty: everything was asked
  std::optional<InterviewRefusal> refused;  // the last answer was not taken; `next` asks again
  std::size_t taken = 0;                    // answers taken
};

// `name` is the name of the drive where the file says it already; empty: it is asked.
InterviewState interview(std::span<const std::string> answers, std::string_view name = {});

}  // namespace tautmark::cli
