// SPDX-License-Identifier: Apache-2.0
// For the tests of src/quick: the answer, or the ask, with a readable failure for the other one.
#pragma once

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "quick/quick.h"

namespace tautmark::quick {

inline Answer answered(const QuickQuestion& question, const Typed& typed) {
  Outcome outcome = answer(question, typed);
  if (const auto* ask = std::get_if<Ask>(&outcome)) {
    ADD_FAILURE() << "asked for " << ask->input << ": " << ask->sentence;
    return Answer{};
  }
  return std::get<Answer>(std::move(outcome));
}

inline Ask asked(const QuickQuestion& question, const Typed& typed) {
  Outcome outcome = answer(question, typed);
  if (const auto* done = std::get_if<Answer>(&outcome)) {
    ADD_FAILURE() << "answered: " << (done->lines.empty() ? "" : done->lines.front());
    return Ask{};
  }
  return std::get<Ask>(std::move(outcome));
}

inline std::string all_of(const std::vector<std::string>& lines) {
  std::string text;
  for (const std::string& line : lines) text += line + "\n";
  return text;
}

// `base` with some inputs set otherwise; an empty text takes the input out.
inline Typed with(Typed base, std::initializer_list<std::pair<std::string, std::string>> changes) {
  for (const auto& [input, text] : changes) base[input] = text;
  return base;
}

}  // namespace tautmark::quick
