// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cstdlib>
#include <list>
#include <mutex>
#include <unordered_map>

#include "store/accounts.h"

namespace tautmark {
namespace {

constexpr std::int64_t kSecond = 1'000'000;
constexpr std::int64_t kForgottenAfter = 86'400 * kSecond;
// A try that nobody noted the end of is over by then.
constexpr std::int64_t kLongestTry = 60 * kSecond;
constexpr std::size_t kLongestKey = 200;

}  // namespace

int wait_after(std::int64_t wrong_tries, TryRule rule) {
  const std::int64_t doublings = wrong_tries - rule.free_tries;
  if (doublings < 0) return 0;
  return doublings >= 20 ? rule.longest_wait : std::min(rule.longest_wait, 1 << doublings);
}

struct TryLimit::Inside {
  struct Entry {
    std::string key;
    std::int64_t wrong = 0, last_wrong = 0;
    std::int64_t open = 0, last_open = 0;  // let through, not yet noted
  };
  using Entries = std::list<Entry>;

  explicit Inside(TryRule chosen) : rule(chosen) {}
  const TryRule rule;

  mutable std::mutex mutex;
  Entries entries;  // the one touched last stands first
  std::unordered_map<std::string, Entries::iterator> places;

  Entry& touch(const std::string& whole_key) {
    const std::string key = whole_key.substr(0, kLongestKey);
    const auto place = places.find(key);
    if (place != places.end()) {
      entries.splice(entries.begin(), entries, place->second);
      return entries.front();
    }
    if (entries.size() >= kMostKeys) {
      places.erase(entries.back().key);
      entries.pop_back();
    }
    entries.push_front({key});
    places.emplace(key, entries.begin());
    return entries.front();
  }
};

TryLimit::TryLimit(TryRule rule) : inside_(std::make_unique<Inside>(rule)) {}
TryLimit::~TryLimit() = default;

int TryLimit::wait_seconds(const std::string& key, std::int64_t now) {
  const std::lock_guard lock(inside_->mutex);
  Inside::Entry& entry = inside_->touch(key);
  if (now - entry.last_wrong > kForgottenAfter) entry.wrong = 0;
  if (std::abs(now - entry.last_open) > kLongestTry) entry.open = 0;
  if (entry.open > 0 && entry.wrong + entry.open >= inside_->rule.free_tries) return 1;
  entry.last_wrong = std::min(entry.last_wrong, now);  // the clock was set back
  const std::int64_t ready = entry.last_wrong + wait_after(entry.wrong, inside_->rule) * kSecond;
  if (entry.wrong > 0 && now < ready)
    return static_cast<int>((ready - now + kSecond - 1) / kSecond);
  ++entry.open;
  entry.last_open = now;
  return 0;
}

void TryLimit::note_wrong(const std::string& key, std::int64_t now) {
  const std::lock_guard lock(inside_->mutex);
  Inside::Entry& entry = inside_->touch(key);
  entry.open = std::max<std::int64_t>(0, entry.open - 1);
  ++entry.wrong;
  entry.last_wrong = now;
}

void TryLimit::note_let_go(const std::string& key) {
  const std::lock_guard lock(inside_->mutex);
  const auto place = inside_->places.find(key.substr(0, kLongestKey));
  if (place == inside_->places.end()) return;
  std::int64_t& open = place->second->open;
  open = std::max<std::int64_t>(0, open - 1);
}

void TryLimit::note_right(const std::string& key) {
  const std::lock_guard lock(inside_->mutex);
  const auto place = inside_->places.find(key.substr(0, kLongestKey));
  if (place == inside_->places.end()) return;
  inside_->entries.erase(place->second);
  inside_->places.erase(place);
}

std::size_t TryLimit::size() const {
  const std::lock_guard lock(inside_->mutex);
  return inside_->entries.size();
}

}  // namespace tautmark
