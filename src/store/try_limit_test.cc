// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include <thread>

#include "store/accounts.h"

namespace tautmark {
namespace {

constexpr std::int64_t kSecond = 1'000'000;
constexpr std::int64_t kDay = 86'400 * kSecond;
constexpr std::int64_t kNow = 1'800'000'000 * kSecond;

TEST(TryLimit, WaitsDoubleUpToAQuarterOfAnHour) {
  TryLimit limit;
  std::int64_t now = kNow;
  for (int i = 0; i < kFreeTries; ++i) {
    EXPECT_EQ(limit.wait_seconds("a", now), 0);
    limit.note_wrong("a", now);
  }
  for (const int wait : {1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 900, 900}) {
    EXPECT_EQ(limit.wait_seconds("a", now), wait);
    EXPECT_EQ(limit.wait_seconds("a", now + wait * kSecond - 1), 1);
    now += wait * kSecond;
    EXPECT_EQ(limit.wait_seconds("a", now), 0);
    limit.note_wrong("a", now);
  }
  EXPECT_EQ(limit.wait_seconds("b", now), 0);
  limit.note_right("a");
  EXPECT_EQ(limit.wait_seconds("a", now), 0);
}

// By hand: 5 free, then waits of 1 + 2 + … + 512 = 1023 s for 10 more, then one in 900 s.
TEST(TryLimit, LetsFewOfTenThousandTriesThrough) {
  TryLimit limit;
  int through = 0;
  constexpr int kTries = 10'000, kSeconds = 3600;
  for (int i = 0; i < kTries; ++i) {
    const std::int64_t now = kNow + i * (kSeconds * kSecond / kTries);
    if (limit.wait_seconds("10.0.0.9", now) > 0) continue;
    ++through;
    limit.note_wrong("10.0.0.9", now);
  }
  EXPECT_LE(through, 5 + 11 + (kSeconds - 1023) / 900);
  EXPECT_GE(through, 15);
  EXPECT_EQ(limit.size(), 1U);
}

TEST(TryLimit, ManyAtOnceGetNoFurther) {
  TryLimit limit;
  std::atomic<int> through = 0;
  std::vector<std::thread> threads;
  for (int i = 0; i < 8; ++i)
    threads.emplace_back([&] {
      for (int n = 0; n < 100; ++n)
        if (limit.wait_seconds("a", kNow) == 0) ++through;
    });
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(through, kFreeTries);
  // Nobody ever said how they ended: a minute later they are over.
  EXPECT_EQ(limit.wait_seconds("a", kNow + 61 * kSecond), 0);
}

// By hand: 20 free, waits of 1 and 2 s, then one in 4 s: 20 + 2 + (3600 - 3) / 4.
TEST(TryLimit, AnotherRuleWaitsOtherwise) {
  TryLimit limit({.free_tries = 20, .longest_wait = 4});
  int through = 0;
  for (int second = 0; second < 3600; ++second)
    while (limit.wait_seconds("anna", kNow + second * kSecond) == 0) {
      limit.note_wrong("anna", kNow + second * kSecond);
      ++through;
    }
  EXPECT_NEAR(through, 20 + 2 + 3597 / 4, 1);
  EXPECT_LE(limit.wait_seconds("anna", kNow + 3600 * kSecond), 4);
}

TEST(TryLimit, StaysSmallAndForgets) {
  TryLimit limit;
  for (int i = 0; i < 50'000; ++i) limit.note_wrong(std::to_string(i), kNow);
  EXPECT_EQ(limit.size(), kMostKeys);
  for (int i = 0; i < 20; ++i) limit.note_wrong("a", kNow);
  EXPECT_EQ(limit.wait_seconds("a", kNow), 900);
  EXPECT_EQ(limit.wait_seconds("a", kNow - 400 * kDay), 900);  // the clock was set back
  EXPECT_EQ(limit.wait_seconds("a", kNow + kDay + kSecond), 0);
  limit.note_wrong("a", kNow + kDay + kSecond);
  EXPECT_EQ(limit.wait_seconds("a", kNow + kDay + kSecond), 0);
}

}  // namespace
}  // namespace tautmark
