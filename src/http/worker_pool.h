// SPDX-License-Identifier: Apache-2.0
// Threads for what takes longer than a millisecond, and a queue of bounded length before them.
#pragma once

#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>
#include <vector>

namespace tautmark {

class WorkerPool {
 public:
  using Job = std::function<void()>;  // must not throw

  WorkerPool(int workers, int most_waiting);
  WorkerPool(const WorkerPool&) = delete;
  WorkerPool& operator=(const WorkerPool&) = delete;
  ~WorkerPool();  // stop()

  // New work. False, and nothing is kept, when `most_waiting` jobs of this kind wait already.
  bool start(Job job);
  // The next step of what has begun, which nobody may refuse any more. Its caller bounds it: one
  // such step at a time for each connection.
  void go_on(Job job);
  [[nodiscard]] bool full() const;

  // Jobs that run are waited for; those that wait are thrown away unrun.
  void stop();

 private:
  struct Waiting {
    Job job;
    bool is_new;
  };
  void work();
  bool add(Job job, bool is_new);

  const std::size_t most_waiting_;
  mutable std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<Waiting> waiting_;
  std::size_t new_ones_ = 0;
  bool stopping_ = false;
  std::vector<std::thread> threads_;
};

}  // namespace tautmark
