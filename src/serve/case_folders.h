// SPDX-License-Identifier: Apache-2.0
// Cases as folders that load_case reads, in the scratch: one for the newest state of each case that
// somebody looks at. An older state goes with its last reader.
#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "serve/scratch.h"
#include "store/exchange.h"

namespace tautmark {

struct CaseFolder {
  CaseFolder(std::filesystem::path path, CaseForReading written)
      : item(std::move(path)), summary(std::move(written.summary)), files(written.files) {}
  ScratchItem item;  // case.yaml, drives; the other files by name only
  CaseSummary summary;
  std::vector<StoredFile> files;
};

class CaseFolders {
 public:
  static constexpr std::size_t kMostKept = 200;
  // Whoever holds it may read the folder.
  Stored<std::shared_ptr<const CaseFolder>> get(const CaseStore& store, const Scratch& scratch,
                                                const std::string& name);
  // Of cases that are not in the store any more.
  void forget_deleted(const CaseStore& store);

 private:
  struct Kept {
    std::shared_ptr<const CaseFolder> folder;
    std::uint64_t used = 0;
  };
  std::mutex mutex_;
  std::map<std::string, Kept> kept_;  // by uid
  std::uint64_t uses_ = 0;
};

}  // namespace tautmark
