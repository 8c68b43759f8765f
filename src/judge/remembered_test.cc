// SPDX-License-Identifier: Apache-2.0
#include "judge/remembered.h"

#include <gtest/gtest.h>

#include <string>

namespace tautmark {
namespace {

TEST(Remembered, WorksOutOnlyWhatItDoesNotKnow) {
  Remembered<int, std::string> remembered(2);
  int worked = 0;
  const auto ask = [&](int question) {
    return remembered.answer(question, [&] { return std::to_string(question + 100 * ++worked); });
  };
  EXPECT_EQ(ask(1), "101");
  EXPECT_EQ(ask(2), "202");
  EXPECT_EQ(ask(1), "101");
  EXPECT_EQ(ask(3), "303");  // forgets 2, which was asked longest ago
  EXPECT_EQ(ask(1), "101");
  EXPECT_EQ(ask(2), "402");
}

}  // namespace
}  // namespace tautmark
