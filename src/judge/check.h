// SPDX-License-Identifier: Apache-2.0
// A check takes a drive and a case and returns findings. Adding one is one file in judge/checks and
// one row in table.cc; docs/add-a-check.md walks through it.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/finding.h"
#include "casework/load.h"
#include "casework/view.h"
#include "drive/places.h"

namespace tautmark {

struct RecordingSeen;  // case_recordings.h

// What every check sees: one case against one drive, or against none. Nothing here is changed by a
// check.
struct CheckInput {
  const Case* value = nullptr;
  std::filesystem::path folder;        // of the case: recordings lie in it
  const LoadedDrive* drive = nullptr;  // null: the case names no drive
  std::vector<EnginePlace> places;     // of the drive; without one, those that the case speaks of
  std::vector<const Entry*> entries;   // in force
  std::vector<EntryOf<Reading>> readings;
  std::shared_ptr<const std::vector<RecordingSeen>> recordings;  // decoded once; never null
};

struct Check {
  std::string_view name;      // "journal-clearance": the name in findings and for --only
  std::string_view group;     // heading in reports: "Camshaft journals"
  std::string_view question;  // what it answers, in one sentence
  std::vector<Finding> (*run)(const CheckInput& input) = nullptr;
  // Where it would look, and which of these places the case has touched: for "not looked at".
  std::vector<Measurand> reads = {};
  Measurand limited_by{};        // the limit that it judges against
  bool only_if_limited = false;  // of no interest where the drive does not limit it
  // Topics of the drive that it rests on: inherited without confirmation, its answer stays open.
  std::vector<std::string_view> rests_on = {};
};

std::span<const Check> all_checks();
const Check* find_check(std::string_view name);

// The check that judges a quantity, limited or read: the first of the table.
const Check* check_judging(Measurand quantity);

CheckInput check_input(const LoadedCase& loaded, const LoadedDrive* drive);

}  // namespace tautmark
