// SPDX-License-Identifier: Apache-2.0
#include "serve/housekeeping.h"

#include <atomic>
#include <condition_variable>
#include <mutex>
#include <thread>

#include "store/blobs.h"

namespace tautmark {
namespace {

// Between looks for what others deleted, and for what could not be done at once: somebody read.
constexpr auto kPause = std::chrono::seconds(30);

void clear_scratch(Shop& shop) {
  shop.folders.forget_deleted(shop.cases);
  const auto without = files_without_case(shop.database(), shop.files.sums());
  if (!without) return;
  for (const std::string& sum : *without) shop.files.forget(sum);
}

}  // namespace

struct Housekeeping::Inside {
  explicit Inside(Shop& of) : shop(of) {}

  void run() {
    for (;;) {
      clear_scratch(shop);
      sweep_deleted(shop.database(), [this] { return !is_ending; });
      std::unique_lock lock(mutex);
      woken.wait_for(lock, kPause, [&] { return is_told || is_ending; });
      if (is_ending) return;
      is_told = false;
    }
  }

  Shop& shop;
  std::mutex mutex;
  std::condition_variable woken;
  bool is_told = false;
  std::atomic<bool> is_ending = false;
  std::thread thread;
};

Housekeeping::Housekeeping(Shop& shop) : inside_(std::make_unique<Inside>(shop)) {
  inside_->thread = std::thread([this] { inside_->run(); });
}

Housekeeping::~Housekeeping() {
  {
    const std::lock_guard lock(inside_->mutex);
    inside_->is_ending = true;
  }
  inside_->woken.notify_one();
  inside_->thread.join();
}

void Housekeeping::look() {
  {
    const std::lock_guard lock(inside_->mutex);
    inside_->is_told = true;
  }
  inside_->woken.notify_one();
}

}  // namespace tautmark
