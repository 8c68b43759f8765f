// SPDX-License-Identifier: Apache-2.0
// A folder for what can be made anew: cases unpacked for judging, pyramids of recordings. It is
// this process's own and goes when its owner ends. What a killed process left behind is known by
// its free lock, and swept away by the next that makes one of the same name.
#pragma once

#include <filesystem>
#include <string>

namespace tautmark {

class Scratch {
 public:
  // In the user's cache folder: $XDG_CACHE_HOME/tautmark, else ~/.cache/tautmark, else the
  // temporary folder. Throws std::runtime_error with a sentence when no folder can be made.
  Scratch();
  // "<name><six letters>" in `parent`.
  Scratch(const std::filesystem::path& parent, const std::string& name);
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  ~Scratch();
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }
  // A name in it that nobody else uses.
  [[nodiscard]] std::filesystem::path fresh(const std::string& ending) const;

 private:
  std::filesystem::path path_;
  int lock_ = -1;
};

// A file or folder in the scratch that goes with its last owner.
class ScratchItem {
 public:
  explicit ScratchItem(std::filesystem::path path) : path_(std::move(path)) {}
  ScratchItem(const ScratchItem&) = delete;
  ScratchItem& operator=(const ScratchItem&) = delete;
  ~ScratchItem();
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

}  // namespace tautmark
