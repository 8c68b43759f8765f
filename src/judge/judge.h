// SPDX-License-Identifier: Apache-2.0
// All findings of a case: the main job of the program.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/finding.h"
#include "judge/check.h"
#include "judge/turning.h"

namespace tautmark {

struct JudgeOptions {
  std::vector<std::string> only;  // names of checks; empty: all
};

// May the engine be turned? Never pass, fail or open: `DO NOT TURN`, or `TURN ONLY` with direction,
// amount and where to stop. Missing data is DO NOT TURN. The rules are in turning.h.
struct TurningAnswer {
  std::string answer;
  std::string because;
  std::string next;  // an observation that can be made without turning
  std::string instead, changes_it, say, holds_for;  // as in TurningCard
  std::vector<std::string> cautions;
  std::vector<std::string> moves;  // of a TURN ONLY by the way of the case, in order
  std::vector<NeverCard> never;    // what else is asked of this engine, and is DO NOT TURN always
};

struct NotLookedAt {
  std::string check;
  std::string words;  // "end play: bank 1 / camshaft"
};

struct DriveInUse {
  std::string name, title, revision, source, checked_by, sha256;
  bool differs_from_shop = false;  // as in LoadedDrive
};
// "checked by second reader"; of a file that differs from the shop's only as its own claim.
std::string checked_words(const DriveInUse& drive);
// A sentence for each drive that differs from the shop's.
std::vector<std::string> definition_cautions(const std::vector<DriveInUse>& drives);

// The definitions that a case is judged by: its only one, the one identified, or every candidate.
// Empty: it names none, or was identified as none of its candidates.
std::vector<const LoadedDrive*> drives_in_use(const LoadedCase& loaded);

struct Judgement {
  std::string case_name, case_title, case_sha256;
  bool invented = false;
  std::vector<DriveInUse> drives;
  bool identified = true;                     // false: several candidate variants, none identified
  std::string stop_or_caution, proven, next;  // the three lines that a report starts with
  TurningAnswer turning;
  std::vector<Finding> findings;  // in the order of the table of checks
  std::vector<NotLookedAt> not_looked_at;
  std::vector<std::string> only;         // names of checks that were asked for; empty: all
  std::vector<std::string> corrections;  // "e12 is replaced by e17"
  std::vector<std::string>
      persons_decisions;  // decisions recorded by persons; they change no verdict
};

// Refused with places: an instrument nobody knows. `only` naming no check is refused too.
Parsed<Judgement> judge(const LoadedCase& loaded, const JudgeOptions& options = {});

struct Tally {
  int pass = 0, fail = 0, open = 0, forecast = 0;
};
Tally tally(const std::vector<Finding>& findings);

// 0 everything asked passed, 1 something failed, 3 nothing failed and something is open, or there
// is nothing but forecasts, or nothing at all.
int exit_status(const Judgement& judgement);

}  // namespace tautmark
