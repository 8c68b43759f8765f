// SPDX-License-Identifier: Apache-2.0
#include "recording/formats/guarded.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <atomic>
#include <cstdlib>
#include <memory>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

namespace tautmark {
namespace {

using namespace std::chrono_literals;

TEST(Guarded, TellsWhoLivesFromWhoDoesNot) {
  EXPECT_TRUE(child_survives([] {}, 10s));
  EXPECT_FALSE(child_survives([] { std::abort(); }, 10s));
  EXPECT_FALSE(child_survives([] { *static_cast<volatile int*>(nullptr) = 1; }, 10s));
  EXPECT_FALSE(child_survives([] { ::_exit(3); }, 10s));
}

TEST(Guarded, EndsOneThatHangs) {
  const auto begun = std::chrono::steady_clock::now();
  EXPECT_FALSE(child_survives(
      [] {
        for (;;) ::pause();
      },
      200ms));
  std::mutex held;
  const std::lock_guard lock(held);
  EXPECT_FALSE(child_survives([&] { const std::lock_guard never(held); }, 200ms));
  EXPECT_LT(std::chrono::steady_clock::now() - begun, 5s);
}

TEST(Guarded, TheChildHoldsNoFileOfOurs) {
  const int file = ::open("/dev/null", O_RDONLY);
  ASSERT_GE(file, 0);
  EXPECT_TRUE(child_survives(
      [file] {
        if (::fcntl(file, F_GETFD) >= 0) ::_exit(1);
      },
      10s));
  EXPECT_GE(::fcntl(file, F_GETFD), 0);
  ::close(file);
}

// Other threads hold the allocator's locks at any moment; the child allocates all the same.
TEST(Guarded, WorksWhileOtherThreadsAllocate) {
#ifdef TAUTMARK_SANITIZED
  GTEST_SKIP() << "the sanitizer's memory does not outlive a fork of many threads";
#endif
  std::atomic<bool> is_over = false;
  std::vector<std::thread> threads;
  for (int i = 0; i < 3; ++i)
    threads.emplace_back([&] {
      for (std::size_t size = 1; !is_over; size = size * 7 % 300'007)
        std::make_unique<std::string>(size, 'x')->push_back('y');
    });
  for (int i = 0; i < 100; ++i)
    EXPECT_TRUE(child_survives(
        [] {
          std::vector<std::string> all;
          for (std::size_t n = 0; n < 200; ++n) all.emplace_back(n * 100, 'x');
        },
        20s))
        << i;
  is_over = true;
  for (std::thread& thread : threads) thread.join();
}

}  // namespace
}  // namespace tautmark
