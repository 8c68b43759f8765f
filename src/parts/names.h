// SPDX-License-Identifier: Apache-2.0
// Names of parts as people write them: compared without regard to case, blanks and a plural s; the
// bank and the links that a name carries.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "drive/drive.h"

namespace tautmark::parts {

bool same_part(std::string_view a, std::string_view b);
bool in_list(const std::vector<std::string>& list, std::string_view part);

bool banks_meet(std::optional<int> a, std::optional<int> b);  // equal, or one not said

std::optional<int> bank_in(std::string_view name);   // "tensioner of bank 1": 1
std::optional<int> links_in(std::string_view name);  // "chain of 124 links": 124

// "phaser, bank 2"; of a name that carries its bank the name alone.
std::string part_words(std::string_view part, std::optional<int> bank);

// "bank 2 phaser", "phaser, bank 2", "phaser of bank 2" as "phaser" and 2.
struct PartOfBank {
  std::string part{};
  std::optional<int> bank{};
};
PartOfBank without_bank(std::string_view words);

bool is_set(const PartSet& part);  // it holds something

// The sets of that name whose bank meets; single parts are among them.
std::vector<const PartSet*> named(const Drive& drive, std::string_view name,
                                  std::optional<int> bank);
// The sets that hold such a part.
std::vector<const PartSet*> holding(const Drive& drive, std::string_view part,
                                    std::optional<int> bank);

}  // namespace tautmark::parts
