// SPDX-License-Identifier: Apache-2.0
#include "serve/case_folders.h"

#include <algorithm>

namespace tautmark {

Stored<std::shared_ptr<const CaseFolder>> CaseFolders::get(const CaseStore& store,
                                                           const Scratch& scratch,
                                                           const std::string& name) {
  const auto summary = store.summary(name);
  if (!summary) return tl::make_unexpected(summary.error());
  {
    const std::lock_guard lock(mutex_);
    const auto found = kept_.find(summary->uid);
    std::error_code code;  // somebody may have cleared the cache
    if (found != kept_.end() && found->second.folder->summary.head_hash == summary->head_hash &&
        std::filesystem::exists(found->second.folder->item.path() / "case.yaml", code)) {
      found->second.used = ++uses_;
      return found->second.folder;
    }
  }
  // Two who ask at once make two; it is little work.
  const std::filesystem::path path = scratch.fresh("-case");
  auto written = case_for_reading(store, name, path, FilesWanted::to_load);
  if (!written) return tl::make_unexpected(std::move(written.error()));
  auto folder = std::make_shared<const CaseFolder>(path, std::move(*written));
  std::shared_ptr<const CaseFolder> dropped, pushed_out;  // removed without the lock
  const std::lock_guard lock(mutex_);
  Kept& kept = kept_[folder->summary.uid];
  dropped = std::exchange(kept.folder, folder);
  kept.used = ++uses_;
  if (kept_.size() > kMostKept) {
    const auto oldest = std::min_element(
        kept_.begin(), kept_.end(),
        [](const auto& a, const auto& b) { return a.second.used < b.second.used; });
    pushed_out = std::move(oldest->second.folder);
    kept_.erase(oldest);
  }
  return folder;
}

void CaseFolders::forget_deleted(const CaseStore& store) {
  std::vector<std::shared_ptr<const CaseFolder>> all;
  {
    const std::lock_guard lock(mutex_);
    for (const auto& [uid, kept] : kept_) all.push_back(kept.folder);
  }
  for (const auto& folder : all) {
    const auto summary = store.summary(folder->summary.name);
    const bool is_gone = summary ? summary->uid != folder->summary.uid
                                 : summary.error().trouble == StoreTrouble::not_found;
    if (!is_gone) continue;
    const std::lock_guard lock(mutex_);
    kept_.erase(folder->summary.uid);
  }
}

}  // namespace tautmark
