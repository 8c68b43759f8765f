// SPDX-License-Identifier: Apache-2.0
#include "serve/watcher.h"

#include <condition_variable>
#include <map>
#include <mutex>
#include <nlohmann/json.hpp>
#include <thread>

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

// More cases than this do not change between two looks; a page that missed one reads it when it is
// opened.
constexpr int kMostLookedAt = 100;
constexpr auto kPause = std::chrono::seconds(1);

}  // namespace

struct Watcher::Inside {
  CaseStore cases;
  Publish publish;
  std::mutex mutex;
  std::condition_variable woken;
  bool is_told = false, is_ending = false;

  struct Seen {
    std::string name;
    std::int64_t seq = 0, keep_until = 0;
    bool operator==(const Seen&) const = default;
  };
  std::map<std::string, Seen> seen;  // by uid
  std::thread thread;

  Inside(const CaseStore& store, Publish to) : cases(store), publish(std::move(to)) {}

  void say(const std::string& topic, const Json& data) { publish(topic, data.dump()); }

  // The last changed come first: those that were seen as they are need no second look.
  void look(bool quietly) {
    const auto page = cases.search("", kMostLookedAt);
    if (!page) return;
    std::map<std::string, Seen> now;
    for (const CaseSummary& summary : page->cases) {
      now[summary.uid] = {summary.name, summary.head_seq, summary.keep_until};
      const auto before = seen.find(summary.uid);
      if (quietly || (before != seen.end() && before->second == now[summary.uid])) continue;
      say(summary.name, Json{{"case", summary.name},
                             {"uid", summary.uid},
                             {"seq", summary.head_seq},
                             {"hash", summary.head_hash}});
    }
    // Gone from the list: deleted, or pushed out by others. Only the first is worth a word.
    for (const auto& [uid, was] : seen) {
      if (quietly || now.contains(uid)) continue;
      const auto summary = cases.summary(was.name);
      if (summary || summary.error().trouble != StoreTrouble::not_found) continue;
      say(was.name, Json{{"case", was.name}, {"uid", uid}, {"gone", true}});
    }
    seen = std::move(now);
  }

  void run() {
    bool is_first = true;
    for (;;) {
      look(is_first);
      is_first = false;
      std::unique_lock lock(mutex);
      woken.wait_for(lock, kPause, [&] { return is_told || is_ending; });
      if (is_ending) return;
      is_told = false;
    }
  }
};

Watcher::Watcher(const CaseStore& cases, Publish publish)
    : inside_(std::make_unique<Inside>(cases, std::move(publish))) {
  inside_->thread = std::thread([this] { inside_->run(); });
}

Watcher::~Watcher() {
  {
    const std::lock_guard lock(inside_->mutex);
    inside_->is_ending = true;
  }
  inside_->woken.notify_one();
  inside_->thread.join();
}

void Watcher::look() {
  {
    const std::lock_guard lock(inside_->mutex);
    inside_->is_told = true;
  }
  inside_->woken.notify_one();
}

}  // namespace tautmark
