// SPDX-License-Identifier: Apache-2.0
#include "serve/recording_waves.h"

#include <fmt/format.h>

#include <atomic>
#include <condition_variable>
#include <deque>
#include <mutex>
#include <thread>

#include "recording/pyramid.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

constexpr int kMostAhead = 16;  // channels; the others are made when they are looked at
constexpr auto kPause = std::chrono::seconds(1);  // until a permit is asked for again

}  // namespace

Answered<WorkingFiles::Item> wave_file(Shop& shop, const StoredFile& file, int channel,
                                       const std::shared_ptr<const void>& permit,
                                       const std::function<bool()>& goes_on) {
  const std::string what = fmt::format("wave-{}", channel);
  return shop.files.get(file.sha256, what, [&](const fs::path& path) -> std::optional<Response> {
    const auto bytes = file_in_hand(shop, file, permit);
    if (!bytes) return bytes.error();
    const auto made = write_pyramid(bytes->path.string(), channel, {}, path.string(), goes_on);
    if (made) return std::nullopt;
    return problem_of(made.error(), bytes->path.parent_path().generic_string());
  });
}

std::optional<Response> unreadable_recording(Shop& shop, const StoredFile& file) {
  if (file.bytes >= LongJobs::kLarge) return std::nullopt;
  auto made = wave_file(shop, file, 1, nullptr);
  if (made) return std::nullopt;
  return std::move(made.error());
}

struct WavesAhead::Inside {
  explicit Inside(Shop& of) : shop(of) {}

  void run() {
    while (const auto file = next())
      for (int channel = 1; channel <= kMostAhead && make(*file, channel); ++channel) {
      }
  }

  // Empty: the end.
  std::optional<StoredFile> next() {
    std::unique_lock lock(mutex);
    woken.wait(lock, [&] { return is_ending || !waiting.empty(); });
    if (is_ending) return std::nullopt;
    StoredFile file = std::move(waiting.front());
    waiting.pop_front();
    return file;
  }

  // False: there is no such channel, or nothing more is to be made of this file.
  bool make(const StoredFile& file, int channel) {
    for (;;) {
      if (const auto permit = shop.long_jobs.begin(file.bytes))
        return wave_file(shop, file, channel, *permit, [this] { return !is_ending; }).has_value();
      std::unique_lock lock(mutex);
      if (woken.wait_for(lock, kPause, [&] { return is_ending.load(); })) return false;
    }
  }

  Shop& shop;
  std::mutex mutex;
  std::condition_variable woken;
  std::deque<StoredFile> waiting;
  std::atomic<bool> is_ending = false;
  std::thread thread;
};

WavesAhead::WavesAhead(Shop& shop) : inside_(std::make_unique<Inside>(shop)) {
  inside_->thread = std::thread([this] { inside_->run(); });
}

WavesAhead::~WavesAhead() {
  {
    const std::lock_guard lock(inside_->mutex);
    inside_->is_ending = true;
  }
  inside_->woken.notify_one();
  inside_->thread.join();
}

void WavesAhead::add(const StoredFile& file) {
  {
    const std::lock_guard lock(inside_->mutex);
    inside_->waiting.push_back(file);
  }
  inside_->woken.notify_one();
}

}  // namespace tautmark
