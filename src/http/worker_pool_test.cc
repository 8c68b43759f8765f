// SPDX-License-Identifier: Apache-2.0
#include "http/worker_pool.h"

#include <gtest/gtest.h>

#include <atomic>
#include <future>

#include "http/patience.h"

using namespace tautmark;
using namespace std::chrono_literals;

namespace {

TEST(WorkerPool, RefusesWhatIsNewWhenFull) {
  WorkerPool pool(1, 2);
  std::promise<void> running, may_end;
  const auto wait = may_end.get_future().share();
  ASSERT_TRUE(pool.start([&] {
    running.set_value();
    wait.wait();
  }));
  running.get_future().wait();
  std::atomic<int> done = 0;
  EXPECT_FALSE(pool.full());
  EXPECT_TRUE(pool.start([&] { ++done; }));
  EXPECT_TRUE(pool.start([&] { ++done; }));
  EXPECT_TRUE(pool.full());
  EXPECT_FALSE(pool.start([&] { done += 100; }));
  std::promise<void> last;
  pool.go_on([&] {
    ++done;
    last.set_value();
  });
  may_end.set_value();
  last.get_future().wait();
  EXPECT_EQ(done, 3);
  EXPECT_FALSE(pool.full());
}

TEST(WorkerPool, StopWaitsForWhatRunsAndDropsTheRest) {
  auto kept = std::make_shared<int>(1);
  std::atomic<bool> ended = false, ran = false;
  std::promise<void> running;
  WorkerPool pool(1, 10);
  pool.start([&] {
    running.set_value();
    std::this_thread::sleep_for(50ms);
    ended = true;
  });
  running.get_future().wait();
  pool.start([&, kept] { ran = true; });
  pool.stop();
  EXPECT_TRUE(ended);
  EXPECT_FALSE(ran);
  EXPECT_EQ(kept.use_count(), 1);
  EXPECT_FALSE(pool.start([] {}));
}

TEST(Patience, EndsWhenNothingMovesAndWhenTooLittleDoes) {
  const Patience::Clock::time_point start{};
  Patience patience(10s, 100);
  EXPECT_EQ(patience.wait(start), start + 10s);
  // One byte each 4 s: 10 s in all, and hundredths of a second earned.
  patience.moved(1, start + 4s);
  EXPECT_EQ(patience.wait(start + 4s), start + 4s + 6s + 10ms);
  patience.moved(1, start + 8s);
  EXPECT_EQ(patience.wait(start + 8s), start + 8s + 2s + 20ms);
  // Work between is not the client's fault.
  patience.moved(1, start + 9s);
  EXPECT_EQ(patience.wait(start + 100s), start + 100s + 1s + 30ms);
  // Who sends enough is waited for, but never longer than 10 s without a byte.
  patience.moved(5000, start + 101s);
  EXPECT_EQ(patience.wait(start + 101s), start + 111s);
  patience.moved(0, start + 200s);
  EXPECT_EQ(patience.wait(start + 200s), start + 200s);
}

}  // namespace
