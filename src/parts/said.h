// SPDX-License-Identifier: Apache-2.0
// What a case says of parts: entries about parts, decisions of persons that name one part of the
// definition, steps done, and where a phaser bolt was out.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "casework/case.h"
#include "drive/drive.h"

namespace tautmark::parts {

enum class Fate { ordered, fitted, rejected, replace, reused, keep, in_the_box };
inline bool is_changed(Fate fate) { return fate <= Fate::replace; }
inline bool is_kept(Fate fate) { return fate == Fate::reused || fate == Fate::keep; }

struct Said {
  std::string part{};
  std::optional<int> bank{};
  std::optional<int> count{};
  Fate fate{};
  std::string reason{};
  std::string entry{};
  const PartEntry* written = nullptr;  // null: a person's decision
};

struct DoneStep {
  const ProcedureStep* step = nullptr;
  std::string entry{};
  bool counts = true;  // done as it must be, or by override; not entered while it was blocked
};

struct CaseSaid {
  std::vector<Said> all{};  // in order of work
  // Decisions that name no single part of the definition, or decide in words that are not known:
  // they stay words, and order nothing.
  std::vector<std::string> in_words{};    // "e57: chains of both banks: replace as sets"
  std::vector<DoneStep> done{};           // not those that were interrupted
  std::map<int, std::string> bolt_out{};  // bank: the entry by which chain or phaser bolt was off
};

// "replace", "new …", "order …", "change …" decide for a new part; "stays", "keep", "reuse",
// "not ordered", "not replaced", "not changed" for the old one.
CaseSaid said_in(const Drive& drive, const Case& value);

// The last that was said of a part, by its own name or by a set that holds it.
const Said* last_said(const Drive& drive, const CaseSaid& said, std::string_view part,
                      std::optional<int> bank);

}  // namespace tautmark::parts
