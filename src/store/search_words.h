// SPDX-License-Identifier: Apache-2.0
// The words under which a case is found. A word is a run of letters and digits without regard to
// case (base/case_fold.h), at most 80 bytes. A point, comma or hyphen between two digits
// belongs to the word, a comma as a point, and its parts are words of their own too: 27.98 and
// 27,98 are found as "27.98", "27,98" and "27". A name and its short number are one word besides:
// "bank 2" is found as "bank2". A field gives key=word besides, unless it holds a quantity.
#pragma once

#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "base/tree.h"

namespace tautmark {

inline constexpr std::size_t kMostWordBytes = 80;

// Longest readings only, in order: "27.98" gives one word.
std::vector<std::string> words_of(std::string_view text);

using WordSet = std::set<std::string>;
void add_text_words(std::string_view text, WordSet& words);
// Scalars below a node, each with the key it stands under.
void add_tree_words(const Node& node, WordSet& words);
// Comments of a YAML text.
void add_comment_words(std::string_view yaml, WordSet& words);

struct SearchTerm {
  std::string text;    // "rattle", "place=bank"
  bool whole = false;  // was in quotes: the whole word; otherwise how a word begins
  auto operator<=>(const SearchTerm&) const = default;
};
// What is typed into the search field; all of it must occur. No terms although something was typed:
// nothing can be found.
struct SearchTerms {
  std::vector<SearchTerm> terms;  // in order, each once
  bool anything_typed = false;
};
SearchTerms search_terms(std::string_view query);

}  // namespace tautmark
