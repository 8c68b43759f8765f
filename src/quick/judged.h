// SPDX-License-Identifier: Apache-2.0
// A measured value against a limit that somebody typed. Only for the files of src/quick.
//
//   proven outside                                   fail, whoever set the limit
//   proven inside, maker's or shop's limit, document pass
//   proven inside, anything else                     open: limit without authority
//   not proven either way                            open: too close to call, and what would decide
//   cannot be what it is said to be                  open: implausible, nothing is judged
//
// Proven means: with 95 % confidence, one-sided, U taken into account (measure/decision.h).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/finding.h"
#include "quick/heard.h"

namespace tautmark::quick {

inline constexpr double kLevel = 0.95;

struct SaidLimit {
  AnyInterval interval;
  Origin origin = Origin::unknown;
  std::string source;
};

// What one value without "at most" or "at least" means as a limit.
enum class BareLimit : std::uint8_t { ask, at_most, plus_minus };

// Reads the inputs `limit`, `origin` and `source` of the question.
Said<SaidLimit> said_limit(const Heard& heard, Kind kind, BareLimit bare);
// `origin` and `source` alone: for limits that are counts.
Said<SaidLimit> said_origin(const Heard& heard);

// The rows of the table that every question with a limit has.
inline constexpr Input kSourceInput{
    .name = "source",
    .ask = "Which document does the limit stand in: title, edition, page?",
    .form = Form::words,
    .kind = {},
    .need = Need::optional,
    .example = "engine maker's manual, edition 3, page 12",
    .choices = {}};
inline constexpr Input kOriginInput{
    .name = "origin",
    .ask = "Who set the limit: the engine maker, your shop, or common practice?",
    .form = Form::choice,
    .kind = {},
    .need = Need::optional,
    .example = "maker",
    .choices = "maker|shop|common practice|unknown"};
inline constexpr Input kInstrumentInput{.name = "instrument",
                                        .ask = "Which instrument was it read with?",
                                        .form = Form::words,
                                        .kind = {},
                                        .need = Need::optional,
                                        .example = "unknown",
                                        .choices = {}};

struct ToJudge {
  std::string_view check;    // "clearance"
  std::string_view subject;  // "clearance", as it stands in a sentence
  Reading reading;           // u must be there
  Kind kind = Kind::length;
  std::string shown{};        // the value as printed; empty: value ± U in its own unit
  std::string limit_shown{};  // the same for the limit
  std::string each{};         // "bore and journal": what further readings would be of
  std::string implausible{};  // why this cannot be so, a sentence without its period; else empty
};

// Adds to `answer`: verdict, finding, the first lines, how it was decided, cautions.
// Refuses as measure/decision.h does.
std::optional<Refusal> judge(Answer& answer, const ToJudge& what, const SaidLimit& limit);

// "0.108 ± 0.005 mm" with the coverage factor that fits its degrees of freedom.
struct Expanded {
  double U = 0;
  double k = 2;
  std::string shown;
};
Result<Expanded> expanded(const Reading& reading);

// Why a value that is inside cannot pass with this limit; empty when it can.
std::string no_authority(const SaidLimit& limit);

}  // namespace tautmark::quick
