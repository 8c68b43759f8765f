// SPDX-License-Identifier: Apache-2.0
// Large files in the scratch: bytes of recordings, pyramids. Each is made once, when somebody reads
// it; whoever asks meanwhile waits for that one alone. The ones not used for longest go beyond
// 20 GB or half of what the disk has to give, whichever is less; each with its last reader.
#pragma once

#include <atomic>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "http/http.h"
#include "serve/answer.h"
#include "serve/scratch.h"

namespace tautmark {

class WorkingFiles {
 public:
  static constexpr std::int64_t kMostBytes = std::int64_t{20} << 30;
  explicit WorkingFiles(const Scratch& scratch, std::int64_t most_bytes = kMostBytes)
      : scratch_(scratch), most_bytes_(most_bytes) {}

  using Item = std::shared_ptr<const ScratchItem>;
  // Makes the file; an answer when that went wrong.
  using Make = std::function<std::optional<Response>(const std::filesystem::path& path)>;
  // `sha256`: of the bytes that it comes from; `what`: what became of them.
  Answered<Item> get(const std::string& sha256, const std::string& what, const Make& make);
  [[nodiscard]] bool has(const std::string& sha256, const std::string& what);

  [[nodiscard]] std::vector<std::string> sums();
  void forget(const std::string& sha256);

 private:
  struct Slot {
    std::mutex making;
    Item item;                             // under `making`
    std::atomic<std::int64_t> bytes = -1;  // -1: not made yet
    std::uint64_t used = 0;
  };
  using Key = std::pair<std::string, std::string>;
  void trim();

  const Scratch& scratch_;
  const std::int64_t most_bytes_;
  std::mutex mutex_;
  std::map<Key, std::shared_ptr<Slot>> slots_;
  std::uint64_t uses_ = 0;
};

// Whoever reads or waits for a large file holds a thread of the pool: one thread stays free of
// that.
class LongJobs {
 public:
  static constexpr std::int64_t kLarge = std::int64_t{16} << 20;  // bytes; less is done at once
  explicit LongJobs(int workers) : free_(workers > 2 ? workers - 1 : 1) {}
  // To be held meanwhile; 503 when there is none. `bytes` that are to be read.
  Answered<std::shared_ptr<const void>> begin(std::int64_t bytes);

 private:
  std::atomic<int> free_;
};

}  // namespace tautmark
