// SPDX-License-Identifier: Apache-2.0
#include "serve/working_files.h"

#include <gtest/gtest.h>

#include <chrono>
#include <cstdlib>
#include <fstream>
#include <thread>

#include "support/temp_folder.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

class WorkingFilesTest : public testing::Test {
 protected:
  WorkingFilesTest() {
    ::setenv("XDG_CACHE_HOME", folder_.path().c_str(), 1);
    scratch_.emplace();
  }
  static WorkingFiles::Make writing(std::size_t bytes, int& made) {
    return [bytes, &made](const fs::path& path) -> std::optional<Response> {
      ++made;
      std::ofstream(path) << std::string(bytes, 'x');
      return std::nullopt;
    };
  }
  test::TempFolder folder_;
  std::optional<Scratch> scratch_;
};

TEST_F(WorkingFilesTest, AreMadeOnceAndOthersDoNotWait) {
  WorkingFiles files(*scratch_);
  std::atomic<int> made = 0;
  std::atomic<bool> go_on = false;
  const auto slow = [&](const fs::path& path) -> std::optional<Response> {
    ++made;
    while (!go_on) std::this_thread::yield();
    std::ofstream(path) << "slow";
    return std::nullopt;
  };
  std::vector<std::thread> threads;
  std::vector<WorkingFiles::Item> items(3);
  for (auto& item : items)
    threads.emplace_back([&] { item = files.get("a", "bytes", slow).value(); });
  while (made == 0) std::this_thread::yield();
  int of_b = 0;
  EXPECT_TRUE(files.get("b", "bytes", writing(1, of_b)));  // while "a" is being made
  EXPECT_FALSE(files.has("a", "bytes"));
  go_on = true;
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(made, 1);
  EXPECT_TRUE(files.has("a", "bytes"));
  for (const auto& item : items) EXPECT_EQ(item->path(), items[0]->path());
}

TEST_F(WorkingFilesTest, GoWithTheirLastReader) {
  WorkingFiles files(*scratch_);
  int made = 0;
  auto item = files.get("a", "bytes", writing(10, made)).value();
  const auto wave = files.get("a", "wave-1", writing(10, made)).value()->path();
  const fs::path path = item->path();
  EXPECT_EQ(files.sums(), std::vector<std::string>{"a"});
  files.forget("a");
  EXPECT_TRUE(fs::exists(path));
  EXPECT_FALSE(fs::exists(wave));
  item.reset();
  EXPECT_FALSE(fs::exists(path));
  EXPECT_TRUE(files.sums().empty());
}

TEST_F(WorkingFilesTest, TheLongestUnusedGoBeyondTheMost) {
  WorkingFiles files(*scratch_, 2500);
  int made = 0;
  for (const char* sum : {"a", "b"}) EXPECT_TRUE(files.get(sum, "bytes", writing(1000, made)));
  EXPECT_TRUE(files.get("a", "bytes", writing(1000, made)));
  EXPECT_EQ(made, 2);
  EXPECT_TRUE(files.get("c", "bytes", writing(1000, made)));
  EXPECT_TRUE(files.has("a", "bytes"));
  EXPECT_FALSE(files.has("b", "bytes"));
  EXPECT_TRUE(files.get("large", "bytes", writing(5000, made)));
  EXPECT_EQ(files.sums(), std::vector<std::string>{"large"});
}

TEST_F(WorkingFilesTest, WhatCannotBeMadeIsTriedAgain) {
  WorkingFiles files(*scratch_);
  const auto failing = [](const fs::path&) { return std::optional(problem(507, "x", "y")); };
  EXPECT_EQ(files.get("a", "bytes", failing).error().status, 507);
  int made = 0;
  EXPECT_TRUE(files.get("a", "bytes", writing(1, made)));
}

TEST(LongJobs, LeaveAThreadFree) {
  for (const auto& [workers, most] : {std::pair{1, 1}, {2, 1}, {4, 3}}) {
    LongJobs jobs(workers);
    std::vector<std::shared_ptr<const void>> held;
    for (int i = 0; i < most; ++i) held.push_back(jobs.begin(LongJobs::kLarge).value());
    const auto refused = jobs.begin(LongJobs::kLarge);
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().status, 503);
    EXPECT_EQ(refused.error().headers.back().first, "Retry-After");
    EXPECT_TRUE(jobs.begin(LongJobs::kLarge - 1));
    held.pop_back();
    EXPECT_TRUE(jobs.begin(LongJobs::kLarge));
  }
}

}  // namespace
}  // namespace tautmark
