// SPDX-License-Identifier: Apache-2.0
#include "serve/shop.h"

#include <algorithm>

namespace tautmark {

std::shared_ptr<const Judgement> JudgementCache::find(const std::string& uid,
                                                      const std::string& state) {
  const std::lock_guard lock(mutex_);
  const auto found = kept_.find(uid);
  if (found == kept_.end() || found->second.state != state) return nullptr;
  found->second.used = ++uses_;
  return found->second.judgement;
}

void JudgementCache::keep(const std::string& uid, const std::string& state,
                          std::shared_ptr<const Judgement> judgement) {
  const std::lock_guard lock(mutex_);
  kept_[uid] = {state, std::move(judgement), ++uses_};
  if (kept_.size() <= kMostKept) return;
  kept_.erase(std::min_element(kept_.begin(), kept_.end(), [](const auto& a, const auto& b) {
    return a.second.used < b.second.used;
  }));
}

}  // namespace tautmark
