// SPDX-License-Identifier: Apache-2.0
#include "serve/working_files.h"

#include <algorithm>

namespace tautmark {

namespace fs = std::filesystem;

Answered<WorkingFiles::Item> WorkingFiles::get(const std::string& sha256, const std::string& what,
                                               const Make& make) {
  std::shared_ptr<Slot> slot;
  {
    const std::lock_guard lock(mutex_);
    auto& there = slots_[{sha256, what}];
    if (there == nullptr) there = std::make_shared<Slot>();
    there->used = ++uses_;
    slot = there;
  }
  const std::unique_lock making(slot->making);
  std::error_code code;  // somebody may have cleared the cache
  if (slot->item != nullptr && fs::exists(slot->item->path(), code)) return slot->item;
  auto item = std::make_shared<const ScratchItem>(scratch_.fresh("-" + what));
  if (auto failed = make(item->path())) return answer_with(std::move(*failed));
  const auto bytes = fs::file_size(item->path(), code);
  slot->item = item;
  slot->bytes = code ? 0 : static_cast<std::int64_t>(bytes);
  trim();
  return item;
}

bool WorkingFiles::has(const std::string& sha256, const std::string& what) {
  const std::lock_guard lock(mutex_);
  const auto found = slots_.find({sha256, what});
  return found != slots_.end() && found->second->bytes >= 0;
}

std::vector<std::string> WorkingFiles::sums() {
  std::vector<std::string> all;
  const std::lock_guard lock(mutex_);
  for (const auto& [key, slot] : slots_)
    if (all.empty() || all.back() != key.first) all.push_back(key.first);
  return all;
}

void WorkingFiles::forget(const std::string& sha256) {
  const std::lock_guard lock(mutex_);
  std::erase_if(slots_, [&](const auto& entry) { return entry.first.first == sha256; });
}

// The one used last stays whatever its size.
void WorkingFiles::trim() {
  std::error_code code;
  const fs::space_info space = fs::space(scratch_.path(), code);
  const std::lock_guard lock(mutex_);
  std::int64_t sum = 0;
  std::vector<std::pair<std::uint64_t, Key>> made;
  for (const auto& [key, slot] : slots_) {
    if (slot->bytes < 0) continue;
    sum += slot->bytes;
    made.emplace_back(slot->used, key);
  }
  std::int64_t most = most_bytes_;
  if (!code) most = std::min(most, (sum + static_cast<std::int64_t>(space.available)) / 2);
  std::sort(made.begin(), made.end());
  for (std::size_t i = 0; i + 1 < made.size() && sum > most; ++i) {
    sum -= slots_[made[i].second]->bytes;
    slots_.erase(made[i].second);
  }
}

Answered<std::shared_ptr<const void>> LongJobs::begin(std::int64_t bytes) {
  const auto done = [this](const void*) { ++free_; };
  if (bytes < kLarge) return std::shared_ptr<const void>();
  if (--free_ < 0) {
    ++free_;
    return answer_with(problem_of(
        StoreError{StoreTrouble::busy, "large files are being read; try again in a few seconds"}));
  }
  return std::shared_ptr<const void>(this, done);
}

}  // namespace tautmark
