// SPDX-License-Identifier: Apache-2.0
// From decisions to the list of parts: what is needed, why, and from which set it comes.
//
// On the list of a case stands
//   - what an entry orders, fits or rejects, and what a person decided to replace;
//   - what the procedure fits and is used once. Not said is treated as used once, unless an entry
//     says that the old one goes in again;
//   - what goes with such a part ("goes_with"): head gasket and bolts with the head;
//   - the phaser bolt of a bank whose chain or phaser bolt was off.
// Of a definition alone: what its whole procedure uses up.
//
// Nothing is guessed. A count that the definition does not give stays empty; what nobody decided
// and nothing uses up is open, and so is a part that a finding doubts and nobody decided about.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "casework/case.h"
#include "drive/drive.h"

namespace tautmark::parts {

enum class Standing { to_order, ordered, in_the_box, fitted };
std::string_view standing_text(Standing standing);

struct Why {
  std::string words{};
  std::string entry{};  // empty: of the definition
};

struct Row {
  std::string part{};
  std::optional<int> bank{};
  std::optional<int> count{};  // empty: nobody says
  int only_if = 0;             // further ones, needed only if what follows comes apart
  std::string only_if_words{};
  std::vector<std::string> from{};  // sets that hold it; empty: in no set, order it apart
  Standing standing = Standing::to_order;
  std::vector<Why> why{};
};

struct NotOrdered {
  std::string part{};
  std::optional<int> bank{};
  std::string words{};  // the reason
  std::string entry{};
};

struct Open {
  std::string part{};
  std::optional<int> bank{};
  std::string words{};
  std::vector<std::string> entries{};
};

// A finding that is fail or open, about a place of the drive. It comes in as plain data.
struct Doubt {
  std::string place{};
  std::string words{};  // "fail: journal-clearance"
};

struct List {
  std::vector<Row> rows{};
  std::vector<NotOrdered> not_ordered{};
  std::vector<Open> open{};
  std::vector<std::string> in_words{};  // decisions that name no single part, as they were written
};

// A set as the definition lists it, and what the case says of it.
struct SetSeen {
  const PartSet* set = nullptr;
  std::vector<std::string> ordered{}, opened{};  // entries
  std::vector<std::string> found{};              // what lay in the box
  std::vector<BesideOld> alike{}, differs{};     // entered with the box
};
std::vector<SetSeen> sets_of(const Drive& drive, const Case* value);

// `value` null: of the definition alone. The drive must outlive nothing: the list is text.
List parts_list(const Drive& drive, const Case* value, const std::vector<Doubt>& doubts = {});

}  // namespace tautmark::parts
