// SPDX-License-Identifier: Apache-2.0
// What does not go together: parts and sets against the definition, the box against its list, new
// against old.
//
// Proven, and so a fault, is only: a part or set of one bank entered for another; a chain with
// another number of links than the definition's; links, teeth, feed hole or plunger side entered as
// different from the old part. Everything else is open: what is missing, and what may be right.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "casework/case.h"
#include "drive/drive.h"

namespace tautmark::parts {

struct Conflict {
  std::string subject{};  // "bank 2 chain set", "phaser bolt, bank 1"
  bool is_proven = false;
  std::string why{};   // one sentence
  std::string next{};  // what would settle it, or what follows
  std::vector<std::string> entries{};
};

std::vector<Conflict> conflicts(const Drive& drive, const Case& value);

// Of the definition alone: a set whose chain has other links than the drive's, two sets of one bank
// that hold the same.
std::vector<Conflict> definition_conflicts(const Drive& drive);

// What of a part is laid beside the old one: of a chain links and marks, of a tensioner feed hole
// and plunger side, of a sprocket or phaser teeth and marks. Of others nothing.
std::vector<BesideOld> to_compare(std::string_view part);
std::vector<BesideOld> to_compare(const PartSet& set);

}  // namespace tautmark::parts
