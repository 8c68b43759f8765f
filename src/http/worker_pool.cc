// SPDX-License-Identifier: Apache-2.0
#include "http/worker_pool.h"

#include <algorithm>

namespace tautmark {

WorkerPool::WorkerPool(int workers, int most_waiting)
    : most_waiting_(static_cast<std::size_t>(std::max(0, most_waiting))) {
  for (int i = 0; i < std::max(1, workers); ++i) threads_.emplace_back([this] { work(); });
}

WorkerPool::~WorkerPool() { stop(); }

bool WorkerPool::start(Job job) { return add(std::move(job), true); }

void WorkerPool::go_on(Job job) { add(std::move(job), false); }

bool WorkerPool::add(Job job, bool is_new) {
  {
    const std::scoped_lock lock(mutex_);
    if (stopping_ || (is_new && new_ones_ >= most_waiting_)) return false;
    waiting_.push_back({std::move(job), is_new});
    if (is_new) ++new_ones_;
  }
  changed_.notify_one();
  return true;
}

bool WorkerPool::full() const {
  const std::scoped_lock lock(mutex_);
  return stopping_ || new_ones_ >= most_waiting_;
}

void WorkerPool::work() {
  for (;;) {
    Job job;
    {
      std::unique_lock lock(mutex_);
      changed_.wait(lock, [this] { return stopping_ || !waiting_.empty(); });
      if (stopping_) return;
      job = std::move(waiting_.front().job);
      if (waiting_.front().is_new) --new_ones_;
      waiting_.pop_front();
    }
    job();
  }
}

void WorkerPool::stop() {
  std::deque<Waiting> unrun;
  {
    const std::scoped_lock lock(mutex_);
    stopping_ = true;
    unrun.swap(waiting_);
    new_ones_ = 0;
  }
  changed_.notify_all();
  for (std::thread& thread : threads_)
    if (thread.joinable()) thread.join();
}

}  // namespace tautmark
