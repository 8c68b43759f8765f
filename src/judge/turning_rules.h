// SPDX-License-Identifier: Apache-2.0
// The rules that forbid turning, in the order of the harm they keep away. Only for turning.cc.
//
// In the texts {loop} is chain or belt, {links} what is counted on it.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "judge/turning.h"

namespace tautmark::turning {

struct Rule {
  std::string_view name;
  bool (*forbids)(const TurningFacts& facts);
  std::string_view because, instead, changes_it, say;
  std::string_view missing;  // short name, for the list of what else is not known
};

std::span<const Rule> rules();

// {loop} and {links} as they are on this engine.
std::string filled(std::string_view text, const TurningFacts& facts);

// Followers out or caps loosened: no camshaft presses a valve.
bool valves_closed(const TurningFacts& facts);
// The drive has to be right as it stands, since camshafts work the valves or may work them.
bool drive_must_be_intact(const TurningFacts& facts);

}  // namespace tautmark::turning
