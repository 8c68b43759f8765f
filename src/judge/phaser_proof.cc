// SPDX-License-Identifier: Apache-2.0
#include "judge/phaser_proof.h"

#include <algorithm>

#include "base/text.h"

namespace tautmark {
namespace {

// Common practice: a phaser on its lock pin cannot be moved against its sprocket, either way; or a
// tool holds it; or the maker says how to see it. Whole sentences, since one word turns each round.
constexpr std::string_view kProofs[] = {
    "by hand both ways",
    "does not move by hand both ways",
    "does not move both ways by hand",
    "does not move by hand either way",
    "does not move either way by hand",
    "do not move by hand both ways",
    "do not move by hand either way",
    "tried by hand both ways does not move",
    "tried by hand both ways do not move",
    "tried by hand both ways no play",
    "no play both ways",
    "no play by hand both ways",
    "no play either way",
    "lock tool",
    "lock tool fitted",
    "lock tool engages",
    "lock tool engaged",
    "lock tool fitted and engages",
    "lock tool fitted and engaged",
    "lock pin tool",
    "lock pin tool fitted",
    "lock pin tool engages",
    "lock pin tool engaged",
    "lock pin tool fitted and engages",
    "lock pin tool fitted and engaged",
    "maker's lock check",
    "maker's lock check done",
    "maker's lock check passed",
    "maker's lock check done and passed",
    "engine maker's lock check",
    "engine maker's lock check done",
    "engine maker's lock check passed",
    "engine maker's lock check done and passed",
};

// Without commas and a full stop; a typed apostrophe may be curved.
std::string plain(std::string_view text) {
  std::string words = replaced(replaced(text, "\xE2\x80\x99", "'"), ",", " ");
  words = folded(words);
  if (words.ends_with('.')) words.pop_back();
  return folded(words);
}

}  // namespace

bool proves_locked(std::string_view checked_how) {
  const auto clauses = split(checked_how, ';');
  return !clauses.empty() && std::all_of(clauses.begin(), clauses.end(), [](const auto& clause) {
    return std::find(std::begin(kProofs), std::end(kProofs), plain(clause)) != std::end(kProofs);
  });
}

}  // namespace tautmark
